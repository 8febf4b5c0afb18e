"""Rings that almost serve a counterbore, each with the reason why it does not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, floor, inf, nextafter
from typing import Any

from specdb.answers import recommended
from specdb.answers.recommended import Segment
from specdb.answers.shelves import Shelf, first
from specdb.answers.windows import FLOAT_MM, Row, Verdict, Wanted, as_found_window, judge
from specdb.records.sizes import Rejected

AROUND_MM = 0.6
"""How far from the best ring as found a near miss may lie, on diameter."""
BEYOND_MM = 3.0
"""How far past the largest clean-up the next ring is looked for."""
FEW = 4
"""Outside diameters listed of those that fit badly."""
NONE_LEFT = "would serve, but none is left: quantity 0"
"""Why a ring of the shop's own does not serve that would."""
JUST_MM = 0.010
"""A ring of the shop's own that misses by no more is worth measuring: the next may go in."""
EACH_SIDE = 5
"""Outside diameters looked at on each side of the best ring as found, on each shelf."""


@dataclass(frozen=True, slots=True)
class Search:
    """What was searched for (`what`: a ring, a guide): the counterbore, the press over diameters,
    the shelves, those with rings none is left of, and the words for what forbids the bore as found
    and what limits the clean-up."""

    what: str
    wanted: Wanted
    segments: tuple[Segment, ...]
    shelves: tuple[Shelf, ...]
    gone: tuple[Shelf, ...]
    faults: tuple[str, ...]
    clean_up_limit: str
    mean: float

    @property
    def ideal(self) -> float:
        """The outside diameter that would be best as found: mean bore plus middling press."""
        near = recommended.closest(self.segments, self.mean)
        return self.mean + ((near.minimum_mm + near.maximum_mm) / 2 if near else 0.0)

    def filling(self, least: float) -> tuple[Search, Search]:
        """The same search for rings at least so high, mm, and for those that are lower."""
        high = max(self.wanted.height_min, least)
        low = min(self.wanted.height_max, nextafter(least, -inf))
        return (
            replace(self, wanted=replace(self.wanted, height_min=high)),
            replace(self, wanted=replace(self.wanted, height_max=low)),
        )


Near = dict[float, tuple[Shelf, Row]]
"""Outside diameters near the ideal, each with the ring of it that suits best."""


def near_misses(search: Search, near: Near, *, inner: bool, height: bool) -> tuple[Rejected, ...]:
    """The near misses: badly fitting outsides, insides and heights (if they were limited) that
    do not suit, and the next ring beyond the largest clean-up."""
    found = list(_badly_fitting(search, near))
    if inner:
        found += _unsuited(search, search.wanted.too_wide_inside(), _wide)
        found += _unsuited(search, search.wanted.too_narrow_inside(), _narrow)
    if height:
        found += _unsuited(search, search.wanted.too_high(), _high)
    found += _beyond(search)
    found += _none_left(search)
    return tuple(found)


def _badly_fitting(search: Search, near: Near) -> Iterator[Rejected]:
    ideal, given = search.ideal, 0
    for outer in sorted(near, key=lambda each: (abs(each - ideal), each)):
        shelf, row = near[outer]
        segment = recommended.at(search.segments, outer)
        reason = why_not(row, search, segment)
        if reason and given < FEW:
            given += 1
            yield _rejected(row, shelf, reason)


def nearest(search: Search) -> Near:
    """What lies round the ring that would be best as found: nothing smaller than the hole."""
    ideal = search.ideal
    near: Near = {}
    low, high = nextafter(search.wanted.largest_reading + FLOAT_MM, inf), ideal + AROUND_MM
    low = max(low, ideal - AROUND_MM)
    for shelf in search.shelves:
        for row in shelf.outsides(search.wanted, low, high, max(ideal, low), EACH_SIDE):
            near.setdefault(row["outer_mm"], (shelf, row))
    return near


def why_not(row: Row, search: Search, segment: Segment | None) -> str:
    """Why a ring does not go in, in words; empty where it does."""
    wanted, outer = search.wanted, row["outer_mm"]
    if segment is None:
        return f"no range of press is known at {outer:.2f} mm"
    verdict = judge(row, wanted, segment)
    if verdict.serves:
        return ""
    if outer <= wanted.largest:
        return (
            f"no press: the {search.what} is not larger than the largest reading, "
            f"{wanted.largest:.3f} mm"
        )
    if segment.maximum_mm - segment.minimum_mm <= FLOAT_MM:
        return (
            f"no bore can be made for it: a press of {segment.minimum_mm:.3f} mm and no other "
            "leaves a window of 0.000 mm"
        )
    if verdict.loosest < segment.minimum_mm and verdict.cut_max < wanted.clean_bore:
        return (
            f"too little press: {verdict.loosest:.3f} mm at the worst readings, "
            f"{segment.minimum_mm:.3f} mm is the least"
        )
    if verdict.clean_up > wanted.clean_up_max:
        return _too_far(verdict, search)
    return _too_tight(verdict, search, segment)


def _too_tight(verdict: Verdict, search: Search, segment: Segment) -> str:
    """A ring the bore as found does not take, and for which boring is no way out."""
    if search.wanted.as_found:
        first = (
            f"too much press as found: up to {verdict.tightest:.3f} mm, "
            f"{segment.maximum_mm:.3f} mm is the most"
        )
        if verdict.loosest < segment.minimum_mm:
            first = (
                f"the readings spread too far for it as found: {verdict.loosest:.3f} to "
                f"{verdict.tightest:.3f} mm of press"
            )
    else:
        first = f"not as found: {'; '.join(search.faults)}"
    return (
        f"{first}; its bore, {verdict.cut_max:.3f} mm at most, is too near to the "
        f"{search.wanted.clean_bore:.3f} mm that cleans up"
    )


def _too_far(verdict: Verdict, search: Search) -> str:
    return f"needs {verdict.clean_up:.3f} mm taken out on diameter; {search.clean_up_limit}"


def _beyond(search: Search) -> Iterator[Rejected]:
    """The smallest ring that would do if more could be taken out."""
    wanted = search.wanted
    wider = replace(wanted, clean_up_max=max(wanted.clean_up_max, 0.0) + BEYOND_MM, as_found=False)
    for segment in search.segments:
        low = max(wanted.largest_reading + wanted.clean_up_max + segment.maximum_mm, 0.0)
        part = replace(segment, low_mm=max(segment.low_mm, nextafter(low + 1e-7, inf)))
        for shelf in search.shelves:
            row = first(shelf, wider, part)
            if row is not None:
                verdict = judge(row, wider, segment)
                yield _rejected(row, shelf, _too_far(verdict, search))
                return


def _none_left(search: Search) -> Iterator[Rejected]:
    """The best ring of each list that would serve, were any left."""
    for shelf in search.gone:
        for segment in search.segments:
            row = first(shelf, search.wanted, segment)
            if row is not None:
                yield _rejected(row, shelf, NONE_LEFT)
                break


def _unsuited(search: Search, wanted: Wanted, reason: Any) -> Iterator[Rejected]:
    """The first ring that would go in but for its inside or height."""
    for segment in search.segments:
        for shelf in search.shelves:
            row = first(shelf, wanted, segment)
            if row is not None:
                yield _rejected(row, shelf, reason(row, search.wanted))
                return


def _wide(row: Row, wanted: Wanted) -> str:
    return f"inside {row['inner_mm']:.2f} mm is larger than the {wanted.inner_max:.2f} mm allowed"


def _narrow(row: Row, wanted: Wanted) -> str:
    return f"inside {row['inner_mm']:.2f} mm is smaller than the {wanted.inner_min:.2f} mm allowed"


def _high(row: Row, wanted: Wanted) -> str:
    return f"height {row['height_mm']:.2f} mm is more than the {wanted.height_max:.2f} mm there is"


def _rejected(row: Row, shelf: Shelf, reason: str) -> Rejected:
    return Rejected(
        outer_mm=row["outer_mm"],
        inner_mm=row["inner_mm"],
        height_mm=row["height_mm"],
        origin=shelf.name,
        size=row["id"],
        reason=reason,
        sources=tuple(filter(None, (row["series"],))),
    )


def why_not_as_found(search: Search, near: Near) -> tuple[str, ...]:
    """Why nothing goes in as found: what the bore forbids, the shop's own rings that just miss, and
    the press of the nearest rings."""
    reasons: list[str] = []
    others: list[str] = []
    for outer in sorted(near, key=lambda each: (abs(each - search.ideal), each)):
        segment = recommended.at(search.segments, outer)
        if segment is None:
            continue
        shelf, row = near[outer]
        verdict = judge(row, search.wanted, segment)
        if shelf.own and (text := _just_misses(row, shelf.name, verdict, search.wanted, segment)):
            reasons.append(text)
        elif len(others) < NEAREST:
            others.append(f"{outer:.2f} mm: {_as_found_press(verdict, segment)}")
    reasons += others
    nothing = () if reasons else (f"no {search.what} comes near this bore",)
    return (*search.faults, *reasons, *nothing)


NEAREST = 2
"""Rings whose press as found is told."""


def _just_misses(
    row: Row, origin: str, verdict: Verdict, wanted: Wanted, segment: Segment
) -> str | None:
    """By how much a ring of the shop's own misses, and what one must measure to go in as found;
    None where it misses by more, or where the bore or its readings allow none."""
    low, high = as_found_window(wanted, segment)
    loose = segment.minimum_mm - verdict.loosest
    tight = verdict.tightest - segment.maximum_mm
    if low > high or not FLOAT_MM < max(loose, tight) <= JUST_MM + FLOAT_MM:
        return None
    least, most = ceil(low * 1000 - 1e-3) / 1000, floor(high * 1000 + 1e-3) / 1000
    measures = f"{least:.3f} to {most:.3f} mm"
    if loose <= FLOAT_MM:
        measures = f"{most:.3f} mm or less"
    elif tight <= FLOAT_MM:
        measures = f"{least:.3f} mm or more"
    left = row["qty"]
    there = "" if left is None else f", {left} there,"
    return (
        f"{row['outer_mm']:.2f} mm: part {row['id']} of the list {origin}{there} misses by "
        f"{max(loose, tight):.3f} mm: one that measures {measures} goes in as found"
    )


def _as_found_press(verdict: Verdict, segment: Segment) -> str:
    """The press a ring would have as found, at the worst readings, against what is wanted."""
    said = f"{verdict.loosest:.3f} to {verdict.tightest:.3f} mm of press at the worst readings"
    wanted = f"{segment.minimum_mm:.3f} to {segment.maximum_mm:.3f} mm"
    loose = verdict.loosest < segment.minimum_mm - FLOAT_MM
    tight = verdict.tightest > segment.maximum_mm + FLOAT_MM
    if loose and tight:
        return f"readings spread too far: {said}, {wanted} wanted"
    if loose or tight:
        return f"too {'little' if loose else 'much'} press: {said}, {wanted} wanted"
    return f"{said} would do, {wanted} wanted"
