"""What a ring of a class stands in compression."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

CLASS_STRENGTH = f"""
SELECT id, key, seen, compressive_yield_min_mpa, compressive_yield_max_mpa
FROM insert_classes t
WHERE key = :key AND compressive_yield_min_mpa IS NOT NULL
  AND compressive_yield_max_mpa IS NOT NULL AND {live("t")}
ORDER BY id
"""


def of_class(reader: Reader, key: str) -> dict[str, Any] | None:
    """The range of compressive yield (MPa) stated for an insert class, or None."""
    return reader.one(CLASS_STRENGTH, key=key)
