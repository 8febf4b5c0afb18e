"""A fit through a hot cycle: what ring and head lose on the way, and the press left each time.

Every state is computed with what the states before it cost (`specdb.physics.hot_cycle`). Diameters
and smoothing are limits; the scatter of each metal's expansion, stiffness and strength is a spread
that is the same in every state: a strong ring is strong hot and cold.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from specdb.answers import press as pressing
from specdb.answers.hot_states import Heat
from specdb.answers.metals import Pair
from specdb.answers.press import FROM_ZERO, PLAIN, Hub, Part, Press
from specdb.errors import OutOfRange
from specdb.estimate import Estimate, exact, propagate
from specdb.physics import hot_cycle
from specdb.records.fit import CycleState, Warmth

SCATTER = Estimate(0.0, -1.0, 1.0, "1")
PARTS = ("insert", "head")
OF_PART = ("strain", "modulus", "poisson", "strength")
TOLD_MM = 0.0005
"""Less than this lost is not worth a word."""


class Cycle(NamedTuple):
    """The states in order, or why there are none."""

    states: tuple[CycleState, ...]
    unknown: dict[str, str]


class _Step(NamedTuple):
    heat: Heat
    insert: Part
    head: Part


def told(warmths: Iterable[Warmth]) -> tuple[Heat, ...]:
    """The states a caller gave, between two cold ones."""
    cold = exact(20.0, "degC")
    given = [
        Heat(
            f"ring {each.insert_temperature:g}, head {each.head_temperature:g} degC",
            exact(each.head_temperature, "degC"),
            exact(each.insert_temperature, "degC"),
        )
        for each in warmths
    ]
    return (Heat("fitted, cold", cold, cold), *given, Heat("cold at last", cold, cold))


def within(heats: Iterable[Heat], metals: Pair) -> tuple[Heat, ...]:
    """The states brought inside the data of both metals; a state that was says so."""
    return tuple(_within(heat, metals) for heat in heats)


def _within(heat: Heat, metals: Pair) -> Heat:
    ring = min(heat.ring.value, metals.insert.material.curve().end_c)
    head = min(heat.head.value, metals.head.material.curve().end_c)
    if (ring, head) == (heat.ring.value, heat.head.value):
        return heat
    return Heat(
        f"{heat.state} (no hotter than the data go)",
        exact(head, "degC", heat.head.sources),
        exact(ring, "degC", heat.ring.sources),
    )


def cycle(metals: Pair, press: Press, hub: Hub, heats: Iterable[Heat]) -> Cycle:
    """The press left in each state; none where a state lies outside a curve."""
    heats = tuple(heats)
    if not heats:
        why = f"no running temperatures are known for a {metals.head_class} head: give a cycle"
        return Cycle((), {"cycle": why})
    try:
        steps = [
            _Step(heat, metals.insert.part(heat.ring.value), metals.head.part(heat.head.value))
            for heat in heats
        ]
    except OutOfRange as refused:
        return Cycle((), {"cycle": refused.message})
    return Cycle(tuple(_said(_bands(press, hub, steps), steps)), {})


def _bands(press: Press, hub: Hub, steps: list[_Step]) -> dict[str, Estimate]:
    """`left0`, `pressure0`, `ring0`, `hub0`, `left1`, ... of every step."""

    def outcome(**at: float) -> dict[str, float]:
        moved = dict(at)
        sizes, press_mm = pressing.sizes(press, hub, moved), _cold(moved)
        states = [_state(press, hub, step, moved) for step in steps]
        found = {"ring_near": 0.0, "hub_near": 0.0}
        for each in states:
            ring, hub_ = hot_cycle.nearness(sizes, each, press_mm)
            found["ring_near"] = max(found["ring_near"], ring)
            found["hub_near"] = max(found["hub_near"], hub_)
        for n, held in enumerate(hot_cycle.press_left_after_cycle(sizes, press_mm, states)):
            found[f"left{n}"] = held.interference_mm
            found[f"pressure{n}"] = held.pressure_mpa
            found[f"ring{n}"] = held.ring_set_mm
            found[f"hub{n}"] = held.hub_set_mm
        return found

    spreads = {f"{part}_{name}": SCATTER for part in PARTS for name in OF_PART}
    if hub.pocket is not PLAIN:
        spreads |= {"pocket": hub.pocket.factor, "stretch": hub.pocket.stretch}
    units = {
        f"{name}{n}": unit
        for n in range(len(steps))
        for name, unit in (("left", "mm"), ("pressure", "MPa"), ("ring", "mm"), ("hub", "mm"))
    }
    last = len(steps) - 1
    return propagate(
        outcome,
        units=units | {"ring_near": "1", "hub_near": "1"},
        limits={
            "insert_diameter": press.insert_diameter,
            "bore": press.bore,
            "smoothing": press.smoothing,
        },
        spreads=spreads,
        rows=_rows(steps),
        bounds={name: FROM_ZERO for name in units if not name.startswith("left")},
        bent={f"left{last}": "ring_near", f"ring{last}": "ring_near", f"hub{last}": "hub_near"},
    )


def _cold(at: Mapping[str, float]) -> float:
    return at["insert_diameter"] - at["bore"] - at["smoothing"]


def _state(press: Press, hub: Hub, step: _Step, at: Mapping[str, float]) -> hot_cycle.State:
    """The state of a step with each metal moved by its share of its band."""
    values = {name: at[name] for name in ("bore", "pocket", "stretch") if name in at}
    for name, part in zip(PARTS, (step.insert, step.head), strict=True):
        for what in OF_PART:
            figure = getattr(part, what)
            if figure is not None:
                values[f"{name}_{what}"] = figure.moved(at[f"{name}_{what}"])
    # The ring grows from its own diameter, which is larger than that of the joint.
    values["insert_strain"] *= at["insert_diameter"] / at["bore"]
    return pressing.state(press, hub, values)


def _rows(steps: list[_Step]) -> set[str]:
    figures = [
        getattr(part, what)
        for step in steps
        for part in (step.insert, step.head)
        for what in OF_PART
    ]
    found = {row for figure in figures if figure is not None for row in figure.sources}
    return found | {row for step in steps for row in step.heat.rows}


def _said(found: dict[str, Estimate], steps: list[_Step]) -> Iterable[CycleState]:
    for n, step in enumerate(steps):
        yield CycleState(
            state=step.heat.state,
            insert_temperature_c=step.heat.ring.value,
            head_temperature_c=step.heat.head.value,
            press_left_mm=found[f"left{n}"],
            pressure_mpa=found[f"pressure{n}"],
            insert_set_mm=found[f"ring{n}"],
            head_set_mm=found[f"hub{n}"],
            why=_why(found, n, step),
        )


def _why(found: dict[str, Estimate], n: int, step: _Step) -> str:
    said = []
    for name, word in (("ring", "ring"), ("hub", "head")):
        before = found[f"{name}{n - 1}"].value if n else 0.0
        lost = found[f"{name}{n}"].value - before
        if lost > TOLD_MM:
            said.append(f"the {word} yields by {lost:.3f} mm")
    if found[f"left{n}"].value <= 0:
        said.append("no press left")
    for part, word in ((step.insert, "ring"), (step.head, "head")):
        if part.strength is None and part.limit == "yields":
            said.append(f"strength of the {word} not known here: taken as never yielding")
    return "; ".join(said) or "holds"


def cost(states: tuple[CycleState, ...]) -> str | None:
    """What the whole cycle costs and where it leaves the ring loose, in words, or None where next
    to nothing."""
    if not states:
        return None
    first, last = states[0], states[-1]
    lost = [last.insert_set_mm.value, last.head_set_mm.value]
    before = first.insert_set_mm.value + first.head_set_mm.value
    if not math.isfinite(sum(lost)) or sum(lost) - before < TOLD_MM:
        return None
    which = "the ring yields" if lost[0] > lost[1] else "the head yields"
    text = (
        f"a hot cycle costs {sum(lost) - before:.3f} mm of the press, as {which}: "
        f"{max(last.press_left_mm.value, 0.0):.3f} mm is left cold"
    )
    loose = [each.state for each in states if each.press_left_mm.value <= 0]
    return text + (f", and none at: {', '.join(loose)}" if loose else "")
