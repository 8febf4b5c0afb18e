"""A fit in a running engine: the temperatures rows give, and how far they are from letting go."""

from __future__ import annotations

import dataclasses
import math
from typing import NamedTuple

from specdb.answers import grip, hot_states
from specdb.answers.hot_states import Heat
from specdb.answers.joint import ROOM_C, Joint
from specdb.answers.metals import Metal, Pair
from specdb.answers.press import Hub, Part, Press, figures
from specdb.errors import OutOfRange
from specdb.estimate import Estimate
from specdb.records.fit import RunningState

COLDER_K = 150.0
"""How far below a state the search for where it lets go begins."""


class States(NamedTuple):
    """The states that could be computed, the one that decides, and why others could not be."""

    states: tuple[RunningState, ...]
    unknown: dict[str, str]

    @property
    def deciding(self) -> RunningState | None:
        """The state with the least press left at worst, or None."""
        return min(self.states, key=lambda each: each.interference_mm.low, default=None)


def states(metals: Pair, joint: Joint, press: Press, hub: Hub, known: hot_states.Known) -> States:
    """Ring ahead, full load, working and overheated head evenly soaked, as far as rows go."""
    let_go = _LetGo(metals, joint, press)
    heats = list(hot_states.running(known))
    made, beyond = [], []
    for heat in heats:
        try:
            made.append(_state(metals, press, hub, heat, let_go))
        except OutOfRange as refused:
            beyond.append(f"{heat.state}: {refused.message}")
    unknown = {}
    if beyond:
        unknown["running"] = "; ".join(beyond)
    elif not heats:
        unknown["running"] = f"no running temperature is known for a {metals.head_class} head"
    return States(tuple(made), unknown)


def _state(metals: Pair, press: Press, hub: Hub, heat: Heat, let_go: _LetGo) -> RunningState:
    hot = dataclasses.replace(
        press, insert=_part(metals.insert, heat.ring), head=_part(metals.head, heat.head)
    )
    found = figures(hot, hub)
    margin, end = None, let_go.at(heat)
    if end is not None:
        at, rows = heat.head.value, (*end.sources, *heat.rows)
        margin = Estimate(end.value - at, end.low - at, end.high - at, "K", rows)
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
    loose = "; at worst it lets go" if left.low <= 0 else ""
    if margin is None:
        return f"holds as hot as the data go{loose}"
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


class _LetGo:
    """Where the fit lets go as ring and head warm alike, found once for each lead of the ring."""

    def __init__(self, metals: Pair, joint: Joint, press: Press) -> None:
        self._insert, self._head = metals.insert, metals.head
        self._left = press_left(joint, press)
        self._sizes = (joint.insert_diameter.value, joint.bore.value)
        self._found: dict[float, Estimate | None] = {}

    def at(self, heat: Heat) -> Estimate | None:
        """The head temperature at which it does, the ring as far ahead of it as here."""
        ahead = heat.ring.value - heat.head.value
        if ahead not in self._found:
            self._found[ahead] = self._search(heat, ahead)
        return self._found[ahead]

    def _search(self, heat: Heat, ahead: float) -> Estimate | None:
        insert, head = self._insert.material.curve(), self._head.material.curve()
        start, end = ROOM_C, min(insert.end_c - ahead, head.end_c)
        if ahead:
            colder = heat.head.value - COLDER_K
            start = max(insert.start_c - ahead, head.start_c, colder)
        along = grip.path(self._insert.strain, self._head.strain, end, ahead_k=ahead, start_c=start)
        return grip.lost(along, self._left, *self._sizes).lost_c


def press_left(joint: Joint, press: Press) -> Estimate:
    """Press at 20 degC with the smoothing taken off, mm."""
    cold, lost = joint.cold(), press.smoothing
    return Estimate(
        cold.value - lost.value, cold.low - lost.high, cold.high - lost.low, "mm", lost.sources
    )


def _with(figure: Estimate, ids: tuple[str, ...]) -> Estimate:
    return dataclasses.replace(figure, sources=(*figure.sources, *ids))
