"""What the rows of a release add up to: SHA-256 over their cells as written.

Taken over the rows live in the release and the columns that release knew, tables and rows in order
of their names. The text hashed is one JSON list a line: a table's name and columns, then each row.
A table without live rows adds nothing, so that a table made later leaves older digests alone.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence

from specdb.build.expand import Expanded, live_in
from specdb.records import rows


def known_columns() -> dict[str, list[str]]:
    """Table -> columns, as the row models have them now."""
    return {table: rows.columns(table) for table in rows.TABLES if table != "releases"}


def digest(
    expanded: Expanded, ordinal: int, columns: Mapping[str, Sequence[str]] | None = None
) -> str:
    """The digest of the release of that ordinal, 64 hexadecimal digits.

    `columns`: what that release knew, table by table; None for the columns of now.
    """
    total = hashlib.sha256()
    live = live_in(expanded, ordinal)
    for table, names in sorted((columns or known_columns()).items()):
        found = sorted(live.get(table, []), key=lambda row: str(row["id"]))
        if found:
            total.update(_line([table, *names]))
        for row in found:
            total.update(_line([row[name] for name in names]))
    return total.hexdigest()


def _line(cells: Sequence[str | None]) -> bytes:
    return json.dumps(cells, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
