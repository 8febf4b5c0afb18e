"""A shop's own lists as shelves of a search.

A list gives outside diameters in one of two senses. Where it is the ring as it is, that is what is
searched. Where it is the counterbore a ring is meant for, the ring itself is larger by the press
its maker built in, which the list does not say: the middle of the recommended press at that
diameter is taken for it, and the answer says so. Only the ring can tell: "measure this ring".
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from specdb.answers.press_range import PressRange
from specdb.answers.recommended import Segment
from specdb.answers.shelves import Rows, Walk
from specdb.answers.windows import Row
from specdb.records.sizes import Candidate
from specdb.records.some import some
from specdb.store.query import stock as stock_rows
from specdb.store.stock.held import Held

COUNTERBORE = "counterbore"
FEW = 3
"""Parts named in a sentence."""


@dataclass(frozen=True, slots=True)
class Step:
    """Outside diameters as listed, `low` to `high`, and the press the list builds into them."""

    low: float
    high: float
    press_in: float


_ENDS = {"cut_from", "cut_to", "found_from", "found_to", "tight_to"}
"""Outside diameters among the named parameters of a search, besides the ends of its window."""
AS_IT_IS = (Step(0.0, inf, 0.0),)


class OwnShelf(Walk):
    """The rings (or guides: `part`) of one list that are made of `made_of`; with `left` False those
    with a quantity of 0, which would serve were any there."""

    own = True

    def __init__(
        self,
        held: Held,
        row: Mapping[str, Any],
        made_of: str,
        steps: Sequence[Step],
        *,
        part: str,
        left: bool,
    ) -> None:
        self.name: str = row["name"]
        self.nominal: bool = row["od_means"] == COUNTERBORE
        self._held = held
        self._listed = stock_rows.OF_PART[part]
        self._steps = steps
        self._which = {"list": row["id"], "made_of": made_of, "on_shelf": 1 if left else 0}

    def _matching(self, window: dict[str, Any], limit: int) -> Rows:
        found = self._over(window, limit, self._listed.matching)
        if len(self._steps) == 1 or len(found) < 2:
            return found
        return sorted(found, key=lambda row: _place(row, window))[:limit]

    def _upwards(self, window: dict[str, Any], limit: int) -> Rows:
        found = self._over(window, limit, self._listed.upwards)
        if len(self._steps) > 1:
            found.sort(key=lambda row: row["outer_mm"])
        return found[:limit]

    def _downwards(self, window: dict[str, Any], limit: int) -> Rows:
        found = self._over(window, limit, self._listed.downwards)
        if len(self._steps) > 1:
            found.sort(key=lambda row: -row["outer_mm"])
        return found[:limit]

    def _over(
        self, window: dict[str, Any], limit: int, ask: Callable[[Held, dict[str, Any]], Rows]
    ) -> Rows:
        found: Rows = []
        for part in self._parts(window):
            part["limit"] = limit
            found += ask(self._held, part)
        return found

    def _parts(self, window: dict[str, Any]) -> Iterator[dict[str, Any]]:
        """The window as the list writes its diameters, a part for each step it reaches over."""
        if self._steps is AS_IT_IS:
            yield {**window, **self._which, "press_in": 0.0}
            return
        for step in self._steps:
            low = max(window["outer_min"] - step.press_in, step.low)
            high = min(window["outer_max"] - step.press_in, step.high)
            if low <= high:
                part = {**window, **self._which, "outer_min": low, "outer_max": high}
                part["press_in"] = step.press_in
                part["inner_fixed"] += window["inner_share"] * step.press_in
                part["height_fixed"] += window["height_share"] * step.press_in
                for end in _ENDS & window.keys():
                    part[end] = window[end] - step.press_in
                yield part


def own_shelves(
    held: Held, lists: Sequence[Mapping[str, Any]], found: PressRange
) -> tuple[tuple[OwnShelf, ...], tuple[OwnShelf, ...]]:
    """A shelf for each list, in the order of names: with the rings that are there, and with those
    none is left of."""
    made_of = found.ring.insert_class or found.ring.material
    steps = {COUNTERBORE: tuple(_built_in(found.segments))}
    there, gone = (
        tuple(
            OwnShelf(
                held,
                row,
                made_of,
                steps.get(row["od_means"], AS_IT_IS),
                part=found.part,
                left=left,
            )
            for row in lists
        )
        for left in (True, False)
    )
    return there, gone


def of_nominal(candidates: Sequence[Candidate], lists: Container[str]) -> Iterator[str]:
    """What to say where a ring is known only by the counterbore it is meant for."""
    for origin in dict.fromkeys(each.origin for each in candidates if each.origin in lists):
        yield (
            f"The list {origin!r} gives the counterbore a ring is meant for, not the ring: its "
            "outside is reckoned as that plus the middle of the recommended press. Measure this "
            "ring; bore = measured ring minus press."
        )


def of_exact(candidates: Sequence[Candidate]) -> Iterator[str]:
    """What to say where a list states no tolerance of a ring that serves."""
    exact: dict[str, list[str]] = {}
    for each in candidates:
        if each.outer_minus_mm is None:
            exact.setdefault(each.origin, []).append(each.size)
    for origin, parts in exact.items():
        yield (
            f"outer_minus_mm, outer_plus_mm: the list {origin!r} states no tolerance of "
            f"{some(parts, FEW)}: the outside is taken as exact"
        )


def _built_in(segments: Sequence[Segment]) -> Iterator[Step]:
    for each in segments:
        yield Step(each.low_mm, each.high_mm, (each.minimum_mm + each.maximum_mm) / 2)


def _place(row: Row, window: dict[str, Any]) -> tuple[bool, float, bool, float]:
    """The order of the statement `matching`, for rows of several parts of a window."""
    outer = row["outer_mm"]
    as_found = (
        outer - row["outer_minus_mm"] >= window["found_from"]
        and outer + row["outer_plus_mm"] <= window["found_to"]
    )
    return (
        not as_found,
        abs(row["inner_mm"] - (window["inner_fixed"] + window["inner_share"] * outer)),
        not (as_found or outer > window["tight_to"]),
        abs(row["height_mm"] - (window["height_fixed"] + window["height_share"] * outer)),
    )
