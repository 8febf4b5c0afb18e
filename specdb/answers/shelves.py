"""Where rings come from. A search goes over several shelves; the generic sizes are one of them,
each of a shop's own lists is another (`own_shelves`): anything with a name and these methods.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isfinite, nextafter
from typing import Any, Protocol

from specdb.answers.recommended import Segment
from specdb.answers.windows import FAR_MM, FLOAT_MM, Row, Wanted, cut_window, search_window
from specdb.records.sizes import GENERIC
from specdb.store.asof import Reader
from specdb.store.query import sizes as size_rows

Rows = list[Row]


class Shelf(Protocol):
    """Rings to choose from: mappings with the columns of `insert_sizes`."""

    @property
    def name(self) -> str:
        """What a candidate's `origin` says."""
        ...

    @property
    def own(self) -> bool:
        """Whether its rings are the shop's own, there to be taken."""
        ...

    def matching(self, wanted: Wanted, segment: Segment, limit: int) -> Sequence[Row]:
        """The first `limit` rings that serve, in the order of `windows.rank`."""
        ...

    def outsides(
        self, wanted: Wanted, low: float, high: float, ideal: float, limit: int
    ) -> Sequence[Row]:
        """The ring that suits best of each outside from `low` to `high`, whatever its press: up to
        `limit` outsides from `ideal` up, and as many from there down, nearest first."""
        ...


class Walk:
    """A search that walks an index on outside diameters. `_matching`, `_upwards` and `_downwards`
    ask the table; their windows are the named parameters of its statements."""

    def matching(self, wanted: Wanted, segment: Segment, limit: int) -> Rows:
        """The first `limit` rings that serve, in the order of `windows.rank`."""
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
            found += self._upwards(past, limit - len(found))
        return found

    def outsides(self, wanted: Wanted, low: float, high: float, ideal: float, limit: int) -> Rows:
        """The ring that suits best of each outside, nearest to `ideal` first on either side."""
        suits = _suits(wanted)
        found: Rows = []
        at = ideal
        while len(found) < limit and (
            row := self._upwards({**suits, "outer_min": at, "outer_max": high}, 1)
        ):
            found += row
            at = nextafter(row[0]["outer_mm"] + FLOAT_MM, inf)
        above, at = len(found), nextafter(ideal, 0.0)
        while len(found) < above + limit and (
            row := self._downwards({**suits, "outer_min": low, "outer_max": at}, 1)
        ):
            found += row
            at = nextafter(row[0]["outer_mm"] - FLOAT_MM, 0.0)
        return found

    def _sorted(
        self, wanted: Wanted, segment: Segment, low: float, high: float, limit: int
    ) -> Rows:
        """Rings up to the one whose least bore just cleans up: the metal taken does not grow with
        the outside there, and what goes in as found is among them."""
        cut_from, cut_to = cut_window(wanted, segment)
        return self._matching(
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

    def _matching(self, window: dict[str, Any], limit: int) -> Rows:
        raise NotImplementedError

    def _upwards(self, window: dict[str, Any], limit: int) -> Rows:
        raise NotImplementedError

    def _downwards(self, window: dict[str, Any], limit: int) -> Rows:
        raise NotImplementedError


class Generic(Walk):
    """The generic series of the data release."""

    name = GENERIC
    own = False

    def __init__(self, reader: Reader) -> None:
        self._reader = reader

    def _matching(self, window: dict[str, Any], limit: int) -> Rows:
        return [*size_rows.matching(self._reader, window, limit)]

    def _upwards(self, window: dict[str, Any], limit: int) -> Rows:
        return [*size_rows.upwards(self._reader, window, limit)]

    def _downwards(self, window: dict[str, Any], limit: int) -> Rows:
        return [*size_rows.downwards(self._reader, window, limit)]


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
