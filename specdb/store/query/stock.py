"""Rings on a shop's lists, by a window on the outside diameter.

One walk of the index for a list and what the ring is made of: the window bounds it, and every
column a search looks at is in the index. `:press_in` is the press a list builds into its outside
diameters, 0 where they are the ring's own; the windows given are those of the list. A list does not
say what its parts are: what is longer than it is wide is a guide, anything else a ring.
"""

from __future__ import annotations

from typing import Any

from specdb.store.stock.held import Held, Row

_SELECT = """
SELECT r.outer_mm + :press_in AS outer_mm, r.inner_mm, r.height_mm, r.outer_minus_mm,
       r.outer_plus_mm, r.part AS id, r.qty, r.outer_mm AS listed_mm,
       '' AS series, NULL AS oversize_mm, (r.outer_mm + :press_in - r.inner_mm) / 2 AS wall_mm
FROM stock_rings AS r
WHERE r.list = :list AND r.made_of = :made_of AND r.on_shelf = :on_shelf
  AND r.outer_mm BETWEEN :outer_min AND :outer_max
  AND r.inner_mm BETWEEN :inner_min AND :inner_max
  AND r.height_mm BETWEEN :height_min AND :height_max AND r.height_mm {shape} r.outer_mm
"""
_AS_FOUND = """
(r.outer_mm - r.outer_minus_mm >= :found_from AND r.outer_mm + r.outer_plus_mm <= :found_to)
"""
_INSIDE = "abs(r.inner_mm - (:inner_fixed + :inner_share * r.outer_mm))"
_HEIGHT = "abs(r.height_mm - (:height_fixed + :height_share * r.outer_mm))"
_MATCHING = f"""{_SELECT}
  AND (r.outer_mm BETWEEN :cut_from AND :cut_to OR {_AS_FOUND})
ORDER BY
    CASE WHEN {_AS_FOUND} THEN 0 ELSE 1 END,
    {_INSIDE},
    CASE WHEN r.outer_mm > :tight_to OR {_AS_FOUND} THEN 0 ELSE 1 END,
    {_HEIGHT}, r.outer_mm, r.inner_mm, r.height_mm, r.part
LIMIT :limit
"""
_LARGER = f"""{_SELECT}
ORDER BY r.outer_mm, {_INSIDE}, {_HEIGHT}, r.inner_mm, r.height_mm, r.part
LIMIT :limit
"""
_SMALLER = _LARGER.replace("ORDER BY r.outer_mm,", "ORDER BY r.outer_mm DESC,")
_LISTS = """
SELECT l.id, l.name, l.od_means, l.digest, l.rings, l.imported_at
FROM stock_lists AS l
ORDER BY l.name
"""
_LIST = """
SELECT l.id, l.name, l.od_means, l.digest, l.rings FROM stock_lists AS l WHERE l.name = :name
"""
_RINGS = """
SELECT r.part, r.outer, r.inner, r.height, r.material, r.made_of AS class, r.qty, r.tolerance,
       r.note
FROM stock_rings AS r
WHERE r.list = :list
ORDER BY r.place, r.part
"""


def lists(held: Held) -> list[dict[str, Any]]:
    """Every list, in the order of names."""
    return held.all(_LISTS)


def one_list(held: Held, name: str) -> dict[str, Any] | None:
    """The list called `name`, or None."""
    found = held.all(_LIST, name=name)
    return found[0] if found else None


def rings(held: Held, number: int) -> list[dict[str, Any]]:
    """The rings of a list as they were written, in their order."""
    return held.all(_RINGS, list=number)


class Listed:
    """The searches over the parts of one shape. A window holds the named parameters above, mm, and
    `limit`."""

    def __init__(self, shape: str) -> None:
        self._matching = _MATCHING.format(shape=shape)
        self._larger = _LARGER.format(shape=shape)
        self._smaller = _SMALLER.format(shape=shape)

    def matching(self, held: Held, window: dict[str, Any]) -> list[Row]:
        """What goes in as found, then what just cleans up, within a window that ends where more
        outside would be more metal.

        The whole window is sorted: keep it narrow.
        """
        return held.rows(self._matching, window)

    def upwards(self, held: Held, window: dict[str, Any]) -> list[Row]:
        """The parts of a window whatever their press, the smallest outside first; stops at the
        limit."""
        return held.rows(self._larger, window)

    def downwards(self, held: Held, window: dict[str, Any]) -> list[Row]:
        """The same, the largest outside first."""
        return held.rows(self._smaller, window)


OF_PART = {"seat-insert": Listed("<="), "valve-guide": Listed(">")}
"""Part -> what has its shape on a list."""
