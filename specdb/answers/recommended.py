"""Which recommended range holds for a case at a diameter: plain rows in, plain answers out.

A case is a part, the classes an insert answers to (its own first, `any` last), a position and a
retention. Of the recommended rows that cover a diameter the one of the closest insert class holds,
then the one for the very position, then the one that starts latest, so that where two rows meet
the upper one takes over.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf, nextafter
from typing import Any

Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Case:
    """What a range is wanted for. `insert_classes`: most specific first, ending in `any`."""

    insert_classes: tuple[str, ...]
    position: str
    retention: str = "none"

    def fits(self, row: Row) -> bool:
        """Whether a recommended row is for this case, whatever its diameters."""
        return (
            row["insert_class"] in self.insert_classes
            and row["position"] in (self.position, "any")
            and _plain(row["retention"]) == _plain(self.retention)
            and row["seat_in"] == "head"
        )


@dataclass(frozen=True, slots=True)
class Segment:
    """A range that holds from `low_mm` to `high_mm` and where it comes from.

    Both ends belong to it; where two segments meet, the lower one ends a bit before.
    """

    low_mm: float
    high_mm: float
    minimum_mm: float
    maximum_mm: float
    rule: str
    sources: tuple[str, ...]

    def at_low_end(self) -> Segment:
        """The lower half of the range: what a weak casting is given."""
        half = (self.minimum_mm + self.maximum_mm) / 2
        rule = f"{self.rule}; the lower half of it, for a welded or soft head (common practice)"
        return Segment(self.low_mm, self.high_mm, self.minimum_mm, half, rule, self.sources)


def segments(rows: Iterable[Row], case: Case) -> list[Segment]:
    """The recommended range over every diameter it is known for, in order of diameter."""
    held = [row for row in rows if case.fits(row)]
    ends = sorted({end for row in held for end in _span(row)})
    pairs = list(itertools.pairwise(ends))
    chosen = [best(held, case, _between(low, high)) for low, high in pairs]
    found: list[Segment] = []
    for at, (row, (low, high)) in enumerate(zip(chosen, pairs, strict=True)):
        if row is not None:
            goes_on = at + 1 < len(chosen) and chosen[at + 1] is not None
            found.append(_segment(row, low, nextafter(high, 0.0) if goes_on else high))
    return found


def at(found: Sequence[Segment], diameter_mm: float) -> Segment | None:
    """The segment that holds at a diameter, or None."""
    return next((each for each in found if each.low_mm <= diameter_mm <= each.high_mm), None)


def closest(found: Sequence[Segment], diameter_mm: float) -> Segment | None:
    """The segment whose diameters come nearest to the one asked."""
    return min(found, key=lambda each: _distance(each, diameter_mm), default=None)


def best(rows: Iterable[Row], case: Case, diameter_mm: float) -> Row | None:
    """The row that holds at a diameter by the order of this module, or None."""
    held = [row for row in rows if case.fits(row) and _span(row)[0] <= diameter_mm <= _span(row)[1]]
    return min(held, key=lambda row: _rank(row, case), default=None)


def _rank(row: Row, case: Case) -> tuple[int, bool, float, str]:
    return (
        case.insert_classes.index(row["insert_class"]),
        row["position"] == "any",
        -_span(row)[0],
        row["id"],
    )


def _plain(retention: str) -> str:
    """Peened and staked rings are one class: the sources tell them apart from plain ones only."""
    return "none" if retention == "none" else "peened-or-staked"


def _span(row: Row) -> tuple[float, float]:
    low, high = row["diameter_from_mm"], row["diameter_to_mm"]
    return (0.0 if low is None else low, inf if high is None else high)


def _between(low: float, high: float) -> float:
    return low + 1.0 if high == inf else (low + high) / 2


def _distance(segment: Segment, diameter_mm: float) -> float:
    return max(segment.low_mm - diameter_mm, diameter_mm - segment.high_mm, 0.0)


def _segment(row: Row, low: float, high: float) -> Segment:
    sources = tuple(filter(None, row["sources"].split(";")))
    return Segment(low, high, row["minimum_mm"], row["maximum_mm"], row["rule"], sources)
