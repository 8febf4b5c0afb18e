"""The verdict of a fit in four lines: its press, what yields, where it lets go, what decides."""

from __future__ import annotations

from collections.abc import Mapping

from specdb.answers.grip import Grip
from specdb.answers.hot_states import Known
from specdb.answers.press import Press
from specdb.estimate import Estimate
from specdb.records.fit import RunningState

Figures = Mapping[str, Estimate]


def strength(press: Press, main: Figures) -> str:
    """Whether ring and head carry the press, or how far past their strength they are."""
    ring = _stressed("ring", main.get("insert_yield_ratio"), press.insert.limit == "cracks")
    head = _stressed("head", main.get("head_yield_ratio"), press.head.limit == "cracks")
    return f"{ring}; {head}"


def _stressed(part: str, ratio: Estimate | None, brittle: bool) -> str:
    fails = "cracks" if brittle else "yields"
    may = "crack" if brittle else "yield"
    if ratio is None:
        return f"{part} strength not known"
    share = f"{100 * ratio.value:.0f} % of its strength"
    if ratio.value > 1:
        return f"the {part} {f'may {may}' if brittle else fails}: {share}"
    if ratio.high > 1:
        return f"the {part} may {may} at the worst: {share}, up to {100 * ratio.high:.0f} %"
    return f"the {part} is at {share}"


def lets_go(grip: Grip, heat: Known) -> str:
    """The temperature of letting go, and how far a working and an overheated head are from it."""
    at = grip.lost_c
    if at is None:
        return grip.text
    low = f" ({at.low:.0f} at worst)" if at.low < at.value - 0.5 else ""
    said = f"lets go when head and ring are both at {at.value:.0f} degC{low}"
    heads = (("working", heat.head), ("overheated", heat.limit))
    margins = [
        f"{_margin(at.value - span.high)} a head {name} at {span.high:.0f}"
        for name, span in heads
        if span is not None
    ]
    return f"{said}: {', '.join(margins)}" if margins else said


def _margin(kelvin: float) -> str:
    return f"{kelvin:.0f} K above" if kelvin >= 0 else f"{-kelvin:.0f} K below"


def decides(deciding: RunningState | None) -> str | None:
    """The running state with the least press, and by how much it holds or fails."""
    if deciding is None:
        return None
    left, at = deciding.interference_mm, deciding.head_temperature_c
    said = f"{deciding.state} ({at:.0f} degC): "
    if left.value > 0:
        unlucky = f", none at worst ({left.low:.3f})" if left.low <= 0 else ""
        return f"{said}{left.value:.3f} mm of press left{unlucky}"
    margin = deciding.margin_k
    sooner = f"; it let go {-margin.value:.0f} K before that" if margin else ""
    return f"{said}no press left, {-left.value:.3f} mm of clearance{sooner}"
