"""A fit in a running engine: the temperatures rows give, and how far they are from letting go."""

from __future__ import annotations

import dataclasses
import math
from typing import NamedTuple

from specdb.answers import grip, hot_states
from specdb.answers.hot_states import Heat
from specdb.answers.joint import Joint
from specdb.answers.metals import Metal, Pair
from specdb.answers.press import Hub, Part, Press, figures
from specdb.errors import OutOfRange
from specdb.estimate import Estimate
from specdb.records.fit import RunningState

COLDER_K = 250.0
"""How far below a state the search for where it lets go begins."""


class States(NamedTuple):
    """The states that could be computed, the one that decides, and why others could not be."""

    states: tuple[RunningState, ...]
    unknown: dict[str, str]

    @property
    def deciding(self) -> RunningState | None:
        """The state with the least press left at the unlucky end, or None."""
        return min(self.states, key=lambda each: each.interference_mm.low, default=None)


def states(metals: Pair, joint: Joint, press: Press, hub: Hub, known: hot_states.Known) -> States:
    """Ring ahead, full load, working and overheated head evenly soaked, as far as rows go."""
    heats = list(hot_states.running(known))
    made, beyond = [], []
    for heat in heats:
        try:
            made.append(_state(metals, joint, press, hub, heat))
        except OutOfRange as refused:
            beyond.append(f"{heat.state}: {refused.message}")
    unknown = {}
    if beyond:
        unknown["running"] = "; ".join(beyond)
    elif not heats:
        unknown["running"] = f"no running temperature is known for a {metals.head_class} head"
    return States(tuple(made), unknown)


def _state(metals: Pair, joint: Joint, press: Press, hub: Hub, heat: Heat) -> RunningState:
    hot = dataclasses.replace(
        press, insert=_part(metals.insert, heat.ring), head=_part(metals.head, heat.head)
    )
    found = figures(hot, hub)
    let_go = _let_go(metals, joint, press, heat)
    margin = None
    if let_go is not None:
        at = heat.head.value
        rows = (*let_go.sources, *heat.rows)
        margin = Estimate(let_go.value - at, let_go.low - at, let_go.high - at, "K", rows)
    return RunningState(
        state=heat.state,
        head_temperature_c=heat.head.value,
        insert_temperature_c=heat.ring.value,
        interference_mm=_with(found["interference_mm"], heat.rows),
        pressure_mpa=_with(found["pressure_mpa"], heat.rows),
        pressure_formula_mpa=_with(found["pressure_formula_mpa"], heat.rows),
        margin_k=margin,
        why=_why(found["interference_mm"], margin),
    )


def _why(left: Estimate, margin: Estimate | None) -> str:
    if left.value <= 0:
        return "lets go first"
    loose = "; at the unlucky end it lets go" if left.low <= 0 else ""
    if margin is None:
        return f"holds to the end of the data{loose}"
    return f"still holds there{loose}"


def _part(metal: Metal, at: Estimate) -> Part:
    """The metal at a temperature that is itself known between two ends only: both bands, in
    quadrature, as the engine has nothing to do with the scatter of the metal."""
    part = metal.part(at.value)
    if at.low == at.high:
        return part
    strain = part.strain
    curve = metal.material.curve()
    ends = [curve.strain(min(max(end, curve.start_c), curve.end_c)) for end in (at.low, at.high)]
    low = math.hypot(strain.value - strain.low, strain.value - min(ends))
    high = math.hypot(strain.high - strain.value, max(ends) - strain.value)
    wide = Estimate(strain.value, strain.value - low, strain.value + high, "1", strain.sources)
    return dataclasses.replace(part, strain=wide)


def _let_go(metals: Pair, joint: Joint, press: Press, heat: Heat) -> Estimate | None:
    """The head temperature at which the fit lets go, the ring as far ahead of it as here."""
    ahead = heat.ring.value - heat.head.value
    curves = (metals.insert.material.curve(), metals.head.material.curve())
    end = min(curves[0].end_c - ahead, curves[1].end_c)
    start = max(curves[0].start_c - ahead, curves[1].start_c, heat.head.value - COLDER_K)
    along = grip.path(metals.insert.strain, metals.head.strain, end, ahead_k=ahead, start_c=start)
    left = press_left(joint, press)
    return grip.lost(along, left, joint.insert_diameter.value, joint.bore.value).lost_c


def press_left(joint: Joint, press: Press) -> Estimate:
    """Press at 20 degC with the smoothing taken off, mm."""
    cold, lost = joint.cold(), press.smoothing
    return Estimate(
        cold.value - lost.value, cold.low - lost.high, cold.high - lost.low, "mm", lost.sources
    )


def _with(figure: Estimate, ids: tuple[str, ...]) -> Estimate:
    return dataclasses.replace(figure, sources=(*figure.sources, *ids))
