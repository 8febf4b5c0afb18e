"""Bridges of a head: the metal between neighbouring counterbores, before and after boring."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from specdb.answers.neighbours import Pair, Place, pairs
from specdb.records.head import BridgeBetween, SeatException
from specdb.records.seat import SeatReadings

THINNEST_SHOWN_MM = 8.0
"""Bridges thicker than this are not listed: there is nothing to say of them."""


@dataclass(frozen=True, slots=True)
class Bored:
    """What boring makes of a counterbore: its diameter, and how far its centre moves, mm."""

    bore: float
    moves: float = 0.0


class Bridges:
    """The neighbours of a head's counterbores, by their place in the list of `places`."""

    def __init__(self, places: Sequence[Place], positions: Sequence[str]) -> None:
        self._places = places
        self._positions = positions
        self._pairs = pairs(places)
        self._of: dict[int, list[Pair]] = defaultdict(list)
        for pair in self._pairs:
            self._of[pair.one].append(pair)
            self._of[pair.other].append(pair)

    def thinnest(self, at: int, bored: Mapping[int, Bored]) -> float | None:
        """Metal from the counterbore as it is to the nearest neighbour, as that one will be bored;
        None where no neighbour is told."""
        mine = self._places[at].bore
        found = []
        for pair in self._of.get(at, ()):
            other = pair.other if pair.one == at else pair.one
            then = bored.get(other, Bored(self._places[other].bore))
            found.append(pair.distance - (mine + then.bore) / 2 - then.moves)
        return min(found, default=None)

    def neighbours_bored(self, at: int, bored: Mapping[int, Bored]) -> bool:
        """Whether a neighbour of the counterbore is to be bored."""
        return any(pair.one in bored or pair.other in bored for pair in self._of.get(at, ()))

    def between(self, bored: Mapping[int, Bored]) -> Iterator[BridgeBetween]:
        """Every bridge worth a word, and those of counterbores that overlap."""
        for pair in self._pairs:
            one, other = (self._places[at] for at in (pair.one, pair.other))
            then = [bored.get(at, Bored(self._places[at].bore)) for at in (pair.one, pair.other)]
            now = pair.distance - (one.bore + other.bore) / 2
            left = pair.distance - sum(each.bore / 2 + each.moves for each in then)
            if left <= THINNEST_SHOWN_MM:
                first, second = self._sequence(pair)
                yield BridgeBetween(
                    labels=(first, second),
                    centre_distance_mm=pair.distance,
                    now_mm=now,
                    left_mm=left,
                    overlaps=left < 0,
                    say=IN_SEQUENCE.format(first=first, second=second) if left < 0 else None,
                )

    def _sequence(self, pair: Pair) -> tuple[str, str]:
        """The inlet first, so that the hotter exhaust ring stays whole; else by name."""
        order = sorted(
            (pair.one, pair.other),
            key=lambda at: (self._positions[at] != "intake", self._places[at].label),
        )
        first, second = (self._places[at].label for at in order)
        return first, second


IN_SEQUENCE = (
    "the counterbores overlap: bore and fit {first} first; the cut for {second} then trims that "
    "ring. No pressure is calculated."
)


def place(seat: SeatReadings) -> Place:
    """Where a seat stands, with its largest reading as its bore."""
    return Place(seat.label, max(seat.bore), seat.x, seat.y, seat.neighbour, seat.centre_distance)


def exceptions(
    found: Sequence[BridgeBetween], alloy: set[str], warn: float, refuse: float
) -> Iterator[SeatException]:
    """Seats whose bridge overlaps or is thinner than the trade leaves one in alloy."""
    for bridge in found:
        first, second = bridge.labels
        if bridge.say:
            yield SeatException(label=second, what="overlaps", why=bridge.say)
        elif bridge.left_mm < warn and (first in alloy or second in alloy):
            limit = refuse if bridge.left_mm < refuse else warn
            said = (
                f"{bridge.left_mm:.2f} mm left to {first} ({bridge.now_mm:.2f} mm now): under "
                f"{limit:g} mm in alloy"
            )
            yield SeatException(label=second, what="thin bridge", why=said)
