"""Tables back to CSV, as `data/` holds them: the cells as written, in the order of their key."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from specdb.records.rows import TABLES, columns

Tables = Mapping[str, Sequence[Mapping[str, str | None]]]
"""Table -> rows: column -> cell, None where it is empty."""


def cut(
    every: Mapping[str, Sequence[Mapping[str, Any]]],
    releases: Sequence[Mapping[str, Any]],
    ordinal: int,
) -> Tables:
    """The tables as they stood when the release of `ordinal` was the last: what came later is gone.

    `releases` are those up to it; a draft among them has no line of its own.
    """
    tables: dict[str, list[dict[str, str | None]]] = {}
    for table in TABLES:
        if table == "releases":
            known = [row for row in releases if row["digest"]]
            tables[table] = [{name: str(row[name]) for name in columns(table)} for row in known]
        else:
            tables[table] = [
                {name: row[name] for name in columns(table)}
                for row in every[table]
                if row["since"] <= ordinal
            ]
    return tables


def write_tables(folder: Path, tables: Tables) -> None:
    """A CSV file for each table."""
    for table, rows in tables.items():
        with (folder / f"{table}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(columns(table))
            writer.writerows([row[name] for name in columns(table)] for row in rows)
