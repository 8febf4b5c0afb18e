"""What the rows of a release add up to: SHA-256 over their cells as written.

Taken over the rows live in the release and the columns that release knew, tables and rows in order
of their names. The text hashed is one JSON list a line: a table's name and columns, then each row.
A table without live rows adds nothing, so that a table made later leaves older digests alone; nor
do `releases` and `release_tables`, which tell of the digests.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from specdb.build.expand import Expanded, live_in
from specdb.records import rows

APART = ("releases", "release_tables")
"""Tables that tell of releases and are no part of one."""
Columns = Mapping[str, Sequence[str]]
"""Table -> its columns, in order."""


class TableDigest(NamedTuple):
    """What one table holds in one release."""

    columns: tuple[str, ...]
    rows: int
    digest: str


def known_columns() -> dict[str, list[str]]:
    """Table -> columns, as the row models have them now."""
    return {table: rows.columns(table) for table in rows.TABLES if table not in APART}


def columns_of(expanded: Expanded, version: str) -> dict[str, list[str]]:
    """Table -> columns that a published release knew, as publishing wrote them down."""
    return {
        row["table_name"]: row["columns"].split(";")
        for row in expanded.get("release_tables", [])
        if row["release"] == version
    }


def digest(expanded: Expanded, ordinal: int, columns: Columns | None = None) -> str:
    """The digest of the release of that ordinal, 64 hexadecimal digits.

    `columns`: what that release knew, table by table; None for the columns of now.
    """
    total = hashlib.sha256()
    for _, _, text in _texts(expanded, ordinal, columns):
        total.update(text)
    return total.hexdigest()


def table_digests(
    expanded: Expanded, ordinal: int, columns: Columns | None = None
) -> dict[str, TableDigest]:
    """The same table by table, of those with live rows."""
    known = columns or known_columns()
    return {
        table: TableDigest(tuple(known[table]), count, hashlib.sha256(text).hexdigest())
        for table, count, text in _texts(expanded, ordinal, columns)
    }


def _texts(
    expanded: Expanded, ordinal: int, columns: Columns | None
) -> Iterator[tuple[str, int, bytes]]:
    """Of each table with live rows: its name, how many, and the text hashed."""
    live = live_in(expanded, ordinal)
    for table, names in sorted((columns or known_columns()).items()):
        found = sorted(live.get(table, []), key=lambda row: str(row["id"]))
        if found:
            lines = [_line([table, *names])]
            lines += [_line([row.get(name) for name in names]) for row in found]
            yield table, len(found), b"".join(lines)


def _line(cells: Sequence[str | None]) -> bytes:
    return json.dumps(cells, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
