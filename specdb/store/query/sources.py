"""A source and every row that came from it."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

_BY_KEY = f"""
SELECT s.id, s.key, s.kind, s.title, s.author_or_body, s.year, s.identifier, s.url,
       s.licence_or_status, s.note, s.release
FROM sources AS s
WHERE s.key = :key AND {live("s")}
"""
_KEYS = f"""
SELECT s.key FROM sources AS s WHERE {live("s")} ORDER BY s.key
"""
_ROWS = f"""
SELECT f.id, f.table_name, f.source, f.locator, f.seen, f.basis, f.printed, f.note, f.release
FROM facts AS f
WHERE ';' || f.source || ';' LIKE '%;' || :key || ';%' AND {live("f")}
ORDER BY f.table_name, f.id
"""


def by_key(reader: Reader, key: str) -> dict[str, Any] | None:
    """The citation of a source, or None."""
    return reader.one(_BY_KEY, key=key)


def keys(reader: Reader) -> list[str]:
    """The keys of all sources, sorted."""
    return [row["key"] for row in reader.all(_KEYS)]


def rows_from(reader: Reader, key: str) -> list[dict[str, Any]]:
    """Every fact that names the source, by table and id.

    A key holds only a-z, 0-9 and hyphens, so that it is never read as a pattern.
    """
    return reader.all(_ROWS, key=key)
