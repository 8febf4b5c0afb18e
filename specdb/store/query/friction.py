"""Friction and the smoothing of rough surfaces: the rows `fit` and `shrink` stand on."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

COEFFICIENTS = f"""
SELECT id, head_class, joining, surface, low, high
FROM friction t
WHERE kind = 'friction' AND basis = 'stands' AND low IS NOT NULL AND high IS NOT NULL
  AND head_class IN (:head_class, 'any') AND joining IN (:joining, 'any')
  AND surface IN (:surface, 'any') AND {live("t")}
ORDER BY id
"""

ALLOWANCES = f"""
SELECT id, kind, scope, rule, low, high, unit
FROM surface_allowances t
WHERE kind = :kind AND basis = 'stands' AND low IS NOT NULL AND {live("t")}
ORDER BY id
"""


def coefficients(
    reader: Reader, head_class: str, joining: str, surface: str
) -> list[dict[str, Any]]:
    """Friction rows for this head, this way of joining and this surface; general rows (`any` head)
    only where there is none of its own."""
    rows = reader.all(COEFFICIENTS, head_class=head_class, joining=joining, surface=surface)
    own = [row for row in rows if row["head_class"] == head_class]
    return own or rows


def allowances(reader: Reader, kind: str) -> list[dict[str, Any]]:
    """Rows of `surface_allowances` of one kind (smoothing, conversion, assembly) with a number."""
    return reader.all(ALLOWANCES, kind=kind)
