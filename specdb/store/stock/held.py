"""A shop's lists opened for reading, with one unchanging view while a question is answered."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, Protocol

from specdb.errors import StoreError
from specdb.store.stock.place import shown, typed

APPLICATION_ID = 0x73706473
"""`spds` in ASCII, at the place SQLite keeps for a file's owner."""
SCHEMA_VERSION = "0001"
"""The migration of `schema/stock` this code reads; a test holds it to the newest one."""
WAIT_S = 10.0
"""How long to wait for somebody who is writing."""
VERSION = "SELECT version_num FROM stock_version"
_CACHED_STATEMENTS = 64


Row = Mapping[str, Any]
"""A row read: its cells by the names of its columns."""


class Held(Protocol):
    """What a search of the lists needs: statements with `:name` parameters."""

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """Every row, a dict of its columns each."""
        ...

    def rows(self, sql: str, params: dict[str, Any], /) -> list[Row]:
        """Every row, its cells by name: for the statements a search repeats."""
        ...

    def snapshot(self) -> Any:
        """A context manager within which this thread sees no change."""
        ...

    def close(self) -> None:
        """Let go of the lists. Closing twice is harmless."""
        ...


def open_held(place: str | Path, *, new: bool = False) -> Held:
    """The lists at a path or URL; a file not there yet, or empty, holds no list.

    Raises StoreError for what is not a stock of ours, or of another version, and for a shop the URL
    names which has no lists there, but where they may be `new`.
    """
    if isinstance(place, str):
        from specdb.store.stock.server import ServerHeld

        return ServerHeld(place, new=new)
    return FileHeld(place)


class FileHeld:
    """The lists of a SQLite file; each thread has a connection of its own.

    Opened for reading and writing, yet told to write nothing: what a killed import left half
    done has to be undone before it can be read.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._local = threading.local()
        self._lock = threading.Lock()
        self._open: list[sqlite3.Connection] = []
        self._made = False
        self._ready()

    def _ready(self) -> bool:
        """Whether there are tables to read; a list may be imported while we are open."""
        if not self._made and not check_owner(self._path):
            self._check_version()
            self._made = True
        return self._made

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """See `Held`. Raises StoreError where the file fails."""
        if not self._ready():
            return []
        try:
            return [dict(row) for row in self._connection().execute(sql, params)]
        except sqlite3.Error as error:
            raise self._failed(error) from error

    def rows(self, sql: str, params: dict[str, Any], /) -> list[Row]:
        """See `Held`. Raises StoreError where the file fails."""
        if not self._ready():
            return []
        try:
            return self._connection().execute(sql, params).fetchall()
        except sqlite3.Error as error:
            raise self._failed(error) from error

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """See `Held`."""
        if not self._ready() or self._connection().in_transaction:
            yield
            return
        connection = self._connection()
        connection.execute("BEGIN")
        try:
            yield
        finally:
            connection.execute("ROLLBACK")

    def close(self) -> None:
        """See `Held`."""
        with self._lock:
            while self._open:
                self._open.pop().close()
        self._local = threading.local()

    def _connection(self) -> sqlite3.Connection:
        connection: sqlite3.Connection | None = getattr(self._local, "connection", None)
        if connection is None:
            try:
                connection = connect(self._path)
                connection.execute("PRAGMA query_only = ON")
                connection.row_factory = sqlite3.Row
            except sqlite3.Error as error:
                raise self._failed(error) from error
            with self._lock:
                self._open.append(connection)
            self._local.connection = connection
        return connection

    def _check_version(self) -> None:
        try:
            with closing(connect(self._path)) as connection:
                named = "SELECT count(*) FROM sqlite_master WHERE name = 'stock_version'"
                (there,) = connection.execute(named).fetchone()
                held = connection.execute(VERSION).fetchone() if there else None
        except sqlite3.Error as error:
            raise self._failed(error) from error
        check_version(self._path, held[0] if held else None)

    def _failed(self, error: sqlite3.Error) -> StoreError:
        return StoreError(
            f"the lists in {self._path} cannot be read: {error}.",
            hint="Name the right file with --stock, or search without any: --stock none.",
        )


def check_owner(path: Path) -> bool:
    """Whether the file is still to be made: missing, or without a table.

    SQLite itself opens it, so that what a killed import left half done is undone first. Raises
    StoreError where it is something else than a stock of ours.
    """
    if not path.exists():
        return True
    try:
        with closing(connect(path)) as connection:
            (owner,) = connection.execute("PRAGMA application_id").fetchone()
            (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except (sqlite3.Error, OSError, ValueError) as error:
        if isinstance(error, sqlite3.DatabaseError) and "not a database" in str(error):
            raise _foreign(path) from None
        raise StoreError(
            f"the lists in {path} cannot be opened: {error}.",
            hint="Name a file this user may read and write with --stock.",
        ) from None
    if tables and owner != APPLICATION_ID:
        raise _foreign(path)
    return not tables


def connect(path: Path) -> sqlite3.Connection:
    """A connection to a file that is there, which begins no transaction of its own accord."""
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw",
        uri=True,
        timeout=WAIT_S,
        isolation_level=None,
        check_same_thread=False,
        cached_statements=_CACHED_STATEMENTS,
    )


def _foreign(path: Path) -> StoreError:
    return StoreError(
        f"{path} is something else than a shop's lists; it was left alone.",
        hint="Name another file with --stock; an import makes it.",
    )


def check_version(place: str | Path, held: str | None) -> None:
    """Raise StoreError unless the tables are of the version this code reads."""
    if held == SCHEMA_VERSION:
        return
    if held is None or held < SCHEMA_VERSION:
        hint = f"Bring them up to date: `specdb stock upgrade --stock {typed(place)}`."
    else:
        hint = "A later specdb made them: use that one, or name another place with --stock."
    raise StoreError(
        f"the lists in {shown(place)} are of version {held}, this code reads {SCHEMA_VERSION}.",
        hint=hint,
    )
