"""Writing a reference database: the tables made, filled and signed in one transaction.

Signing writes into `meta` what every table holds, and, in a file, the sum over every page.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from specdb.errors import StoreError
from specdb.store import contents, migrate, seal
from specdb.store.engine import APPLICATION_ID
from specdb.store.tables import metadata

Batch = tuple[str, Sequence[Mapping[str, Any]]]
"""A table and rows for it; every row has the same columns."""
Progress = Callable[[str], None]
_AT_ONCE = 5000
_TRIES = 10


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
            sign(connection)
        progress("packing the file")
        _pack(path)
        seal.seal(path)
    except (sa.exc.SQLAlchemyError, sqlite3.Error, OSError) as error:
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
    numbers = [column.name for column in target.columns if isinstance(column.type, sa.Double)]
    for start in range(0, len(rows), _AT_ONCE):
        some = [_plain(row, numbers) for row in rows[start : start + _AT_ONCE]]
        connection.execute(sa.insert(target), some)


def _plain(row: Mapping[str, Any], numbers: Sequence[str]) -> dict[str, Any]:
    """The row with its numbers as every server gives them back: no minus zero, no whole number."""
    cells = dict(row)
    for name in numbers:
        if cells.get(name) is not None:
            cells[name] = float(cells[name]) + 0.0
    return cells


def sign(connection: sa.Connection) -> None:
    """Write into `meta` the digest over what each table holds."""

    def read(sql: str) -> Iterable[Sequence[Any]]:
        return connection.exec_driver_sql(sql)

    found = contents.digests(read)
    insert(connection, "meta", [{"key": key, "value": value} for key, value in found.items()])


def _pack(path: Path) -> None:
    """Statistics for the planner, then the file packed: the same rows give the same bytes.

    Stand-ins for the sums over the pages are put in until their number is that of the pages.
    """
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("ANALYZE")
        wanted: dict[str, str] = {}
        for _ in range(_TRIES):
            connection.execute("VACUUM")
            (pages,) = connection.execute("PRAGMA page_count").fetchone()
            if wanted == (wanted := seal.stand_ins(pages)):
                return
            connection.execute("DELETE FROM meta WHERE key LIKE ?", (f"{seal.KEY}%",))
            connection.executemany("INSERT INTO meta VALUES (?, ?)", wanted.items())
    raise StoreError(f"the database {path} cannot be sealed: its number of pages never settles.")
