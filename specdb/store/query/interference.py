"""Interference: the published ranges of a part, and the recommended ones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from specdb.store.asof import Reader, live

_PUBLISHED = f"""
SELECT r.id, r.head_class, r.insert_class, r.position, r.diameter_from_mm, r.diameter_to_mm,
       r.minimum, r.maximum, r.unit, r.minimum_mm, r.maximum_mm, r.form, r.retention, r.seat_in,
       r.head_known, r.work, r.seen, r.basis, r.printed, r.source
FROM interference_ranges AS r
WHERE r.part = :part AND r.head_class IN (:head_class, 'any') AND {live("r")}
ORDER BY r.id
"""
_RECOMMENDED = """
SELECT r.id, r.insert_class, r.position, r.retention, r.seat_in,
       r.diameter_from_mm, r.diameter_to_mm, r.minimum_mm, r.maximum_mm, r.rule, r.sources
FROM recommended_ranges AS r
WHERE r.as_of = :ordinal AND r.part = :part AND r.head_class IN (:head_class, 'any')
  AND r.insert_class IN ({places}) AND r.position IN (:position, 'any')
  AND (r.diameter_from_mm IS NULL OR r.diameter_from_mm <= :high)
  AND (r.diameter_to_mm IS NULL OR r.diameter_to_mm >= :low)
ORDER BY r.id
"""
_PAIRS = """
SELECT DISTINCT r.head_class, r.insert_class
FROM recommended_ranges AS r
WHERE r.as_of = :ordinal AND r.part = :part
ORDER BY r.head_class, r.insert_class
"""
_PARTS = f"""
SELECT DISTINCT r.part FROM interference_ranges AS r WHERE {live("r")} ORDER BY r.part
"""


def published(reader: Reader, part: str, head_class: str) -> list[dict[str, Any]]:
    """Every live row for the part in this head class or any, by id."""
    return reader.all(_PUBLISHED, part=part, head_class=head_class)


def recommended(
    reader: Reader,
    part: str,
    head_class: str,
    *,
    insert_classes: Sequence[str],
    position: str,
    low: float,
    high: float,
) -> list[dict[str, Any]]:
    """Recommended ranges that touch the diameters `low` to `high`, mm, by id."""
    names = [f"c{number}" for number in range(len(insert_classes))]
    return reader.all(
        _RECOMMENDED.format(places=", ".join(f":{name}" for name in names)),
        part=part,
        head_class=head_class,
        position=position,
        low=low,
        high=high,
        **dict(zip(names, insert_classes, strict=True)),
    )


def pairs(reader: Reader, part: str) -> list[dict[str, Any]]:
    """Head and insert classes that have a recommended range."""
    return reader.all(_PAIRS, part=part)


def parts(reader: Reader) -> list[str]:
    """Every part some range is known for."""
    return [row["part"] for row in reader.all(_PARTS)]
