"""Guides of the generic series by a window on their outside diameter."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader

_GUIDES = """
SELECT g.id, g.series, g.outer_mm, g.inner_mm, g.height_mm, g.oversize_mm, g.outer_minus_mm,
       g.outer_plus_mm
FROM guide_sizes AS g
WHERE g.as_of = :ordinal AND g.outer_mm BETWEEN :low AND :high AND g.inner_mm <= :inner_max
ORDER BY g.outer_mm, abs(g.inner_mm - :inner), abs(g.height_mm - :length), g.id
LIMIT :limit
"""


def between(
    reader: Reader,
    low: float,
    high: float,
    *,
    inner: float,
    inner_max: float,
    length: float,
    limit: int,
) -> list[dict[str, Any]]:
    """Guides of outside `low` to `high` mm no wider inside than `inner_max`, smallest first; of
    one outside those of the bore nearest to `inner`, then the nearest length, first."""
    window = {"low": low, "high": high, "inner": inner, "inner_max": inner_max}
    return reader.all(_GUIDES, **window, length=length, limit=limit)
