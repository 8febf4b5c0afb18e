"""Which counterbores stand next to each other, by coordinates or by a told centre distance.

Coordinates are sorted into squares wider than any pair can reach, so that a long list costs no more
than its length.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

REACH_MM = 30.0
"""Metal between two counterbores beyond which they are no neighbours: each is alone in thick
metal."""


@dataclass(frozen=True, slots=True)
class Place:
    """A counterbore: what it is called, its bore and centre, and a neighbour told by distance."""

    label: str
    bore: float
    x: float | None
    y: float | None
    neighbour: str | None = None
    distance: float | None = None


@dataclass(frozen=True, slots=True)
class Pair:
    """Two neighbours, by their place in the list, lower first, and the distance of their
    centres, mm."""

    one: int
    other: int
    distance: float


def pairs(places: Sequence[Place]) -> list[Pair]:
    """Every pair of neighbours, each once."""
    found = {(pair.one, pair.other): pair for pair in _by_coordinates(places)}
    # a distance told was measured; it goes before one reckoned from coordinates
    found.update({(pair.one, pair.other): pair for pair in _told(places)})
    return [found[key] for key in sorted(found)]


def _by_coordinates(places: Sequence[Place]) -> Iterator[Pair]:
    placed = [at for at, each in enumerate(places) if each.x is not None and each.y is not None]
    if not placed:
        return
    side = max(places[at].bore for at in placed) + REACH_MM
    squares: dict[tuple[int, int], list[int]] = defaultdict(list)
    for at in placed:
        squares[_square(places[at], side)].append(at)
    for (column, row), members in squares.items():
        around = [
            at
            for across in (-1, 0, 1)
            for along in (-1, 0, 1)
            for at in squares.get((column + across, row + along), ())
        ]
        for one in members:
            for other in around:
                if one < other and _near(places[one], places[other]):
                    yield Pair(one, other, _distance(places[one], places[other]))


def _square(place: Place, side: float) -> tuple[int, int]:
    return math.floor((place.x or 0.0) / side), math.floor((place.y or 0.0) / side)


def _distance(one: Place, other: Place) -> float:
    return math.hypot((one.x or 0.0) - (other.x or 0.0), (one.y or 0.0) - (other.y or 0.0))


def _near(one: Place, other: Place) -> bool:
    return _distance(one, other) - (one.bore + other.bore) / 2 <= REACH_MM


def _told(places: Sequence[Place]) -> Iterator[Pair]:
    at: Mapping[str, int] = {place.label: number for number, place in enumerate(places)}
    for number, place in enumerate(places):
        other = at.get(place.neighbour or "")
        if other is not None and other != number and place.distance is not None:
            yield Pair(min(number, other), max(number, other), place.distance)
