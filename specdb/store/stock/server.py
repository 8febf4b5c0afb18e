"""A shop's lists on a server, reached through SQLAlchemy."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa

from specdb.errors import StoreError
from specdb.store.stock import held
from specdb.store.stock.place import shown


class ServerHeld:
    """The lists of a server's database. A statement's text is the same as on a file."""

    def __init__(self, url: str) -> None:
        self._url = url
        self._local = threading.local()
        self._engine = server_engine(url).execution_options(isolation_level="REPEATABLE READ")
        self._made = False
        self._statements: dict[str, sa.TextClause] = {}
        try:
            self._ready()
        except BaseException:
            self.close()
            raise

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        if not self._ready():
            return []
        with self._connected() as connection, _told(self._url):
            return [dict(row) for row in connection.execute(self._text(sql), params).mappings()]

    def rows(self, sql: str, params: dict[str, Any], /) -> list[held.Row]:
        if not self._ready():
            return []
        with self._connected() as connection, _told(self._url):
            return [dict(row) for row in connection.execute(self._text(sql), params).mappings()]

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        if getattr(self._local, "connection", None) is not None:
            yield
            return
        with _told(self._url):
            connection = self._engine.connect()
        with connection:
            self._local.connection = connection
            try:
                yield
            finally:
                self._local.connection = None

    def close(self) -> None:
        self._engine.dispose()

    @contextmanager
    def _connected(self) -> Iterator[sa.Connection]:
        with self.snapshot():
            yield self._local.connection

    def _text(self, sql: str) -> sa.TextClause:
        if sql not in self._statements:
            self._statements[sql] = sa.text(sql)
        return self._statements[sql]

    def _ready(self) -> bool:
        if not self._made:
            with _told(self._url), self._engine.connect() as connection:
                if sa.inspect(connection).has_table("stock_version"):
                    version = connection.exec_driver_sql(held.VERSION).scalar()
                    held.check_version(self._url, version)
                    self._made = True
        return self._made


def server_engine(url: str) -> sa.Engine:
    """An engine on a server. Raises StoreError for a URL nobody can read, or a missing driver."""
    try:
        parsed = sa.make_url(url)
        if parsed.get_backend_name() != "postgresql":
            raise StoreError(
                f"{shown(url)}: lists lie in a SQLite file or on PostgreSQL.",
                hint="Accepted: the path of a file, or postgresql+psycopg://user@host/database.",
            )
        return sa.create_engine(parsed)
    except ImportError:
        raise StoreError(
            "the driver for that server is not installed.", hint="Install specdb[postgres]."
        ) from None
    except (sa.exc.SQLAlchemyError, ValueError) as error:
        raise StoreError(f"{shown(url)} is no database's address: {error}.") from None


@contextmanager
def _told(url: str) -> Iterator[None]:
    """Whatever the library below raises, said in our words."""
    try:
        yield
    except sa.exc.SQLAlchemyError as error:
        cause = str(getattr(error, "orig", None) or error).strip().splitlines() or ["no reason"]
        raise StoreError(
            f"the lists in {shown(url)} cannot be read: {cause[0]}.",
            hint="Search without any with --stock none.",
        ) from error
