"""Writing a reference database: the tables made, filled and signed in one transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from specdb.errors import StoreError
from specdb.store import migrate
from specdb.store.engine import APPLICATION_ID
from specdb.store.tables import metadata

Batch = tuple[str, Sequence[Mapping[str, Any]]]
"""A table and rows for it; every row has the same columns."""
Progress = Callable[[str], None]
_AT_ONCE = 5000


def fill(path: Path, batches: Iterable[Batch], progress: Progress = lambda _: None) -> None:
    """Make the file at `path`, which is not there yet, a reference database with these rows.

    One transaction, then statistics and packing. Raises StoreError where it cannot be written.
    """
    engine = sqlite_writer(path)
    try:
        with engine.begin() as connection:
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            progress("making the tables")
            migrate.upgrade(connection)
            progress("writing the rows")
            for table, rows in batches:
                insert(connection, table, rows)
        progress("packing the file")
        _pack(path)
    except (sa.exc.SQLAlchemyError, sqlite3.Error) as error:
        cause = getattr(error, "orig", None) or error
        raise StoreError(f"the database {path} cannot be written: {cause}.") from error
    finally:
        engine.dispose()


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


def _pack(path: Path) -> None:
    """Statistics for the planner, then the file packed: the same rows give the same bytes."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("ANALYZE")
        connection.execute("VACUUM")
