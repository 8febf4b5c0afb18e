"""Where rings come from. A search goes over several shelves; the generic sizes are one of them.

A shop's own list becomes another: anything with a name and these two methods.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isfinite, nextafter
from typing import Any, Protocol

from specdb.answers.recommended import Segment
from specdb.answers.windows import FAR_MM, FLOAT_MM, Wanted, cut_window, search_window
from specdb.store.asof import Reader
from specdb.store.query import sizes as size_rows


class Shelf(Protocol):
    """Rings to choose from: dicts with the columns of `insert_sizes`."""

    @property
    def name(self) -> str:
        """What a candidate's `origin` says."""
        ...

    def matching(self, wanted: Wanted, segment: Segment, limit: int) -> Sequence[dict[str, Any]]:
        """The first `limit` rings that serve, in the order of `windows.rank`."""
        ...

    def around(
        self, wanted: Wanted, low: float, high: float, ideal: float, limit: int
    ) -> Sequence[dict[str, Any]]:
        """Rings from `low` to `high` outside whatever their press: `limit` from `ideal` up, and as
        many from there down, those of one outside in the order of `windows.rank`."""
        ...


class Generic:
    """The generic series of the data release."""

    name = "generic"

    def __init__(self, reader: Reader) -> None:
        self._reader = reader

    def matching(self, wanted: Wanted, segment: Segment, limit: int) -> list[dict[str, Any]]:
        window = search_window(wanted, segment)
        if window is None:
            return []
        low, high = window
        edge = wanted.clean_bore + segment.maximum_mm
        found = self._sorted(wanted, segment, low, min(high, edge), limit) if low <= edge else []
        if len(found) < limit and high > edge:
            past = {
                **_suits(wanted),
                "outer_min": max(low, nextafter(edge, inf)),
                "outer_max": high,
            }
            found += size_rows.upwards(self._reader, past, limit - len(found))
        return found

    def _sorted(
        self, wanted: Wanted, segment: Segment, low: float, high: float, limit: int
    ) -> list[dict[str, Any]]:
        """Rings up to the one whose least bore just cleans up: the metal taken does not grow with
        the outside there, and what goes in as found is among them."""
        cut_from, cut_to = cut_window(wanted, segment)
        return size_rows.matching(
            self._reader,
            {
                **_suits(wanted),
                "outer_min": low,
                "outer_max": high,
                "cut_from": cut_from if cut_from <= cut_to else FAR_MM,
                "cut_to": cut_to if isfinite(cut_to) else FAR_MM,
                "largest": wanted.largest if wanted.as_found else FAR_MM,
                "smallest": wanted.smallest,
                "press_min": segment.minimum_mm - FLOAT_MM,
                "press_max_found": segment.maximum_mm + FLOAT_MM,
                "press_max": segment.maximum_mm,
                "clean_bore": wanted.clean_bore,
            },
            limit,
        )

    def around(
        self, wanted: Wanted, low: float, high: float, ideal: float, limit: int
    ) -> list[dict[str, Any]]:
        above = {**_suits(wanted), "outer_min": ideal, "outer_max": high}
        below = {**_suits(wanted), "outer_min": low, "outer_max": nextafter(ideal, 0.0)}
        return [
            *size_rows.upwards(self._reader, above, limit),
            *size_rows.downwards(self._reader, below, limit),
        ]


def _suits(wanted: Wanted) -> dict[str, float]:
    return {
        "inner_min": wanted.inner_min,
        "inner_max": wanted.inner_max,
        "height_min": wanted.height_min,
        "height_max": wanted.height_max,
        "inner_fixed": wanted.inner.fixed,
        "inner_share": wanted.inner.share,
        "height_fixed": wanted.height.fixed,
        "height_share": wanted.height.share,
    }
