"""Sizes of the generic series, of rings or of guides, by a window on the outside diameter.

Every search is a window, from what goes in as found to the largest clean-up, so the index on
(as_of, outer_mm) bounds its cost. Up to the ring whose least bore just cleans up the rows are
sorted; past it more outside is more metal, and walking the index is the order. Any two rows are
told apart by the order, which ends in the id.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specdb.store.asof import Reader

_COLUMNS = """
s.id, s.series, s.outer_mm, s.inner_mm, s.height_mm, s.oversize_mm, s.wall_mm,
       s.outer_minus_mm, s.outer_plus_mm, NULL AS qty, NULL AS listed_mm
"""
_AS_FOUND = """
(s.outer_mm - s.outer_minus_mm >= :found_from AND s.outer_mm + s.outer_plus_mm <= :found_to)
"""
_INSIDE = "abs(s.inner_mm - (:inner_fixed + :inner_share * s.outer_mm))"
_HEIGHT = "abs(s.height_mm - (:height_fixed + :height_share * s.outer_mm))"
_SUITS = """
s.inner_mm BETWEEN :inner_min AND :inner_max AND s.height_mm BETWEEN :height_min AND :height_max
"""
_MATCHING = f"""
SELECT {_COLUMNS}
FROM {{table}} AS s
WHERE s.as_of = :ordinal AND s.outer_mm BETWEEN :outer_min AND :outer_max
  AND {_SUITS} AND (s.outer_mm BETWEEN :cut_from AND :cut_to OR {_AS_FOUND})
ORDER BY
    CASE WHEN {_AS_FOUND} THEN 0 ELSE 1 END,
    {_INSIDE},
    CASE WHEN s.outer_mm > :tight_to OR {_AS_FOUND} THEN 0 ELSE 1 END,
    {_HEIGHT}, s.outer_mm, s.inner_mm, s.height_mm, s.id
LIMIT :limit
"""
_LARGER = f"""
SELECT {_COLUMNS}
FROM {{table}} AS s
WHERE s.as_of = :ordinal AND s.outer_mm BETWEEN :outer_min AND :outer_max AND {_SUITS}
ORDER BY s.outer_mm, {_INSIDE}, {_HEIGHT}, s.inner_mm, s.height_mm, s.id
LIMIT :limit
"""
_SMALLER = _LARGER.replace("ORDER BY s.outer_mm,", "ORDER BY s.outer_mm DESC,")


class Series:
    """The searches over one table of sizes. A window holds the named parameters above, mm."""

    def __init__(self, table: str) -> None:
        self._matching = _MATCHING.format(table=table)
        self._larger = _LARGER.format(table=table)
        self._smaller = _SMALLER.format(table=table)

    def matching(
        self, reader: Reader, window: Mapping[str, float], limit: int
    ) -> list[dict[str, Any]]:
        """What goes in as found, then what just cleans up, within a window that ends where more
        outside would be more metal.

        The whole window is sorted: keep it narrow.
        """
        return reader.all(self._matching, **window, limit=limit)

    def upwards(
        self, reader: Reader, window: Mapping[str, float], limit: int
    ) -> list[dict[str, Any]]:
        """The sizes of a window whatever their press, the smallest outside first.

        Walks the index and stops at the limit, however wide the window.
        """
        return reader.all(self._larger, **window, limit=limit)

    def downwards(
        self, reader: Reader, window: Mapping[str, float], limit: int
    ) -> list[dict[str, Any]]:
        """The same, the largest outside first."""
        return reader.all(self._smaller, **window, limit=limit)


OF_PART = {"seat-insert": Series("insert_sizes"), "valve-guide": Series("guide_sizes")}
"""Part -> its sizes."""
