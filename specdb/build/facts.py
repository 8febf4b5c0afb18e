"""One line about every fact, for answers to cite: where it comes from and what it says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specdb.build.expand import Expanded
from specdb.records import rows

_ALONE = (
    ("value", "uncertainty"),
    ("coefficients", ""),
    ("extra_percent", ""),
)
"""Column of a figure, and of half its band."""
_ENDS = (
    ("minimum", "maximum"),
    ("low", "high"),
    ("interference_min", "interference_max"),
    ("hole_lower", "hole_upper"),
    ("compressive_yield_min", "compressive_yield_max"),
    ("outer_from", "outer_to"),
)
"""Columns of the two ends of a range."""


def facts(expanded: Expanded) -> list[dict[str, Any]]:
    """Rows of the table `facts`, sorted by id."""
    found = [
        {
            "id": row["id"],
            "table_name": table,
            **{name: row[name] for name in ("source", "locator", "seen", "basis", "note")},
            "printed": row["printed"] or as_written(row),
            **{name: row[name] for name in ("release", "since", "until")},
        }
        for table, placed in expanded.items()
        if issubclass(rows.TABLES[table], rows.Fact)
        for row in placed
    ]
    return sorted(found, key=lambda fact: str(fact["id"]))


def as_written(row: Mapping[str, Any]) -> str | None:
    """The figures of a row with their unit, where the source's own print was not kept.

    None where a row is words alone: they stand in the row itself.
    """
    figure = _figure(row)
    if figure is None:
        return None
    unit = row.get("unit")
    if unit is None and figure == row.get("extra_percent"):
        unit = "%"
    return figure if unit in (None, "1") else f"{figure} {unit}"


def _figure(row: Mapping[str, Any]) -> str | None:
    for name, spread in _ALONE:
        if row.get(name) is not None:
            return f"{row[name]} +- {row[spread]}" if row.get(spread) else str(row[name])
    if row.get("tolerance") is not None:  # a medium; elsewhere a temperature is no figure
        return f"{row['temperature']} +- {row['tolerance']}"
    for low, high in _ENDS:
        least, most = row.get(low), row.get(high)
        if least is not None and most is not None:
            return str(least) if least == most else f"{least} to {most}"
        if least is not None or most is not None:
            return f"from {least}" if most is None else f"up to {most}"
    return str(row["typical"]) if row.get("typical") is not None else None
