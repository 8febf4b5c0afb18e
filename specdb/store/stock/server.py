"""A shop's lists on a server, reached through SQLAlchemy.

Shops share a server's database and are kept apart: each has a schema of its own, called after the
shop that the URL names (`?shop=north`), else after the role that logs in. Whose schema it is, his
role may read and write it, and no other shop's may look into it.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa

from specdb.errors import StoreError
from specdb.store.server import engine_of
from specdb.store.stock import held
from specdb.store.stock.place import shown

SHOP = "shop"
"""The parameter of the URL that names the shop."""
HOME = "specdb_stock_"
"""Start of the name of a shop's schema."""
_NAME = re.compile("[a-z0-9][a-z0-9_-]{0,39}")
_LONGEST = 63
_HERE = "current_setting('search_path')"
"""The shop's schema, quoted where it has to be."""
_MAY = f"""
SELECT n.oid IS NOT NULL,
       has_schema_privilege(n.oid, 'USAGE') AND pg_has_role(session_user, n.nspowner, 'USAGE')
FROM (SELECT to_regnamespace({_HERE})::oid AS here) AS said
LEFT JOIN pg_namespace AS n ON n.oid = said.here
"""
"""A schema that somebody else made under the shop's name is somebody else's, whatever he grants:
he could read all that is written there."""


class ServerHeld:
    """The lists of one shop. A statement's text is the same as on a file.

    It goes straight to the driver, as in `store.server`; a snapshot is one transaction, which its
    first statement begins. `new`: a shop that the URL names may still be without lists.
    """

    def __init__(self, url: str, *, new: bool = False) -> None:
        self._url = url
        self._local = threading.local()
        self._engine = server_engine(url, isolation_level="REPEATABLE READ", read_only=True)
        self._named = not new and shop_of(url) is not None
        self._made = False
        self._statements: dict[str, str] = {}
        self._fault: type[Exception] = self._engine.dialect.loaded_dbapi.Error
        try:
            self._ready()
        except BaseException:
            self.close()
            raise

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """See `Held`. Raises StoreError where the server fails."""
        return self.rows(sql, params)

    def rows(self, sql: str, params: dict[str, Any], /) -> list[Any]:
        """See `Held`. Raises StoreError where the server fails."""
        if not self._ready():
            return []
        with self.snapshot(), _told(self._url, self._fault):
            cursor = self._asked(self._said(sql), params)
            names = [column[0] for column in cursor.description]
            return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """See `Held`; one transaction of the server."""
        if getattr(self._local, "connection", None) is not None:
            yield
            return
        self._connect()
        try:
            yield
        finally:
            self._local.connection.close()
            self._local.connection = None

    def _connect(self) -> None:
        with _told(self._url, self._fault):
            self._local.connection = self._engine.raw_connection()
            self._local.begun = False

    def _asked(self, said: str, params: dict[str, Any]) -> Any:
        """A cursor with the rows; a connection lost before anything was read is made anew."""
        begun, self._local.begun = self._local.begun, True
        try:
            return self._local.connection.cursor().execute(said, params)
        except self._fault:
            if not self._local.connection.driver_connection.closed:
                raise
            self._local.connection.invalidate()
            self._engine.dispose()
            if begun:
                raise
            self._connect()
            return self._local.connection.cursor().execute(said, params)

    def close(self) -> None:
        """See `Held`."""
        self._engine.dispose()

    def _said(self, sql: str) -> str:
        """The statement as the driver takes it."""
        said = self._statements.get(sql)
        if said is None:
            said = str(sa.text(sql).compile(dialect=self._engine.dialect))
            self._statements[sql] = said
        return said

    def _ready(self) -> bool:
        if not self._made:
            with _told(self._url, self._fault), self._engine.connect() as connection:
                if not may_look(connection, self._url) and self._named:
                    raise _nobody(self._url)
                if sa.inspect(connection).has_table("stock_version"):
                    version = connection.exec_driver_sql(held.VERSION).scalar()
                    held.check_version(self._url, version)
                    self._made = True
        return self._made


def server_engine(url: str, *, read_only: bool = False, **options: Any) -> sa.Engine:
    """An engine on a shop's lists. Raises StoreError for a URL nobody can read, a name no shop can
    have, or a missing driver."""
    try:
        parsed = sa.make_url(url)
    except (sa.exc.ArgumentError, ValueError) as error:
        raise StoreError(f"{shown(url)} is no database's address: {error}.") from None
    if parsed.get_backend_name() != "postgresql":
        raise StoreError(
            f"{shown(url)}: lists lie in a SQLite file or on PostgreSQL.",
            hint="Accepted: the path of a file, or postgresql+psycopg://ROLE@HOST/DATABASE.",
        )
    shop = shop_of(url)
    engine = engine_of(parsed.difference_update_query([SHOP]), **options)

    @sa.event.listens_for(engine, "connect")
    def _go_home(connection: Any, _record: Any) -> None:
        """Look at this shop's lists alone. A statement is planned once, not for every bore."""
        with connection.cursor() as cursor:
            cursor.execute("SELECT %s || coalesce(%s, session_user::text)", (HOME, shop))
            (schema,) = cursor.fetchone()
            if len(schema.encode()) > _LONGEST:
                raise _bad_name(url, "the role's name is too long for a shop's")
            cursor.execute("SELECT set_config('search_path', quote_ident(%s), false)", (schema,))
            cursor.execute("SET plan_cache_mode = force_generic_plan")
            if read_only:
                cursor.execute("SET default_transaction_read_only = on")
        connection.commit()

    return engine


def shop_of(url: str) -> str | None:
    """The shop that a URL names; None: the role is the shop. Raises StoreError for a bad name."""
    said = sa.make_url(url).query.get(SHOP)
    if said is not None and (not isinstance(said, str) or not _NAME.fullmatch(said)):
        raise _bad_name(url, f"{said!r} is no shop's name")
    return said


def may_look(connection: sa.Connection, url: str) -> bool:
    """Whether the shop has a schema. Raises StoreError where it is somebody else's."""
    there, may = connection.exec_driver_sql(_MAY).one()
    if there and not may:
        raise StoreError(
            f"the lists in {shown(url)} are another shop's.",
            hint=f"Log in with that shop's role, or name your own shop: ?{SHOP}=NAME.",
        )
    return bool(there)


def make_home(connection: sa.Connection, url: str) -> None:
    """Make the shop's schema where it is missing. Raises StoreError where this role may not."""
    if may_look(connection, url):
        return
    home = connection.exec_driver_sql(f"SELECT {_HERE}").scalar_one()
    try:
        connection.exec_driver_sql(f"CREATE SCHEMA {home}")
    except sa.exc.ProgrammingError:
        raise StoreError(
            f"there is no place for this shop's lists in {shown(url)} yet, and this role may not "
            "make one.",
            hint=f"The server's keeper can: CREATE SCHEMA {home} AUTHORIZATION the shop's role.",
        ) from None


def take_the_pen(connection: sa.Connection, wait_s: float) -> None:
    """Wait until nobody else writes this shop's lists, until the end of the transaction."""
    connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{wait_s:g}s'")
    lock = f"SELECT pg_advisory_xact_lock({held.APPLICATION_ID}, hashtext({_HERE}))"
    connection.exec_driver_sql(lock)


def _nobody(url: str) -> StoreError:
    return StoreError(
        f"there are no own lists of the shop {shop_of(url)!r} in {shown(url)}.",
        hint="Import one there with `specdb stock import FILE --list NAME --stock URL`.",
    )


def _bad_name(url: str, why: str) -> StoreError:
    return StoreError(
        f"{shown(url)}: {why}.",
        hint=f"Accepted: ?{SHOP}=NAME of at most 40 small letters, digits, _ and -.",
    )


@contextmanager
def _told(url: str, fault: type[Exception]) -> Iterator[None]:
    """Whatever the library below raises, said in our words."""
    try:
        yield
    except (sa.exc.SQLAlchemyError, fault) as error:
        cause = str(getattr(error, "orig", None) or error).strip().splitlines() or ["no reason"]
        raise StoreError(
            f"the lists in {shown(url)} cannot be read: {cause[0]}.",
            hint="Ask again, or search without any: --stock none.",
        ) from error
