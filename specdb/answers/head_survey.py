"""What a head asks of each seat before it is planned: its rings, and the heats they go in at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from specdb.answers import boring, head_heat, head_settings, measured_ring
from specdb.answers.head_rings import Key, Supply, key_of
from specdb.answers.head_settings import Bored, Choice, Shared, elsewhere
from specdb.answers.seat import Settled, ring_of, rings
from specdb.errors import SpecdbError
from specdb.records.seat import SeatReadings
from specdb.records.sizes import GENERIC, Candidate
from specdb.store.asof import Reader

MANY = 60
"""Sizes looked at for each seat: enough for every outside within the preference."""


@dataclass(slots=True)
class Surveyed:
    """What is kept of a seat between the passes."""

    label: str
    line: int
    runout: float
    alloy: bool = False
    as_found: Key | None = None
    also: tuple[tuple[Key, int | None], ...] = ()
    bored: Bored | None = None
    ways: head_heat.Ways = ()
    dead: bool = False


class Could(NamedTuple):
    """Whether the head is of alloy; the ring that goes in as found, and the shop's own that would
    too, with how many there are; what could be bored for, of all rings and of the shelf, and the
    hole there is, None where nothing is bored."""

    alloy: bool
    as_found: Key | None
    also: tuple[tuple[Key, int | None], ...]
    bored: tuple[tuple[Choice, ...], tuple[Choice, ...], float] | None


def could(reader: Reader, request: SeatReadings, within: float) -> Could:
    """The rings of a seat; choices lie no more than `within` mm apart. Raises what `sizes` does."""
    found = rings(reader, request.model_copy(update={"most": MANY}))
    alloy = found.head_class == "aluminium"
    first = next(iter(found.candidates), None)
    if first is None:
        return Could(alloy, None, (), None)
    if first.as_found:
        own = (each for each in found.candidates[1:] if each.as_found and each.origin != GENERIC)
        also = ((key_of(each), each.left) for each in own if each.too_low is first.too_low)
        return Could(alloy, key_of(first), tuple(also), None)
    asked = found.candidates, request.reading_error, within
    hole = boring.hole_of(found.largest_mm, request.runout)
    return Could(
        alloy, None, (), (head_settings.choices(*asked), head_settings.on_shelf(*asked), hole)
    )


def warmed(
    reader: Reader, request: SeatReadings, settled: Settled | None
) -> tuple[Candidate | None, head_heat.Ways]:
    """The ring of a seat, and the heats it goes in at: none where the plan will say why."""
    ring = ring_of(reader, request, settled)
    if ring is None:
        return None, ()
    try:
        found = measured_ring.both(reader, request, ring)
    except SpecdbError:
        return ring, ()
    ways = head_heat.ways_of(found.limits)
    if found.measured is not None:
        ways = head_heat.with_milder(ways, head_heat.ways_of(found.measured))
    return ring, ways


def nameless(request: SeatReadings) -> SeatReadings:
    """The same readings without what tells one seat from another: seats that then are equal get
    the same answer."""
    return request.model_copy(update=NAMELESS)


NAMELESS = {"label": "seat", "x": None, "y": None, "neighbour": None, "centre_distance": None}


def instead(seat: Surveyed, shared: Sequence[Shared], supply: Supply) -> tuple[Key, str] | None:
    """A ring of the shelf, not spoken for, for a seat that goes without, and how it would go in."""
    if seat.bored is not None:
        return elsewhere(seat.bored, shared, supply)
    return next(((key, "as found") for key, left in seat.also if supply.has(key, left)), None)


def least(*told: float | None) -> float | None:
    """The least of what was told."""
    return min((each for each in told if each is not None), default=None)
