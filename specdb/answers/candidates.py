"""What serves: as found first, then least metal, and the shop's own first among what serves alike.

"Alike" is what the trade asks before it looks at the shelf: no more than a tenth or so of
millimetre apart on diameter, standing no lower in the counterbore, and no thinner in the wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from operator import itemgetter
from typing import Any, NamedTuple

from specdb.answers.near_misses import Search
from specdb.answers.recommended import Segment
from specdb.answers.shelves import Shelf
from specdb.answers.windows import (
    FAR_MM,
    FLOAT_MM,
    Row,
    Verdict,
    Wanted,
    as_found_window,
    judge,
    reach,
)
from specdb.records.sizes import Preferred


class Choice(NamedTuple):
    """A ring that serves, and everything known about how. `preferred`: what it is put before others
    alike for, which `order` does not know."""

    order: tuple[Any, ...]
    row: Row
    shelf: Shelf
    segment: Segment
    verdict: Verdict
    preferred: Preferred | None = None


@dataclass(frozen=True, slots=True)
class Alike:
    """How far choices may differ and still be alike, mm: `diameter`; how low in the counterbore a
    ring may stand, `setback`; and, as a share of its outside, how thin its wall may be, `wall`."""

    diameter: float
    setback: float
    wall: float


_plainly = itemgetter(0)
"""The order of choices, nothing preferred."""


def ranked(search: Search, most: int, prefer: Sequence[float], alike: Alike) -> list[Choice]:
    """The first `most` rings that serve, best first.

    What goes in as found comes before what is bored for. Of what is bored for, rings no more than
    `alike.diameter` above the best are alike, and of them the outsides in `prefer` come first.
    Among rings alike the shop's own come before others, those that serve as well as the best of
    these.
    """
    found = _served(search, search.segments, most, search.shelves, alike.diameter)
    if not prefer and len({each.shelf.own for each in found}) < 2:
        return sorted(found, key=_plainly)[:most]  # nothing to put before anything
    bored = (each for each in found if not each.verdict.as_found)
    best = min(bored, key=_plainly, default=None)
    edge = best.row["outer_mm"] + alike.diameter + FLOAT_MM if best else 0.0
    likes = [size for size in prefer if size <= edge]
    for size in likes:
        parts = _only(search, size - FLOAT_MM, size + FLOAT_MM)
        found = _once([*found, *_served(search, parts, most, search.shelves)])
    equals = _equals(found, search, alike, edge)
    for equal in equals:
        found = _once([*found, *_behind(found, search, most, equal)])
    marked = [_marked(each, equals, _is_among(each, likes)) for each in found]
    return [choice for _, choice in sorted(marked, key=_plainly)[:most]]


def with_first(
    choices: Sequence[Choice], search: Search, ring: tuple[str, str, float]
) -> list[Choice]:
    """The choices with a ring that was settled elsewhere put first, if it serves; `ring`: the name
    of its shelf, its size, its outside in mm."""
    origin, size, outer = ring
    behind = [each for each in choices if (each.shelf.name, each.row["id"]) != (origin, size)]
    kept = next((each for each in choices if each not in behind), None)
    if kept is None:
        shelves = [shelf for shelf in search.shelves if shelf.name == origin]
        parts = _only(search, outer - FLOAT_MM, outer + FLOAT_MM)
        served = _served(search, parts, AT_ONE_OUTSIDE, shelves)
        kept = next((each for each in served if each.row["id"] == size), None)
    if kept is None:
        return [*choices]
    if not choices or choices[0] is not kept:
        kept = kept._replace(preferred="shelf" if kept.shelf.own else "size")
    return [kept, *behind]


AT_ONE_OUTSIDE = 500
"""Rings of one outside diameter that are looked through for one of them."""


def _is_among(choice: Choice, likes: Sequence[float]) -> bool:
    return any(abs(choice.row["outer_mm"] - size) <= FLOAT_MM for size in likes)


def _behind(found: Sequence[Choice], search: Search, most: int, equal: Equal) -> list[Choice]:
    """The shop's own rings that are put first, and may lie behind the first `most` of a shelf."""
    if all(equal(each) for each in found if equal.concerns(each)):
        return []
    own = [shelf for shelf in search.shelves if shelf.own]
    return _served(equal.narrowed(search), _only(search, 0.0, equal.edge), most, own)


@dataclass(frozen=True, slots=True)
class Equal:
    """What a ring of the shop's own must be to go before another, of those that go in as found or
    of those bored for: as high, no thinner, and of an outside up to `edge`, mm."""

    as_found: bool
    edge: float
    height_min: float
    inner_max: float

    def concerns(self, choice: Choice) -> bool:
        """Whether a choice is one of the shop's own, of the kind meant."""
        return choice.shelf.own and choice.verdict.as_found is self.as_found

    def __call__(self, choice: Choice) -> bool:
        """Whether a choice is one of these, and good enough."""
        row = choice.row
        return (
            self.concerns(choice)
            and row["outer_mm"] <= self.edge
            and row["height_mm"] >= self.height_min
            and row["inner_mm"] <= self.inner_max
        )

    def narrowed(self, search: Search) -> Search:
        """The same search, for such rings only."""
        wanted = search.wanted
        narrower = replace(
            wanted,
            height_min=max(wanted.height_min, self.height_min),
            inner_max=min(wanted.inner_max, self.inner_max),
        )
        return replace(search, wanted=narrower)


def _equals(found: Sequence[Choice], search: Search, alike: Alike, edge: float) -> list[Equal]:
    """What the shop's own must be, where there is anything else they could go before."""
    if not any(shelf.own for shelf in search.shelves):
        return []
    others = [each for each in found if not each.shelf.own]
    told: list[Equal] = []
    for as_found, up_to in ((True, inf), (False, edge)):
        kind = (
            each
            for each in others
            if each.verdict.as_found is as_found and each.row["outer_mm"] <= up_to
        )
        if best := min(kind, key=_plainly, default=None):
            told.append(_equal(best, search, alike, up_to))
    return told


def _equal(other: Choice, search: Search, alike: Alike, edge: float) -> Equal:
    """What is as good as `other`. A depth nobody told cannot be missed: any height will do then."""
    depth, row = search.wanted.height_max, other.row
    height = min(row["height_mm"], depth - alike.setback) - FLOAT_MM if depth < FAR_MM else 0.0
    inner = max(row["inner_mm"], row["outer_mm"] * (1 - 2 * alike.wall)) + FLOAT_MM
    return Equal(other.verdict.as_found, edge, height, inner)


def _marked(choice: Choice, equals: Sequence[Equal], liked: bool) -> tuple[tuple[Any, ...], Choice]:
    """A choice with what it is preferred for, and its place by that."""
    ranks, as_found = choice.order, choice.verdict.as_found
    liked = liked and not as_found
    if any(equal(choice) for equal in equals):
        return (not as_found, 0 if liked else 1, ranks), choice._replace(preferred="shelf")
    if liked:
        return (True, 2, ranks), choice._replace(preferred="size")
    return (not as_found, 3, ranks), choice


def _only(search: Search, low: float, high: float) -> list[Segment]:
    """The press at the outside diameters from `low` to `high`, and nowhere else."""
    return [
        replace(each, low_mm=max(low, each.low_mm), high_mm=min(high, each.high_mm))
        for each in search.segments
        if each.low_mm <= high and low <= each.high_mm
    ]


def _once(choices: Sequence[Choice]) -> list[Choice]:
    return list({(each.shelf.name, each.row["id"]): each for each in choices}.values())


def _served(
    search: Search,
    segments: Sequence[Segment],
    most: int,
    shelves: Sequence[Shelf],
    within: float = 0.0,
) -> list[Choice]:
    """The first `most` of every shelf and segment, unsorted; a segment that can hold nothing
    better than what was found below it is passed over."""
    found: list[Choice] = []
    wanted, enough = search.wanted, inf
    for segment in segments:
        if enough < inf and _nothing_better(found, search, segment, enough, within):
            continue
        inside = reach(wanted, segment)
        if inside is None:
            continue
        for place, shelf in enumerate(shelves):
            for row in shelf.matching(wanted, inside, most):
                verdict = judge(row, wanted, segment, inside.cut)
                ranks = order(row, verdict, wanted, place)
                found.append(Choice(ranks, row, shelf, segment, verdict))
        if len(found) >= most:
            enough = sorted(choice.verdict.clean_up for choice in found)[most - 1]
    return found


def _nothing_better(
    found: Sequence[Choice], search: Search, segment: Segment, enough: float, within: float
) -> bool:
    """Whether rings that take out `enough` at the most are as many as are wanted, any of this
    segment takes more, and none of the shop's own in it is near enough to go before another."""
    wanted = search.wanted
    least = max(segment.low_mm - segment.maximum_mm, wanted.clean_bore) - wanted.largest_reading
    if enough >= least or as_found_window(wanted, segment)[1] >= segment.low_mm:
        return False
    if len({shelf.own for shelf in search.shelves}) < 2:
        return True
    bored = (each for each in found if not each.verdict.as_found)
    best = min(bored, key=_plainly, default=None)
    return best is None or segment.low_mm > best.row["outer_mm"] + within + FLOAT_MM


def order(row: Row, verdict: Verdict, wanted: Wanted, place: int) -> tuple[Any, ...]:
    """As found, then least metal, then the closer inside diameter, then a bore that can be hit,
    then the closer height, then the place of its shelf, then what tells it from any other."""
    outer, inner, height = row["outer_mm"], row["inner_mm"], row["height_mm"]
    return (
        not verdict.as_found,
        verdict.clean_up,
        wanted.inner.off(inner, outer),
        verdict.tight,
        wanted.height.off(height, outer),
        place,
        outer,
        inner,
        height,
        row["id"],
    )
