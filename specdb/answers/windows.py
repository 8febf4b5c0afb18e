"""Which rings go into a counterbore, as found or bored: the windows a search looks through.

Plain numbers, mm. Two questions are asked of a ring of outside D made from D - minus to D + plus,
against a press of least to greatest on diameter:

as found  D - minus - (largest reading + error) >= least and D + plus - (smallest reading - error)
          <= greatest: the worst readings decide, not the mean;
bored     the bore the press leaves, D - greatest to D - least, and the bore that cleans up must
          have enough in common to be hit: twice the reading error, or all of it if it is narrower.
          A bore that would have to be made to the last micrometre is none.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import inf, nextafter
from typing import Any, NamedTuple

from specdb.answers.recommended import Segment

Row = Mapping[str, Any]
FLOAT_MM = 1e-7
"""A ring or reading on the very limit is inside; float noise is a thousand times smaller."""
FAR_MM = 1e6
"""Stands for "no limit" where a server wants a number."""
TIGHT_MM = 0.010
"""A bore window up to this is not hit by limits: the bore is made to the ring (common practice)."""


@dataclass(frozen=True, slots=True)
class Proportion:
    """The inside diameter or height wanted: `fixed`, or a `share` of the outside diameter."""

    fixed: float
    share: float

    def off(self, size: float, outer: float) -> float:
        """How far `size` is from what is wanted of a ring of outside diameter `outer`, mm."""
        return abs(size - (self.fixed + self.share * outer))


@dataclass(frozen=True, slots=True)
class Wanted:
    """A counterbore and what its ring must suit, mm; readings with their error already added.

    `clean_bore` is the smallest bore that cleans up, `clean_up_max` the most that may be taken
    out over `largest_reading`; `as_found` is False where the bore itself forbids it.
    """

    smallest: float
    largest: float
    largest_reading: float
    clean_bore: float
    clean_up_max: float
    hit: float
    as_found: bool
    inner_min: float
    inner_max: float
    height_min: float
    height_max: float
    inner: Proportion
    height: Proportion

    def too_wide_inside(self) -> Wanted:
        """The same, for rings whose inside is larger than allowed."""
        return replace(self, inner_min=nextafter(self.inner_max, inf), inner_max=FAR_MM)

    def too_narrow_inside(self) -> Wanted:
        """The same, for rings whose inside is smaller than allowed."""
        return replace(self, inner_max=nextafter(self.inner_min, -inf), inner_min=0.0)

    def too_high(self) -> Wanted:
        """The same, for rings higher than the counterbore takes."""
        return replace(self, height_min=nextafter(self.height_max, inf), height_max=FAR_MM)


class Verdict(NamedTuple):
    """What becomes of a ring: goes in as found, or is bored to `cut_min`..`cut_max`, or neither.

    `loosest` and `tightest` are the press as found at the worst readings and ring sizes.
    """

    as_found: bool
    serves: bool
    cut_min: float
    cut_max: float
    clean_up: float
    loosest: float
    tightest: float

    @property
    def tight(self) -> bool:
        """Whether it would have to be bored to limits too near to each other to be hit."""
        return not self.as_found and self.cut_max - self.cut_min <= TIGHT_MM + FLOAT_MM


Window = tuple[float, float]


class Reach(NamedTuple):
    """The outside diameters one segment is searched for, `low` to `high`: the one window of what
    goes in as found up to the largest clean-up. `cut` and `as_found` are the two parts of it; up
    to `edge` a ring's least bore is the one that just cleans up, past it more outside is more
    metal."""

    segment: Segment
    low: float
    high: float
    cut: Window
    as_found: Window
    edge: float


def judge(row: Row, wanted: Wanted, segment: Segment, cut: Window | None = None) -> Verdict:
    """What becomes of a ring in a counterbore, the press of `segment` holding at its outside.

    `cut`: the segment's `cut_window`, by whoever judges many rings.
    """
    outer = row["outer_mm"]
    loosest = outer - row["outer_minus_mm"] - wanted.largest
    tightest = outer + row["outer_plus_mm"] - wanted.smallest
    as_found = (
        wanted.as_found
        and loosest >= segment.minimum_mm - FLOAT_MM
        and tightest <= segment.maximum_mm + FLOAT_MM
    )
    past = outer > wanted.clean_bore + segment.maximum_mm + FLOAT_MM
    cut_min = outer - segment.maximum_mm if past else wanted.clean_bore
    low, high = cut or cut_window(wanted, segment)
    serves = as_found or low <= outer <= high
    clean_up = 0.0 if as_found else cut_min - wanted.largest_reading
    cut_max = outer - segment.minimum_mm
    return Verdict(as_found, serves, cut_min, cut_max, clean_up, loosest, tightest)


def cut_window(wanted: Wanted, segment: Segment) -> Window:
    """Outside diameters of rings that can be bored for; empty (high below low) where none can."""
    if wanted.clean_bore - wanted.largest_reading > wanted.clean_up_max + FLOAT_MM:
        return inf, -inf
    width = segment.maximum_mm - segment.minimum_mm
    if width <= FLOAT_MM:
        return inf, -inf
    room = max(min(wanted.hit, width), 2 * FLOAT_MM)
    low = wanted.clean_bore + segment.minimum_mm + room
    high = wanted.largest_reading + wanted.clean_up_max + segment.maximum_mm
    return max(low - FLOAT_MM, segment.low_mm), min(high + FLOAT_MM, segment.high_mm)


def as_found_window(wanted: Wanted, segment: Segment) -> Window:
    """Outside diameters among which every ring that goes in as found lies."""
    if not wanted.as_found:
        return inf, -inf
    low = wanted.largest + segment.minimum_mm - FLOAT_MM
    high = wanted.smallest + segment.maximum_mm + FLOAT_MM
    return max(low, segment.low_mm), min(high, segment.high_mm)


def reach(wanted: Wanted, segment: Segment) -> Reach | None:
    """Where a segment is searched, or None where nothing of it can serve."""
    least = min(wanted.largest, wanted.clean_bore) + segment.minimum_mm
    most = max(wanted.largest_reading + wanted.clean_up_max, wanted.smallest) + segment.maximum_mm
    if segment.high_mm < least - 2 * FLOAT_MM or segment.low_mm > most + 2 * FLOAT_MM:
        return None  # most segments of a wide list: told apart at no cost
    cut, as_found = cut_window(wanted, segment), as_found_window(wanted, segment)
    low, high = cut
    if as_found[0] <= as_found[1]:
        if low > high:
            low, high = as_found
        else:
            low, high = min(low, as_found[0]), max(high, as_found[1])
    elif low > high:
        return None
    edge = wanted.clean_bore + segment.maximum_mm + FLOAT_MM
    return Reach(segment, low, high, cut, as_found, edge)


def tight_to(wanted: Wanted, segment: Segment) -> float:
    """The outside diameter up to which a ring that is bored for is `tight` and others are not."""
    if segment.maximum_mm - segment.minimum_mm <= TIGHT_MM + FLOAT_MM:
        return 0.0  # all are: nothing to tell apart
    return wanted.clean_bore + segment.minimum_mm + TIGHT_MM + FLOAT_MM
