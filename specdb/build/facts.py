"""One line about every fact, for answers to cite: where it comes from and what it says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specdb.build.expand import Expanded
from specdb.records import rows

_FIGURES: tuple[tuple[str, str], ...] = (
    ("minimum", "maximum"),
    ("low", "high"),
    ("interference_min", "interference_max"),
    ("compressive_yield_min", "compressive_yield_max"),
    ("hole_lower", "hole_upper"),
)


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
    for name in ("value", "coefficients"):
        if row.get(name) is not None:
            spread = row.get("uncertainty")
            return f"{row[name]} +- {spread}" if spread else str(row[name])
    for low, high in _FIGURES:
        ends = [row[name] for name in (low, high) if row.get(name) is not None]
        if ends:
            return " to ".join(dict.fromkeys(ends))
    for name in ("typical", "temperature", "extra_percent", "outer_from"):
        if row.get(name) is not None:
            return str(row[name])
    return None
