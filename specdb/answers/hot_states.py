"""The heats of a running engine that rows give, for a head class and a valve.

Each named state has a head and a ring temperature with the range the rows leave open; a state
that stands at the end of a range has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from specdb.answers.joint import ROOM_C
from specdb.estimate import Estimate, exact
from specdb.store.asof import Reader
from specdb.store.query import running as rows

HEAD = ("head-at-exhaust-counterbore", "head-bridge")
WALL = "chamber-wall"
RINGS = {"exhaust": "exhaust-insert", "intake": "intake-insert"}


class Heat(NamedTuple):
    """A state: head and ring temperature, degC, and what it is called."""

    state: str
    head: Estimate
    ring: Estimate

    @property
    def rows(self) -> tuple[str, ...]:
        """The rows the temperatures come from."""
        return (*self.head.sources, *self.ring.sources)


class Known(NamedTuple):
    """What rows say: the running head, its ring, the head's limit, degC; None where nothing."""

    head: Estimate | None
    ring: Estimate | None
    limit: Estimate | None


def known(reader: Reader, head_class: str, position: str) -> Known:
    """The hottest running rows and the hottest design limit of a head class."""
    place = RINGS[position]
    found = rows.temperatures(reader, head_class, (*HEAD, WALL, place))
    own = [row for row in found if row["head_class"] == head_class]
    running = [row for row in own if row["state"] == "running"]
    limits = [row for row in own if row["place"] != place and row["state"] == "design-limit"]
    return Known(
        _span(row for row in running if row["place"] in HEAD),
        _span(row for row in running if row["place"] == place),
        _span(limits),
    )


def running(heat: Known) -> Iterator[Heat]:
    """The named states of a running engine, as far as the rows go."""
    if heat.head is not None:
        if heat.ring is not None:
            ahead = "warm-up, the ring ahead of the head"
            yield Heat(ahead, _end(heat.head, heat.head.low), heat.ring)
            yield Heat("full load, ring at its own heat", heat.head, heat.ring)
        at = _end(heat.head, heat.head.high)
        yield Heat("even soak, head and ring as hot as a working head", at, at)
    if heat.limit is not None:
        at = _end(heat.limit, heat.limit.high)
        yield Heat("overheated head, ring as hot", at, at)


def usual_cycle(heat: Known) -> tuple[Heat, ...]:
    """Cold, ring ahead of the head, full load, even soak, cold; then the head ahead, and cold."""
    if heat.head is None or heat.ring is None:
        return ()
    cold = exact(ROOM_C, "degC")
    low, high = (_end(heat.head, at) for at in (heat.head.low, heat.head.high))
    middle, ring = (_end(each, each.value) for each in (heat.head, heat.ring))
    return (
        Heat("fitted, cold", cold, cold),
        Heat("warm-up, the ring ahead of the head", low, ring),
        Heat("full load", middle, ring),
        Heat("even soak", high, high),
        Heat("cold again", cold, cold),
        Heat("the head ahead of the ring", high, low),
        Heat("cold at last", cold, cold),
    )


def _span(found: Iterable[Mapping[str, Any]]) -> Estimate | None:
    """The hottest row, from its least to its greatest temperature with the middle as value."""
    row = max(found, key=lambda each: (each["maximum_c"], each["id"]), default=None)
    if row is None:
        return None
    high = row["maximum_c"]
    low = high if row["minimum_c"] is None else row["minimum_c"]
    return Estimate((low + high) / 2, low, high, "degC", (row["id"],))


def _end(span: Estimate, at: float) -> Estimate:
    return exact(at, "degC", span.sources)
