"""Limits and plain facts of counterbore and insert, of seats, and of guides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from specdb.store.asof import Reader, live

Table = Literal["insert_dimensions", "seat_geometry", "guide_dimensions"]
_COLUMNS = """
d.id, d.feature, d.position, d.minimum_house, d.maximum_house, d.unit, d.statement,
       d.source, d.seen, d.basis, d.printed, d.note
"""
_SPAN = ", d.valve_from_mm, d.valve_to_mm"
_FEATURES = """
SELECT {columns}
FROM {table} AS d
WHERE d.feature IN ({places}) AND {live}
ORDER BY d.feature, d.id
"""


def features(reader: Reader, table: Table, names: Sequence[str]) -> list[dict[str, Any]]:
    """Rows of a table of dimensions about any feature of `names`, by feature and id.

    `minimum_house` and `maximum_house` are mm where they are lengths, else in `unit`; a seat's row
    says besides for which valve diameters it is given.
    """
    keys = [f"f{number}" for number in range(len(names))]
    sql = _FEATURES.format(
        columns=_COLUMNS + (_SPAN if table == "seat_geometry" else ""),
        table=table,
        places=", ".join(f":{key}" for key in keys),
        live=live("d"),
    )
    return reader.all(sql, **dict(zip(keys, names, strict=True)))


def insert_features(reader: Reader, names: Sequence[str]) -> list[dict[str, Any]]:
    """Rows of `insert_dimensions` about any of these features."""
    return features(reader, "insert_dimensions", names)
