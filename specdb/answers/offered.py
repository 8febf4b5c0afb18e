"""The records of rings that serve: sizes, limits of the bore, press, and what to say of each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from specdb.answers.candidates import Choice
from specdb.answers.counterbore import Counterbore
from specdb.answers.windows import Row, Verdict
from specdb.records.sizes import Candidate, Preferred

WHY: dict[tuple[bool, Preferred | None], str] = {
    (True, None): "goes in as found; then the closer inside, then the closer height",
    (False, None): "by the metal to take out; then the closer inside, then the closer height",
    (True, "shelf"): "goes in as found and is on the shelf, no lower and no thinner than others",
    (False, "shelf"): "on the shelf, as near in size, no lower and no thinner than others",
    (False, "size"): "a size preferred, as near as the one that takes the least metal",
    (True, "size"): "the size settled for the whole head",
}
"""As found or not, and what a ring is preferred for -> why it stands where it does."""


def candidates(choices: Sequence[Choice], bore: Counterbore) -> tuple[Candidate, ...]:
    """The records of the rings that serve, in their order."""
    told = bore.state.told
    # all at once: many records are validated faster together, and from dicts than from keywords
    return _records().validate_python([_figures(choice, bore, told) for choice in choices])


@cache
def _records() -> TypeAdapter[tuple[Candidate, ...]]:
    return TypeAdapter(tuple[Candidate, ...])


def _figures(choice: Choice, bore: Counterbore, told: bool) -> dict[str, Any]:
    _, row, shelf, segment, verdict, preferred = choice
    as_found, outer = verdict.as_found, row["outer_mm"]
    bore_min, bore_max = outer - segment.maximum_mm, outer - segment.minimum_mm
    low, high = (bore_min, bore_max) if as_found else (verdict.cut_min, verdict.cut_max)
    press_least, press_greatest = _press(row, verdict)
    minus, plus, series = row["outer_minus_mm"], row["outer_plus_mm"], row["series"]
    stated = not shelf.own or minus != 0.0 or plus != 0.0
    return {
        "outer_mm": outer,
        "outer_minus_mm": minus if stated else None,
        "outer_plus_mm": plus if stated else None,
        "inner_mm": row["inner_mm"],
        "height_mm": row["height_mm"],
        "oversize_mm": row["oversize_mm"],
        "bore_min_mm": bore_min,
        "bore_max_mm": bore_max,
        "interference_min_mm": segment.minimum_mm,
        "interference_max_mm": segment.maximum_mm,
        "as_found": as_found,
        "clean_up_mm": verdict.clean_up,
        "clean_up_each_side_mm": verdict.clean_up / 2,
        "cut_min_mm": None if as_found else low,
        "cut_max_mm": None if as_found else high,
        "bore_target_mm": bore.bore.mean if as_found else (low + high) / 2,
        "press_least_mm": press_least,
        "press_greatest_mm": press_greatest,
        "ring_wall_mm": row["wall_mm"],
        "below_deck_mm": bore.below(row["height_mm"]),
        "too_low": bore.too_low(row["height_mm"]),
        "bridge_left_mm": bore.bridge_left(verdict.clean_up),
        "outer_as_read_mm": bore.ring_reads(outer) if told else None,
        "bore_min_as_read_mm": bore.head_reads(low) if told else None,
        "bore_max_as_read_mm": bore.head_reads(high) if told else None,
        "origin": shelf.name,
        "size": row["id"],
        "listed_mm": row["listed_mm"],
        "left": row["qty"],
        "preferred": preferred,
        "why": WHY[as_found, preferred],
        "remarks": bore.said_of(row, verdict, stated=stated),
        "sources": (series, *segment.sources) if series else segment.sources,
    }


def _press(row: Row, verdict: Verdict) -> tuple[float, float]:
    """Least and greatest press, as found or from the bore it is cut to."""
    if verdict.as_found:
        return verdict.loosest, verdict.tightest
    outer = row["outer_mm"]
    least = outer - row["outer_minus_mm"] - verdict.cut_max
    return least, outer + row["outer_plus_mm"] - verdict.cut_min
