"""A fit in a running engine: the temperatures rows give, and how far they are from letting go."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from specdb.answers.metals import Pair
from specdb.answers.press import Hub, Press, figures
from specdb.errors import OutOfRange
from specdb.estimate import Estimate
from specdb.records.fit import RunningState
from specdb.store.asof import Reader
from specdb.store.query import running as rows

HEAD = ("head-at-exhaust-counterbore", "head-bridge")
WALL = "chamber-wall"
RINGS = {"exhaust": "exhaust-insert", "intake": "intake-insert"}


class States(NamedTuple):
    """The states that could be computed, and why others could not."""

    states: tuple[RunningState, ...]
    unknown: dict[str, str]


class _Heat(NamedTuple):
    """A running state: head and ring temperature, degC, the rows, and what it is."""

    state: str
    head_c: float
    ring_c: float
    rows: tuple[str, ...]


def states(
    reader: Reader, metals: Pair, press: Press, hub: Hub, lost: Estimate | None, position: str
) -> States:
    """Working and overheated head, each evenly soaked, and the head with its ring hotter."""
    ring_place = RINGS[position]
    found = rows.temperatures(reader, metals.head_class, (*HEAD, WALL, ring_place))
    heats = list(_heats(found, metals.head_class, ring_place))
    made, beyond = [], []
    for heat in heats:
        try:
            made.append(_state(metals, press, hub, heat, lost))
        except OutOfRange as refused:
            beyond.append(f"{heat.state}: {refused.message}")
    unknown = {}
    if beyond:
        unknown["running"] = "; ".join(beyond)
    elif not heats:
        unknown["running"] = f"no running temperature is known for a {metals.head_class} head"
    return States(tuple(made), unknown)


def _heats(found: Iterable[Mapping[str, Any]], head_class: str, ring_place: str) -> Iterable[_Heat]:
    own = [row for row in found if row["head_class"] == head_class]
    running = [row for row in own if row["place"] in HEAD and row["state"] == "running"]
    rings = [row for row in own if row["place"] == ring_place and row["state"] == "running"]
    limits = [
        row for row in own if row["place"] in (WALL, *HEAD) and row["state"] == "design-limit"
    ]
    if running:
        hot = _hottest(running)
        at = hot["maximum_c"]
        yield _Heat("working head, ring as hot", at, at, (hot["id"],))
        if rings:
            ring = _hottest(rings)
            both = (hot["id"], ring["id"])
            yield _Heat("working head, ring at its own heat", _middle(hot), _middle(ring), both)
    if limits:
        limit = _hottest(limits)
        at = limit["maximum_c"]
        yield _Heat("overheated head, ring as hot", at, at, (limit["id"],))


def _hottest(found: Iterable[Mapping[str, Any]]) -> Mapping[str, Any]:
    return max(found, key=lambda row: (row["maximum_c"], row["id"]))


def _middle(row: Mapping[str, Any]) -> float:
    low = row["minimum_c"]
    return float(row["maximum_c"] if low is None else (low + row["maximum_c"]) / 2)


def _state(
    metals: Pair, press: Press, hub: Hub, heat: _Heat, lost: Estimate | None
) -> RunningState:
    hot = dataclasses.replace(
        press,
        insert=metals.insert.part(heat.ring_c),
        head=metals.head.part(heat.head_c),
    )
    found = figures(hot, hub)
    margin, why = None, "head and ring are not equally hot"
    if heat.head_c == heat.ring_c:
        why = "holds to the end of the data"
        if lost is not None:
            at = heat.head_c
            margin = Estimate(
                lost.value - at, lost.low - at, lost.high - at, "K", (*lost.sources, *heat.rows)
            )
            why = "lets go first" if margin.value < 0 else "still holds there"
    return RunningState(
        state=heat.state,
        head_temperature_c=heat.head_c,
        insert_temperature_c=heat.ring_c,
        interference_mm=_with(found["interference_mm"], heat.rows),
        pressure_formula_mpa=_with(found["pressure_formula_mpa"], heat.rows),
        margin_k=margin,
        why=why,
    )


def _with(figure: Estimate, ids: tuple[str, ...]) -> Estimate:
    return dataclasses.replace(figure, sources=(*figure.sources, *ids))
