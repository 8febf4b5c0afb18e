"""Limits and plain facts of counterbore and insert."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from specdb.store.asof import Reader, live

_FEATURES = """
SELECT d.id, d.feature, d.position, d.minimum_house, d.maximum_house, d.unit, d.statement,
       d.source, d.seen, d.basis
FROM insert_dimensions AS d
WHERE d.feature IN ({places}) AND {live}
ORDER BY d.feature, d.id
"""


def insert_features(reader: Reader, features: Sequence[str]) -> list[dict[str, Any]]:
    """Rows of `insert_dimensions` about any of `features`, lengths in mm, by feature and id."""
    names = [f"f{number}" for number in range(len(features))]
    places = ", ".join(f":{name}" for name in names)
    sql = _FEATURES.format(places=places, live=live("d"))
    return reader.all(sql, **dict(zip(names, features, strict=True)))
