"""Writing a reference database: an engine that may write, and the loader."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from specdb.store.engine import APPLICATION_ID
from specdb.store.tables import metadata

_AT_ONCE = 5000


def sqlite_writer(path: Path) -> sa.Engine:
    """An engine on a SQLite file whose transactions hold table making too.

    The driver of Python 3.11 commits before it makes a table; with its own transactions
    switched off, ours begin and end where they are written.
    """
    engine = sa.create_engine(sa.URL.create("sqlite", database=str(path)), poolclass=sa.NullPool)

    @sa.event.listens_for(engine, "connect")
    def _plain(connection: Any, _record: Any) -> None:
        connection.isolation_level = None

    @sa.event.listens_for(engine, "begin")
    def _begin(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN")

    return engine


def insert(connection: sa.Connection, table: str, rows: Sequence[Mapping[str, Any]]) -> None:
    """Put rows into a table; every row has the same columns."""
    target = metadata.tables[table]
    for start in range(0, len(rows), _AT_ONCE):
        connection.execute(sa.insert(target), [dict(row) for row in rows[start : start + _AT_ONCE]])


def claim(connection: sa.Connection) -> None:
    """Sign the file as ours."""
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")


def finish(path: Path) -> None:
    """Statistics for the planner, then the file packed: the same rows give the same bytes."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("ANALYZE")
        connection.execute("VACUUM")
