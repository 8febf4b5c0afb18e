"""The embedded database: a SQLite file opened so that it cannot be written.

Before the first answer the file proves itself: the header of SQLite, our application id, the full
length, the schema this code reads, every table. Each failure is a StoreError that says what to do.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from pathlib import Path
from typing import Any

from specdb.errors import StoreError
from specdb.store import assets
from specdb.store.asof import Release, choose_release
from specdb.store.assets import BUILD_COMMAND

APPLICATION_ID = 0x73706563
"""`spec` in ASCII, at the place SQLite keeps for a file's owner."""
SCHEMA_VERSION = "0005"
"""The migration of `schema/reference` this code reads; a test holds it to the newest one."""
IDENTITY = "specdb reference"
ABOUT = "SELECT key, value FROM meta WHERE key IN ('identity', 'schema', 'tables')"
"""What a database says of itself, as far as opening it goes."""

ELSE = f"Name a database that `{BUILD_COMMAND}` built, or none for the bundled one."
"""The hint where the file is somebody else's: no build may be sent over it."""

_MAGIC = b"SQLite format 3\x00"
_HEADER = 100


class SqliteReader:
    """A reader of one file as of one release; threads may share it.

    Each thread gets a connection of its own on first use, held for later statements, which
    SQLite therefore prepares once.
    """

    def __init__(self, path: Path, release: str | None = None) -> None:
        check_header(path)
        self._uri = read_only_uri(path)
        self._path = path
        self._local = threading.local()
        self._lock = threading.Lock()
        self._open: list[sqlite3.Connection] = []
        self._closed = False
        self.release = Release("", 0)
        try:
            self._check_schema()
            self.release = choose_release(self._releases(), release)
        except BaseException:
            self.close()
            raise

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """Every row of `sql`, a dict of its columns each."""
        params["ordinal"] = self.release.ordinal
        try:
            cursor = self._connection().execute(sql, params)
            names = [column[0] for column in cursor.description]
            return [dict(zip(names, row, strict=True)) for row in cursor]
        except sqlite3.Error as error:
            raise self._failed(error) from error

    def one(self, sql: str, /, **params: Any) -> dict[str, Any] | None:
        """The first row of `sql`, or None."""
        params["ordinal"] = self.release.ordinal
        try:
            cursor = self._connection().execute(sql, params)
            row = cursor.fetchone()
            if row is None:
                return None
            found = {column[0]: cell for column, cell in zip(cursor.description, row, strict=True)}
            cursor.close()
            return found
        except sqlite3.Error as error:
            raise self._failed(error) from error

    def close(self) -> None:
        """Close the connections of every thread. Closing twice is harmless."""
        with self._lock:
            self._closed = True
            while self._open:
                self._open.pop().close()
        self._local = threading.local()

    def _connection(self) -> sqlite3.Connection:
        connection: sqlite3.Connection | None = getattr(self._local, "connection", None)
        if connection is None:
            with self._lock:
                if self._closed:
                    raise StoreError("the database is closed.", hint="Open it again.")
                connection = sqlite3.connect(self._uri, uri=True, check_same_thread=False)
                self._open.append(connection)
            self._local.connection = connection
        return connection

    def _check_schema(self) -> None:
        tables = {
            row["name"] for row in self.all("SELECT name FROM sqlite_master WHERE type = 'table'")
        }
        if "meta" not in tables:
            raise _unusable(self._path, "the table 'meta' is missing")
        about = {row["key"]: row["value"] for row in self.all(ABOUT)}
        if about.get("identity") != IDENTITY:
            raise _unusable(self._path, f"it says it is {about.get('identity')!r}")
        if about.get("schema") != SCHEMA_VERSION:
            raise _other_schema(self._path, about.get("schema"))
        missing = sorted(set(about.get("tables", "").split()) - tables)
        if missing:
            raise _unusable(self._path, f"missing: table {', '.join(missing)}")

    def _releases(self) -> list[Release]:
        rows = self.all("SELECT version, ordinal FROM releases ORDER BY ordinal")
        return [Release(row["version"], row["ordinal"]) for row in rows]

    def _failed(self, error: sqlite3.Error) -> StoreError:
        return StoreError(
            f"the database {self._path} cannot be read: {error}.", hint=_again(self._path)
        )


def check_header(path: Path) -> None:
    """Raise StoreError unless `path` is a whole SQLite file with our application id."""
    try:
        with open(path, "rb") as file:
            header = file.read(_HEADER)
            size = os.fstat(file.fileno()).st_size
    except FileNotFoundError:
        raise StoreError(f"there is no database at {path}.", hint=_again(path)) from None
    except IsADirectoryError:
        raise StoreError(
            f"{path} is a folder, not a database.", hint="Give the path of a database file."
        ) from None
    except (OSError, ValueError) as error:
        raise StoreError(
            f"the database {path} cannot be opened: {_reason(error)}.",
            hint="The file must be readable for this user.",
        ) from None
    if len(header) < _HEADER or not header.startswith(_MAGIC):
        raise StoreError(
            f"{path} is not a SQLite database.", hint=_again(path) if not size else ELSE
        )
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        why = "it is a SQLite file of something else"
        raise StoreError(f"{path} is not a usable specdb database: {why}.", hint=ELSE)
    page = int.from_bytes(header[16:18], "big")
    if size < (65536 if page == 1 else page) * int.from_bytes(header[28:32], "big"):
        raise _unusable(path, "the file is cut short")


def may_be_replaced(path: Path) -> bool:
    """Whether a build may take the place of what is at `path`: nothing, an empty file, or ours."""
    try:
        with open(path, "rb") as file:
            header = file.read(_HEADER)
    except (FileNotFoundError, NotADirectoryError):
        return True
    except OSError:
        return path.is_symlink() or path.is_dir()  # whoever writes says what is wrong
    return not header or (
        header.startswith(_MAGIC) and int.from_bytes(header[68:72], "big") == APPLICATION_ID
    )


def later(schema: str | None) -> bool:
    """Whether these tables were made by a later version of the code than this one."""
    return schema is not None and schema > SCHEMA_VERSION


def _other_schema(path: Path, schema: str | None) -> StoreError:
    why = f"its tables are of schema {schema}, this code reads {SCHEMA_VERSION}"
    refused = _unusable(path, why)
    if later(schema):
        refused.hint = f"A later specdb made it: bring this one up to date. Or else: {_again(path)}"
    return refused


def _unusable(path: Path, why: str) -> StoreError:
    return StoreError(f"{path} is not a usable specdb database: {why}.", hint=_again(path))


def _again(path: Path) -> str:
    """The command that makes a database at `path`, as it can be typed."""
    import shlex

    where = "" if path == assets.target() else f" --to {shlex.quote(str(path))}"
    return f"Build it with `{BUILD_COMMAND}{where}`."


def _reason(error: Exception) -> str:
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def read_only_uri(path: Path) -> str:
    """`path` as SQLite's URI; `%`, `?` and `#` would be read as its punctuation."""
    text = str(path.absolute())
    for mark in "%?#":
        text = text.replace(mark, f"%{ord(mark):02x}")
    return f"file:{text}?mode=ro"
