"""The shared server: PostgreSQL, read as of one release.

Every load of the data is a *generation*: a schema `specdb_N` of its own, and a line in
`specdb.generations`, whose last is the current one. A reader takes the current generation when it
opens and stays with it, as an opened file stays the file it was; a shared lock keeps the loader
from clearing it away. So a reader sees one load whole, never parts of two.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable
from typing import Any, TypeVar

import sqlalchemy as sa
from sqlalchemy.engine import URL, make_url

from specdb.errors import StoreError
from specdb.store.address import masked
from specdb.store.asof import Release, choose_release
from specdb.store.engine import ABOUT, IDENTITY, SCHEMA_VERSION, later

T = TypeVar("T")

LOCK = 0x73706563
"""`spec`: the class of our advisory locks; 0 is the loader's, N that of generation N."""
HOME = "specdb"
"""The schema of the list of generations and of the views on the current one."""
CURRENT = f"SELECT number FROM {HOME}.generations ORDER BY number DESC LIMIT 1"
CONNECTIONS = 5
MORE_CONNECTIONS = 10
WAIT_SECONDS = 10
LOAD = "specdb data build --to"
_TRIES = 5


def schema_of(generation: int) -> str:
    """The schema a generation lies in."""
    return f"specdb_{generation}"


def engine_of(where: str | URL, **options: Any) -> sa.Engine:
    """An engine on a server, by psycopg; raises StoreError for a URL that cannot be one."""
    try:
        url = make_url(where).set(drivername="postgresql+psycopg")
        waits = {} if "connect_timeout" in url.query else {"connect_timeout": WAIT_SECONDS}
        return sa.create_engine(url, connect_args=waits, **options)
    except (sa.exc.ArgumentError, ValueError) as error:
        raise StoreError(f"not the URL of a server: {error}") from None
    except ImportError:
        raise StoreError(
            "a server is read through psycopg, which is not installed.",
            hint="Install specdb with its extra: pip install 'specdb[postgres]'.",
        ) from None


def shown(url: URL) -> str:
    """A URL without its passwords."""
    return masked(url.render_as_string(hide_password=True))


def failed(url: URL, error: Exception) -> StoreError:
    """What to tell of an error of the server or the way to it."""
    if isinstance(error, sa.exc.TimeoutError):
        why = f"no connection came free within {WAIT_SECONDS} s"
    else:
        why = " ".join(str(getattr(error, "orig", None) or error).split())
    return StoreError(
        f"the server {shown(url)} does not answer: {why}.",
        hint="Ask again; if it goes on, the server's keeper can tell.",
    )


class _Lost(Exception):
    """The connection broke."""


class ServerReader:
    """A reader of the current generation as of one release; threads may share it.

    A connection that was lost is made anew once, on the same generation. Sessions are read-only;
    what really keeps them from writing is the role they log in with.
    """

    def __init__(self, where: str, release: str | None = None) -> None:
        self._engine = engine_of(
            where,
            isolation_level="AUTOCOMMIT",
            pool_size=CONNECTIONS,
            max_overflow=MORE_CONNECTIONS,
            pool_timeout=WAIT_SECONDS,
            pool_reset_on_return=None,
        )
        self._statements: dict[str, str] = {}
        self._generation: int | None = None
        self._closed = False
        self.release = Release("", 0)
        self._fault: type[Exception] = self._engine.dialect.loaded_dbapi.Error
        sa.event.listen(self._engine, "connect", self._pin)
        try:
            self._check()
            known = self.all("SELECT version, ordinal FROM releases ORDER BY ordinal")
            found = [Release(row["version"], row["ordinal"]) for row in known]
            self.release = choose_release(found, release)
        except BaseException:
            self.close()
            raise

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """Every row of `sql`, a dict of its columns each."""
        names, rows = self._ask(sql, params, lambda cursor: cursor.fetchall())
        return [dict(zip(names, row, strict=True)) for row in rows]

    def one(self, sql: str, /, **params: Any) -> dict[str, Any] | None:
        """The first row of `sql`, or None."""
        names, row = self._ask(sql, params, lambda cursor: cursor.fetchone())
        return None if row is None else dict(zip(names, row, strict=True))

    def close(self) -> None:
        """Close every connection. Closing twice is harmless."""
        self._closed = True
        self._engine.dispose()

    def _ask(
        self, sql: str, params: dict[str, Any], fetch: Callable[[Any], T]
    ) -> tuple[list[str], T]:
        """Column names and what `fetch` takes from the cursor.

        The pool is SQLAlchemy's and so is the translation of `:name`; the statement goes straight
        to the driver, since a result of SQLAlchemy's costs as much as the way to the server.
        """
        if self._closed:
            raise StoreError("the database is closed.", hint="Open it again.")
        params["ordinal"] = self.release.ordinal
        said = self._said(sql)
        for again in (True, False):
            try:
                return self._once(said, params, fetch)
            except _Lost as error:
                self._engine.dispose()
                if not again:
                    raise failed(self._engine.url, error) from error
            except (self._fault, sa.exc.SQLAlchemyError) as error:
                raise failed(self._engine.url, error) from error
        raise AssertionError("the second try returns or raises")

    def _once(
        self, said: str, params: dict[str, Any], fetch: Callable[[Any], T]
    ) -> tuple[list[str], T]:
        held = self._engine.raw_connection()
        try:
            cursor = held.cursor()
            cursor.execute(said, params)
            found = [column[0] for column in cursor.description], fetch(cursor)
            cursor.close()
            return found
        except self._fault as error:
            broken: Any = error
            driver: Any = held.driver_connection
            if self._engine.dialect.is_disconnect(broken, driver, None):
                held.invalidate(error)
                raise _Lost(str(error)) from error
            raise
        finally:
            held.close()

    def _said(self, sql: str) -> str:
        """The statement as the driver takes it."""
        said = self._statements.get(sql)
        if said is None:
            said = str(sa.text(sql).compile(dialect=self._engine.dialect))
            self._statements[sql] = said
        return said

    def _pin(self, connection: Any, _record: Any) -> None:
        """Hold a new connection to one generation, the current one on the first connection."""
        with connection.cursor() as cursor:
            cursor.execute("SET default_transaction_read_only = on")
            for _ in range(_TRIES):
                number = self._generation or self._current(cursor)
                cursor.execute("SELECT pg_advisory_lock_shared(%s, %s)", (LOCK, number))
                cursor.execute("SELECT to_regnamespace(%s) IS NOT NULL", (schema_of(number),))
                if cursor.fetchone()[0]:
                    self._generation = number
                    cursor.execute(f"SET search_path = {schema_of(number)}")
                    if not connection.autocommit:
                        connection.commit()
                    return
                if self._generation:
                    break
        raise StoreError(
            "the data on the server was replaced while this reader had no connection to it.",
            hint="Open the database again.",
        )

    def _current(self, cursor: Any) -> int:
        cursor.execute("SELECT to_regclass(%s) IS NOT NULL", (f"{HOME}.generations",))
        row = None
        if cursor.fetchone()[0]:
            cursor.execute(CURRENT)
            row = cursor.fetchone()
        if row is None:
            raise StoreError(
                f"there are no specdb data on the server {shown(self._engine.url)}.",
                hint=f"Load them: {self._load()}.",
            )
        return int(row[0])

    def _check(self) -> None:
        about = {row["key"]: row["value"] for row in self.all(ABOUT)}
        again = f"Its keeper loads the data again: {self._load()}."
        if about.get("identity") != IDENTITY:
            raise StoreError("the server's specdb data do not say what they are.", hint=again)
        if about.get("schema") != SCHEMA_VERSION:
            raise StoreError(
                f"the server's tables are of schema {about.get('schema')}, this code reads "
                f"{SCHEMA_VERSION}.",
                hint="A later specdb loaded them: bring this one up to date."
                if later(about.get("schema"))
                else again,
            )

    def _load(self) -> str:
        """The command that loads this server, as it can be typed, but for a password."""
        return f"`{LOAD} {shlex.quote(shown(self._engine.url))}`"
