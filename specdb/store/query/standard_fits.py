"""Tolerance grades, fundamental deviations and inch force fits at one size."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

_GRADES = f"""
SELECT g.id, g.grade, g.above_mm, g.up_to_mm, g.value_mm
FROM tolerance_grades AS g
WHERE g.above_mm < :size AND g.up_to_mm >= :size AND g.basis = 'stands' AND {live("g")}
ORDER BY g.id
"""
_DEVIATIONS = f"""
SELECT d.id, d.part, d.symbol, d.grades, d.above_mm, d.up_to_mm, d.value_mm
FROM fundamental_deviations AS d
WHERE d.part <> 'delta' AND d.above_mm < :size AND d.up_to_mm >= :size
  AND d.basis = 'stands' AND d.value_mm IS NOT NULL AND {live("d")}
ORDER BY d.id
"""
_INCH = f"""
SELECT f.id, f.fit, f.interference_min_mm, f.interference_max_mm
FROM inch_fits AS f
WHERE f.above_mm < :size AND f.up_to_mm >= :size AND f.interference_min_mm IS NOT NULL
  AND f.basis = 'stands' AND {live("f")}
ORDER BY f.fit, f.id
"""


def grades(reader: Reader, size_mm: float) -> list[dict[str, Any]]:
    """Standard tolerances of the range a size lies in, mm."""
    return reader.all(_GRADES, size=size_mm)


def deviations(reader: Reader, size_mm: float) -> list[dict[str, Any]]:
    """Fundamental deviations of shafts and holes of the range a size lies in, mm."""
    return reader.all(_DEVIATIONS, size=size_mm)


def inch_fits(reader: Reader, size_mm: float) -> list[dict[str, Any]]:
    """Inch force fits of the range a size lies in: least and greatest press, mm."""
    return reader.all(_INCH, size=size_mm)
