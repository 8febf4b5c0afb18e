"""Where rings come from. A search goes over several shelves; the generic sizes are one of them,
each of a shop's own lists is another (`own_shelves`): anything with a name and these methods.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, nextafter
from typing import Any, Protocol

from specdb.answers.recommended import Segment
from specdb.answers.windows import FAR_MM, FLOAT_MM, Reach, Row, Wanted, reach, tight_to
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

    def matching(self, wanted: Wanted, within: Reach, limit: int) -> Sequence[Row]:
        """The first `limit` rings that serve, least metal first (`candidates.order`)."""
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

    def matching(self, wanted: Wanted, within: Reach, limit: int) -> Rows:
        """The first `limit` rings that serve, least metal first (`candidates.order`).

        Up to the `edge` the metal taken does not grow with the outside, and what goes in as found
        is among it: that is sorted. Past it, the way along the outsides is the order.
        """
        edge = within.edge
        found: Rows = []
        if within.low <= edge:
            window = _sorted(wanted, within, min(within.high, edge))
            found = self._matching(window, limit)
        if len(found) < limit and within.high > edge:
            past = _suits(wanted)
            past["outer_min"] = max(within.low, nextafter(edge, inf))
            past["outer_max"] = within.high
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

    def _matching(self, window: dict[str, Any], limit: int) -> Rows:
        raise NotImplementedError

    def _upwards(self, window: dict[str, Any], limit: int) -> Rows:
        raise NotImplementedError

    def _downwards(self, window: dict[str, Any], limit: int) -> Rows:
        raise NotImplementedError


class Generic(Walk):
    """The generic series of the data release: rings, or guides."""

    name = GENERIC
    own = False

    def __init__(self, reader: Reader, part: str) -> None:
        self._reader = reader
        self._sizes = size_rows.OF_PART[part]

    def _matching(self, window: dict[str, Any], limit: int) -> Rows:
        return [*self._sizes.matching(self._reader, window, limit)]

    def _upwards(self, window: dict[str, Any], limit: int) -> Rows:
        return [*self._sizes.upwards(self._reader, window, limit)]

    def _downwards(self, window: dict[str, Any], limit: int) -> Rows:
        return [*self._sizes.downwards(self._reader, window, limit)]


def first(shelf: Shelf, wanted: Wanted, segment: Segment) -> Row | None:
    """The ring of a shelf that serves best at the diameters of a segment."""
    within = reach(wanted, segment)
    return next(iter(shelf.matching(wanted, within, 1)), None) if within else None


def _sorted(wanted: Wanted, within: Reach, high: float) -> dict[str, float]:
    """The named parameters of a search up to `high` whose rows are sorted."""
    segment, (cut_from, cut_to) = within.segment, within.cut
    empty = cut_from > cut_to
    window = _suits(wanted)
    window["outer_min"] = within.low
    window["outer_max"] = high
    window["cut_from"] = FAR_MM if empty else cut_from
    window["cut_to"] = 0.0 if empty else cut_to
    window["found_from"] = (
        wanted.largest + segment.minimum_mm - FLOAT_MM if wanted.as_found else FAR_MM
    )
    window["found_to"] = wanted.smallest + segment.maximum_mm + FLOAT_MM
    window["tight_to"] = tight_to(wanted, segment)
    return window


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
