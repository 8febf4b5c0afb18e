"""Limits and plain facts of counterbore and insert."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from specdb.store.asof import Reader, live

_FEATURE = f"""
SELECT d.id, d.feature, d.position, d.minimum_house, d.maximum_house, d.unit, d.statement,
       d.seen, d.basis
FROM insert_dimensions AS d
WHERE d.feature = :feature AND {live("d")}
ORDER BY d.id
"""


def insert_features(reader: Reader, features: Sequence[str]) -> dict[str, list[dict[str, Any]]]:
    """Rows of `insert_dimensions` by feature, lengths in mm; an unknown feature has none."""
    return {name: reader.all(_FEATURE, feature=name) for name in features}
