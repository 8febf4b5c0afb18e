"""The expansion of a material over temperature: curve, band, printed points, range."""

from __future__ import annotations

from typing import Any

from specdb.answers.expansion_points import ExpansionPoint
from specdb.database import Database
from specdb.errors import NoAnswer
from specdb.web.pictures import picture as pens
from specdb.web.pictures.picture import Picture

STEPS = 40
BEYOND = 60.0
"""Printed points are shown this far beyond the curve's ends, K."""


def expansion(db: Database, material: str) -> Picture | None:
    """The picture, or None where no curve is held."""
    found = db.material(material)
    try:
        curve = found.curve()
    except NoAnswer:
        return None
    step = (curve.end_c - curve.start_c) / STEPS
    at = [curve.start_c + step * each for each in range(STEPS)] + [curve.end_c]
    drawn = [(each, found.expansion_strain(each)) for each in at]
    points = db.expansion_points(material)
    start, end = curve.start_c - BEYOND, curve.end_c + BEYOND
    inside = [each for each in points if start <= each.temperature_c <= end]
    name = found.name
    title = f"Expansion of {name}"
    words = (
        f"Change of length from 20 degC, thousandths of the length, rising from "
        f"{drawn[0][1].value * 1e3:.2f} at {at[0]:.0f} degC to {drawn[-1][1].value * 1e3:.2f} at "
        f"{at[-1]:.0f} degC, where the curve ends; {len(inside)} printed figures stand beside it."
    )
    return Picture(
        key="expansion",
        title=title,
        svg=_draw(drawn, inside, title, words),
        words=words,
        header=("at, degC", "change of length, 1e-3", "low", "high", "origin"),
        rows=tuple(
            (
                f"{each:.0f}",
                f"{estimate.value * 1e3:.3f}",
                f"{estimate.low * 1e3:.3f}",
                f"{estimate.high * 1e3:.3f}",
                {"own": "own rows", "proxy": "borrowed"}.get(origin, origin),
            )
            for each, estimate in drawn[::4]
            for origin in (found.origin("expansion_strain", each),)
        ),
    )


def _draw(
    drawn: list[tuple[float, Any]], points: list[ExpansionPoint], title: str, words: str
) -> str:
    figure, axes = pens.paper(3.6)
    at = [each for each, _ in drawn]
    axes.fill_between(
        at,
        [each.low * 1e3 for _, each in drawn],
        [each.high * 1e3 for _, each in drawn],
        color=pens.BAND,
        linewidth=0,
        label="band",
    )
    axes.plot(at, [each.value * 1e3 for _, each in drawn], color=pens.MAIN, label="curve")
    for stands, marker, label in ((True, "o", "printed"), (False, "x", "printed, not used")):
        some = [each for each in points if (each.basis == "stands") is stands]
        if some:
            axes.plot(
                [each.temperature_c for each in some],
                [each.strain * 1e3 for each in some],
                marker,
                color=pens.INK,
                markersize=4,
                label=label,
            )
    axes.axhline(0, color=pens.INK, linewidth=0.6)
    pens.labelled(axes, "temperature, degC", "change of length from 20 degC, 1e-3")
    pens.key(axes, loc="upper left")
    return pens.svg(figure, "expansion", title, words)
