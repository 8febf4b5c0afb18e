"""The drawings of the printed sheet on a page: a seat in section, a head as a map."""

from __future__ import annotations

from specdb.records.figures import thou
from specdb.records.head import HeadPlan
from specdb.records.seat import SeatPlan
from specdb.sheet import seats_map
from specdb.sheet import section as drawn_section
from specdb.sheet.plan_view import fate
from specdb.web.head_view import ANCHOR
from specdb.web.pictures.picture import Picture


def section(plan: SeatPlan) -> Picture | None:
    """The dimensioned section, or None where no ring was chosen."""
    svg, ring = drawn_section(plan), plan.chosen
    if not svg or ring is None:
        return None
    sizes = [
        ("ring, outside", ring.outer_mm),
        ("ring, inside", ring.inner_mm),
        ("ring, height", ring.height_mm),
        ("bore, aim at", ring.bore_target_mm),
    ]
    if plan.readings.depth is not None:
        sizes.append(("depth of the counterbore", plan.readings.depth))
    return Picture(
        key="section",
        title="Section of the seat, to scale",
        svg=svg,
        words="Head, counterbore and ring cut through the guide's axis, with their sizes in mm.",
        header=("size", "mm", "inch"),
        rows=tuple((name, f"{value:.3f}", thou(value)) for name, value in sizes),
        on_paper=True,
    )


def seats(plan: HeadPlan) -> Picture | None:
    """The map of the seats, or None for a head without one."""
    plans = list(plan.seats.values())
    svg = seats_map(plans, link=f"#{ANCHOR}")
    if not svg:
        return None
    return Picture(
        key="map",
        title="Map of the seats",
        svg=svg,
        words="Every seat in its place: to bore, to leave as found, or without a ring that serves. "
        "A seat leads to what is said of it.",
        header=("seat", "what", "x, mm", "y, mm"),
        rows=tuple(
            (each.label, fate(each), _place(each.readings.x), _place(each.readings.y))
            for each in plans
        ),
        on_paper=True,
    )


def _place(value: float | None) -> str:
    return "not told" if value is None else f"{value:.1f}"
