"""A map of a head's seats by their coordinates: which to bore, which to leave, where to stop.

Grey and thick is bored, white and thin is left, a cross has no ring. Each seat carries its
number in the table; names of any length stand there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from specdb.records.seat import SeatPlan
from specdb.sheet import svg
from specdb.sheet.svg import Point

WIDE_MM = 182.0
HIGH_MM = 78.0
"""Paper the map may take."""
LEAST_RADIUS_MM = 3.0
"""A seat is never drawn so small that its number does not fit."""
IN_A_ROW = 16
"""Seats in a row where nobody told the places."""

DO, LEAVE, STOP = "bore", "leave", "stop"


def fate(plan: SeatPlan) -> str:
    """What becomes of a seat's counterbore."""
    if plan.chosen is None:
        return STOP
    return LEAVE if plan.chosen.as_found else DO


def seats_map(plans: Sequence[SeatPlan], *, link: str = "") -> str:
    """The map of the seats, numbered from 1 in the order given; empty without seats.

    `link`: an address every seat leads to, its number put at the end; not told, none.
    """
    if not plans:
        return ""
    places, radii, told = _places(plans)
    left, top = (min(p[i] - r for p, r in zip(places, radii, strict=True)) for i in (0, 1))
    wide, high = (
        max(p[i] + r for p, r in zip(places, radii, strict=True)) - low
        for i, low in ((0, left), (1, top))
    )
    scale = min((WIDE_MM - 2) / wide, (HIGH_MM - 12) / high, 1.4)
    pieces = [
        _seat(
            number,
            plan,
            ((x - left) * scale + 1, (y - top) * scale + 1),
            max(radius * scale, LEAST_RADIUS_MM),
        )
        for number, (plan, (x, y), radius) in enumerate(
            zip(plans, places, radii, strict=True), start=1
        )
    ]
    if link:
        pieces = [
            svg.link(f"{link}{number}", f"seat {plan.label}", piece)
            for number, (plan, piece) in enumerate(zip(plans, pieces, strict=True), start=1)
        ]
    foot = max(high * scale, 2 * LEAST_RADIUS_MM) + 9
    pieces += _legend(foot, told)
    title = f"Map of {len(plans)} seats: which to bore, which to leave"
    role = "group" if link else "img"
    return svg.drawing("map", title, WIDE_MM, foot + 2, pieces, role=role)


def _places(plans: Sequence[SeatPlan]) -> tuple[list[Point], list[float], bool]:
    """Centres and radii, mm, y down the page; in rows of like seats where places were not told."""
    radii = [plan.sizes.measured.largest_mm / 2 for plan in plans]
    x = [plan.readings.x for plan in plans]
    y = [plan.readings.y for plan in plans]
    if all(each is not None for each in (*x, *y)):
        return [(a or 0.0, -(b or 0.0)) for a, b in zip(x, y, strict=True)], radii, True
    return _in_rows(plans, 2.3 * max(radii)), radii, False


def _in_rows(plans: Sequence[SeatPlan], apart: float) -> list[Point]:
    """Places in rows, inlets above exhausts, in the order given."""
    count = {"intake": 0, "exhaust": 0}
    found = []
    for plan in plans:
        row, column = divmod(count[plan.readings.position], IN_A_ROW)
        count[plan.readings.position] += 1
        found.append((column, 2 * row + (plan.readings.position == "exhaust")))
    levels = {level: at for at, level in enumerate(sorted({row for _, row in found}))}
    return [(column * apart, levels[row] * apart) for column, row in found]


def _seat(number: int, plan: SeatPlan, at: Point, radius: float) -> str:
    what = fate(plan)
    fill = {"bore": "#d5d5d5"}.get(what, "white")
    pieces = [svg.circle(at, radius, fill=fill, wide=0.9 if what == DO else 0.35)]
    if what == STOP:
        reach = radius * math.sqrt(0.5)
        for side in (1, -1):
            ends = (at[0] - reach, at[1] - side * reach), (at[0] + reach, at[1] + side * reach)
            pieces.append(svg.line(*ends, wide=0.6))
    size = min(max(radius * 0.8, 3.0), 6.0)
    pieces.append(svg.words((at[0], at[1] + size * 0.36), str(number), size=size, bold=True))
    if radius > 6.5:
        kind = "EX" if plan.readings.position == "exhaust" else "IN"
        pieces.append(svg.words((at[0], at[1] + radius * 0.72), kind, size=2.6))
    return "".join(pieces)


def _legend(foot: float, told: bool) -> list[str]:
    pieces = []
    for at, (text, fill, wide) in enumerate(
        (
            ("bore", "#d5d5d5", 0.9),
            ("leave: ring goes in as found", "white", 0.35),
            ("crossed: no ring serves, stop", "white", 0.35),
        )
    ):
        x = 3 + (0, 20, 76)[at]
        pieces.append(svg.circle((x, foot - 1.1), 1.8, fill=fill, wide=wide))
        if at == 2:
            y = foot - 1.1
            pieces += [svg.line((x - 1.3, y - s), (x + 1.3, y + s)) for s in (1.3, -1.3)]
        pieces.append(svg.words((x + 3.2, foot), text, anchor="start"))
    where = "to scale, by x and y" if told else "not to place: x and y were not told"
    pieces.append(svg.words((WIDE_MM - 2, foot), where, anchor="end"))
    return pieces
