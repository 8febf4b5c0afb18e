"""Heating steps and chilling media."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

MEDIA = f"""
SELECT id, key, name, kind, temperature_c, tolerance_c, hazard
FROM media t
WHERE {live("t")}
ORDER BY key
"""


def media(reader: Reader) -> list[dict[str, Any]]:
    """Every medium: id, key, name, kind (chill, heat, room), temperature and tolerance in degC."""
    return reader.all(MEDIA)
