"""What a database holds, table by table, as digests over every column of every row.

Written into `meta` when the database is made, so that any copy, on either server, can be held
against it: computed rows and converted columns too, which no release's digest covers.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from specdb.store.tables import metadata

KEY = "contents."
"""Start of the keys of `meta` that hold them."""


def tables() -> list[str]:
    """Every table but `meta`, which holds the digests."""
    return sorted(set(metadata.tables) - {"meta"})


def statement(table: str) -> str:
    """The whole table, in order of its key."""
    known = metadata.tables[table]
    names = ", ".join(f'"{column.name}"' for column in known.columns)
    order = ", ".join(f'"{column.name}"' for column in known.primary_key)
    return f"SELECT {names} FROM {table} ORDER BY {order}"


def digest(rows: Iterable[Sequence[Any]]) -> str:
    """SHA-256 over rows of text, numbers and None, a JSON list a line."""
    total = hashlib.sha256()
    for row in rows:
        total.update(json.dumps(list(row), ensure_ascii=False, allow_nan=False).encode() + b"\n")
    return total.hexdigest()


def digests(read: Callable[[str], Iterable[Sequence[Any]]]) -> dict[str, str]:
    """Key of `meta` -> digest, of every table; `read` gives the rows of a statement."""
    return {f"{KEY}{table}": digest(read(statement(table))) for table in tables()}
