"""Releases, what each held, and every row with the releases it lives in.

Not held to the release read: history is read whole.
"""

from __future__ import annotations

from typing import Any

from specdb.records.rows import TABLES, columns
from specdb.store.asof import Reader

_RELEASES = """
SELECT r.ordinal, r.version, r.date, r.summary, r.digest
FROM releases AS r
ORDER BY r.ordinal
"""
_ROWS = "SELECT {columns} FROM {table} AS t ORDER BY t.id"
_META = "SELECT m.key, m.value FROM meta AS m ORDER BY m.key"
_PRINTED = "SELECT f.id, f.printed FROM facts AS f ORDER BY f.id"


def releases(reader: Reader) -> list[dict[str, Any]]:
    """Every release, oldest first; the draft, undated and without digest, last."""
    return reader.all(_RELEASES)


def rows(reader: Reader) -> dict[str, list[dict[str, Any]]]:
    """Table -> every row ever published or drafted: cells as written, `since` and `until`."""
    return {table: reader.all(_sql(table)) for table in TABLES if table != "releases"}


def printed(reader: Reader) -> dict[str, str | None]:
    """Row id -> the figure as printed, of every fact."""
    return {row["id"]: row["printed"] for row in reader.all(_PRINTED)}


def meta(reader: Reader) -> list[dict[str, Any]]:
    """What the database says of itself: `key` and `value`."""
    return reader.all(_META)


def _sql(table: str) -> str:
    names = [f't."{name}"' for name in (*columns(table), "since", "until")]
    return _ROWS.format(columns=", ".join(names), table=table)
