"""Rings that serve: as found first, then least metal, among rings alike the shop's own first."""

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
    Row,
    Verdict,
    as_found_window,
    cut_window,
    judge,
    rank,
    search_window,
)
from specdb.records.sizes import Candidate


class Choice(NamedTuple):
    """A ring that serves, and everything known about how."""

    order: tuple[Any, ...]
    row: Row
    shelf: Shelf
    segment: Segment
    verdict: Verdict


def ranked(search: Search, most: int, prefer: Sequence[float], within: float) -> list[Choice]:
    """The first `most` rings that serve, best first.

    What goes in as found comes before what is bored for, and among that the shop's own rings
    before others. Of rings that have to be bored, those no more than `within` mm on diameter above
    the best are alike: there the shop's own come first, then the outside diameters in `prefer`.
    """
    found = _served(search, search.segments, most, search.shelves, within)
    best = min(
        (choice for choice in found if not choice.verdict.as_found),
        key=lambda choice: choice.order,
        default=None,
    )
    reach = best.row["outer_mm"] + within + FLOAT_MM if best else 0.0
    likes = [size for size in prefer if size <= reach] if best else []
    if best and (alike := _alike(search, most, likes, reach, within)):
        found = _once([*found, *alike])
    return sorted(found, key=lambda choice: (_tier(choice, likes, reach), choice.order))[:most]


def _alike(
    search: Search, most: int, likes: Sequence[float], reach: float, within: float
) -> list[Choice]:
    """Rings that are preferred, and may lie behind the first `most` of their shelf."""
    found: list[Choice] = []
    if likes:
        ends = [(size - FLOAT_MM, size + FLOAT_MM) for size in likes]
        parts = [part for low, high in ends for part in _only(search, low, high)]
        found += _served(search, parts, most, search.shelves)
    if any(each.maximum_mm - each.minimum_mm > within for each in search.segments):
        own = [shelf for shelf in search.shelves if shelf.own]
        found += _served(search, _only(search, 0.0, reach), most, own)
    return found


def _tier(choice: Choice, likes: Sequence[float], reach: float) -> tuple[bool, int]:
    """As found or not, and how much a ring is preferred among those like it."""
    outer = choice.row["outer_mm"]
    if choice.verdict.as_found:
        return False, 0 if choice.shelf.own else 1
    liked = bool(likes) and any(abs(outer - size) <= FLOAT_MM for size in likes)
    if liked or outer <= reach:
        return True, (0 if choice.shelf.own else 2) + (0 if liked else 1)
    return True, 4


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
    for segment in segments:
        if _nothing_better(found, search, segment, most, within):
            continue
        cut = cut_window(search.wanted, segment)
        for place, shelf in enumerate(shelves):
            for row in shelf.matching(search.wanted, segment, most):
                verdict = judge(row, search.wanted, segment, cut)
                order = _order(row, verdict, search, place)
                found.append(Choice(order, row, shelf, segment, verdict))
    return found


def _nothing_better(
    found: Sequence[Choice], search: Search, segment: Segment, most: int, within: float
) -> bool:
    """Whether `most` rings take less metal than any of this segment could, and none of the shop's
    own in it could be like the best."""
    wanted = search.wanted
    if search_window(wanted, segment) is None:
        return True
    low, high = as_found_window(wanted, segment)
    if len(found) < most or low <= high:
        return False
    if any(shelf.own for shelf in search.shelves):
        bored = [each for each in found if not each.verdict.as_found]
        best = min(bored, key=lambda choice: choice.order, default=None)
        if best and segment.low_mm <= best.row["outer_mm"] + within + FLOAT_MM:
            return False
    least = max(segment.low_mm - segment.maximum_mm, wanted.clean_bore) - wanted.largest_reading
    return sorted(choice.verdict.clean_up for choice in found)[most - 1] < least


def _order(row: Row, verdict: Verdict, search: Search, place: int) -> tuple[Any, ...]:
    bored, clean_up, inner_off, height_off = rank(row, verdict, search.wanted)
    outer, inner, height = row["outer_mm"], row["inner_mm"], row["height_mm"]
    return bored, clean_up, inner_off, place, height_off, outer, inner, height, row["id"]


def candidate(choice: Choice, bore: Counterbore) -> Candidate:
    """The record of a ring that serves."""
    # a dict is validated in a third of the time that thirty keywords take
    row, segment, verdict = choice.row, choice.segment, choice.verdict
    outer = row["outer_mm"]
    cut_min, cut_max = (None, None) if verdict.as_found else (verdict.cut_min, verdict.cut_max)
    target = bore.bore.mean if verdict.as_found else (verdict.cut_min + verdict.cut_max) / 2
    bore_min, bore_max = outer - segment.maximum_mm, outer - segment.minimum_mm
    press_least, press_greatest = _press(row, verdict)
    told = bore.state.told
    low, high = (bore_min, bore_max) if verdict.as_found else (verdict.cut_min, verdict.cut_max)
    return Candidate.model_validate(
        {
            "outer_mm": outer,
            "inner_mm": row["inner_mm"],
            "height_mm": row["height_mm"],
            "oversize_mm": row["oversize_mm"],
            "bore_min_mm": bore_min,
            "bore_max_mm": bore_max,
            "interference_min_mm": segment.minimum_mm,
            "interference_max_mm": segment.maximum_mm,
            "as_found": verdict.as_found,
            "clean_up_mm": verdict.clean_up,
            "clean_up_each_side_mm": verdict.clean_up / 2,
            "cut_min_mm": cut_min,
            "cut_max_mm": cut_max,
            "bore_target_mm": target,
            "press_least_mm": press_least,
            "press_greatest_mm": press_greatest,
            "ring_wall_mm": row["wall_mm"],
            "bridge_left_mm": bore.bridge_left(verdict.clean_up),
            "outer_as_read_mm": bore.ring_reads(outer) if told else None,
            "bore_min_as_read_mm": bore.head_reads(low) if told else None,
            "bore_max_as_read_mm": bore.head_reads(high) if told else None,
            "origin": choice.shelf.name,
            "size": row["id"],
            "listed_mm": row["listed_mm"],
            "left": row["qty"],
            "sources": (row["series"], *segment.sources) if row["series"] else segment.sources,
        }
    )


def _press(row: Row, verdict: Verdict) -> tuple[float, float]:
    """Least and greatest press, as found or from the bore it is cut to."""
    if verdict.as_found:
        return verdict.loosest, verdict.tightest
    outer = row["outer_mm"]
    least = outer - row["outer_minus_mm"] - verdict.cut_max
    return least, outer + row["outer_plus_mm"] - verdict.cut_min
