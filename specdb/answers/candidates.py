"""Rings that serve: as found first, then least metal, then the closer inside, then the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from specdb.answers.counterbore import Counterbore
from specdb.answers.near_misses import Search
from specdb.answers.recommended import Segment
from specdb.answers.shelves import Shelf
from specdb.answers.windows import (
    FLOAT_MM,
    Verdict,
    Wanted,
    as_found_window,
    judge,
    rank,
)
from specdb.records.sizes import Candidate


class Choice(NamedTuple):
    """A ring that serves, and everything known about how."""

    order: tuple[Any, ...]
    row: dict[str, Any]
    shelf: Shelf
    segment: Segment
    verdict: Verdict


def ranked(search: Search, most: int, prefer: Sequence[float], within: float) -> list[Choice]:
    """The first `most` rings that serve, best first.

    Outside diameters in `prefer` come first among rings that have to be bored and lie no more
    than `within` mm above the best of them; a ring that goes in as found is never passed over.
    """
    found = sorted(_served(search, search.segments, most), key=lambda choice: choice.order)
    bored = next((choice for choice in found if not choice.verdict.as_found), None)
    if bored is None or not prefer:
        return found[:most]
    reach = bored.row["outer_mm"] + within + FLOAT_MM
    likes = [size for size in prefer if size <= reach]
    liked = _served(search, [part for size in likes for part in _only(search, size)], most)
    liked = sorted((c for c in liked if not c.verdict.as_found), key=lambda choice: choice.order)
    taken = {(choice.shelf.name, choice.row["id"]) for choice in liked}
    left = [c for c in found if (c.shelf.name, c.row["id"]) not in taken]
    found_first = [choice for choice in left if choice.verdict.as_found]
    others = [choice for choice in left if not choice.verdict.as_found]
    return [*found_first, *liked, *others][:most]


def _only(search: Search, outer: float) -> list[Segment]:
    """The press at one outside diameter, as a segment that holds nowhere else."""
    ends = (outer - FLOAT_MM, outer + FLOAT_MM)
    return [
        replace(each, low_mm=max(ends[0], each.low_mm), high_mm=min(ends[1], each.high_mm))
        for each in search.segments
        if each.low_mm <= ends[1] and ends[0] <= each.high_mm
    ]


def _served(search: Search, segments: Sequence[Segment], most: int) -> list[Choice]:
    """The first `most` of every shelf and segment, unsorted; a segment that can hold nothing
    better than what was found below it is passed over."""
    found: list[Choice] = []
    for segment in segments:
        if _nothing_better(found, search.wanted, segment, most):
            continue
        for place, shelf in enumerate(search.shelves):
            for row in shelf.matching(search.wanted, segment, most):
                verdict = judge(row, search.wanted, segment)
                order = _order(row, verdict, search, place)
                found.append(Choice(order, row, shelf, segment, verdict))
    return found


def _nothing_better(found: Sequence[Choice], wanted: Wanted, segment: Segment, most: int) -> bool:
    """Whether `most` rings take less metal than any of this segment could."""
    low, high = as_found_window(wanted, segment)
    if len(found) < most or low <= high:
        return False
    least = max(segment.low_mm - segment.maximum_mm, wanted.clean_bore) - wanted.largest_reading
    return sorted(choice.verdict.clean_up for choice in found)[most - 1] < least


def _order(row: dict[str, Any], verdict: Verdict, search: Search, place: int) -> tuple[Any, ...]:
    *first, height_off = rank(row, verdict, search.wanted)
    return (
        *first,
        place,
        height_off,
        row["outer_mm"],
        row["inner_mm"],
        row["height_mm"],
        row["id"],
    )


def candidate(choice: Choice, bore: Counterbore) -> Candidate:
    """The record of a ring that serves."""
    row, segment, verdict = choice.row, choice.segment, choice.verdict
    outer = row["outer_mm"]
    cut_min, cut_max = (None, None) if verdict.as_found else (verdict.cut_min, verdict.cut_max)
    target = bore.bore.mean if verdict.as_found else (verdict.cut_min + verdict.cut_max) / 2
    bore_min, bore_max = outer - segment.maximum_mm, outer - segment.minimum_mm
    return Candidate(
        outer_mm=outer,
        inner_mm=row["inner_mm"],
        height_mm=row["height_mm"],
        oversize_mm=row["oversize_mm"],
        bore_min_mm=bore_min,
        bore_max_mm=bore_max,
        interference_min_mm=segment.minimum_mm,
        interference_max_mm=segment.maximum_mm,
        as_found=verdict.as_found,
        clean_up_mm=verdict.clean_up,
        clean_up_each_side_mm=verdict.clean_up / 2,
        cut_min_mm=cut_min,
        cut_max_mm=cut_max,
        bore_target_mm=target,
        press_least_mm=_press_least(row, verdict),
        press_greatest_mm=_press_greatest(row, verdict),
        ring_wall_mm=row["wall_mm"],
        bridge_left_mm=bore.bridge_left(verdict.clean_up),
        outer_as_read_mm=bore.ring_reads(outer),
        bore_min_as_read_mm=bore.head_reads(bore_min if cut_min is None else cut_min),
        bore_max_as_read_mm=bore.head_reads(bore_max if cut_max is None else cut_max),
        origin=choice.shelf.name,
        size=row["id"],
        sources=(row["series"], *segment.sources),
    )


def _press_least(row: dict[str, Any], verdict: Verdict) -> float:
    if verdict.as_found:
        return verdict.loosest
    return float(row["outer_mm"] - row["outer_minus_mm"] - verdict.cut_max)


def _press_greatest(row: dict[str, Any], verdict: Verdict) -> float:
    if verdict.as_found:
        return verdict.tightest
    return float(row["outer_mm"] + row["outer_plus_mm"] - verdict.cut_min)
