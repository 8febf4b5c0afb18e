"""Loading the data onto a server: one transaction, after which readers that open see the new load.

A load makes a generation of its own (see `server`), so nothing a reader looks at is ever changed.
The generation before is kept for readers whose connection broke; older ones are cleared away as
soon as nobody reads them.
"""

from __future__ import annotations

from collections.abc import Iterable

import sqlalchemy as sa

from specdb.errors import StoreError
from specdb.store import migrate
from specdb.store.server import HOME, LOCK, engine_of, failed, schema_of, shown
from specdb.store.tables import metadata
from specdb.store.write import Batch, Progress, insert, sign

READERS = "specdb_reader"
"""The group role that may look and nothing else."""
_WAIT = "60s"


def fill_server(
    where: str, release: str, batches: Iterable[Batch], progress: Progress = lambda _: None
) -> str:
    """Load these rows as the new current generation; its URL without password.

    Whatever happens before the end, readers keep what they had. Raises StoreError where the server
    cannot be reached or written.
    """
    engine = engine_of(where, poolclass=sa.NullPool)
    try:
        with engine.begin() as connection:
            number = _begin(connection)
            progress("making the tables")
            migrate.upgrade(connection)
            progress("writing the rows")
            for table, rows in batches:
                insert(connection, table, rows)
            sign(connection)
            progress("handing over")
            for table in sorted(metadata.tables):
                connection.exec_driver_sql(f"ANALYZE {table}")
            _hand_over(connection, number, release)
            _let_read(connection, number, progress)
            _clear_away(connection, number)
    except sa.exc.SQLAlchemyError as error:
        raise _refused(engine.url, error) from error
    finally:
        engine.dispose()
    return shown(engine.url)


def _refused(url: sa.URL, error: sa.exc.SQLAlchemyError) -> StoreError:
    cause = getattr(error, "orig", None)
    if isinstance(error, sa.exc.ProgrammingError) and cause is not None:
        return StoreError(
            f"the server {shown(url)} refuses the load: {' '.join(str(cause).split())}.",
            hint="The role that loads must be allowed to create schemas in this database.",
        )
    return failed(url, error)


def _begin(connection: sa.Connection) -> int:
    """One loader at a time; the schema of the new generation, empty, first on the search path."""
    say = connection.exec_driver_sql
    say(f"SET LOCAL lock_timeout = '{_WAIT}'")
    connection.execute(sa.text("SELECT pg_advisory_xact_lock(:lock, 0)"), {"lock": LOCK})
    say(f"CREATE SCHEMA IF NOT EXISTS {HOME}")
    say(
        f"CREATE TABLE IF NOT EXISTS {HOME}.generations ("
        "number integer PRIMARY KEY, release text NOT NULL, "
        "loaded timestamptz NOT NULL DEFAULT now())"
    )
    number = int(say(f"SELECT coalesce(max(number), 0) + 1 FROM {HOME}.generations").scalar_one())
    say(f"CREATE SCHEMA {schema_of(number)}")
    say(f"SET LOCAL search_path = {schema_of(number)}")
    return number


def _hand_over(connection: sa.Connection, number: int, release: str) -> None:
    """Make the generation the current one, for readers of specdb and of plain SQL."""
    say = connection.exec_driver_sql
    for table in sorted(metadata.tables):
        say(f"DROP VIEW IF EXISTS {HOME}.{table}")
        say(f"CREATE VIEW {HOME}.{table} AS SELECT * FROM {schema_of(number)}.{table}")
    connection.execute(
        sa.text(f"INSERT INTO {HOME}.generations (number, release) VALUES (:number, :release)"),
        {"number": number, "release": release},
    )


def _let_read(connection: sa.Connection, number: int, progress: Progress) -> None:
    """Let the role of readers look; make it where it is missing and we may."""
    say = connection.exec_driver_sql
    found = connection.execute(
        sa.text("SELECT 1 FROM pg_roles WHERE rolname = :name"), {"name": READERS}
    )
    if found.first() is None:
        try:
            with connection.begin_nested():
                say(f"CREATE ROLE {READERS} NOLOGIN")
        except sa.exc.ProgrammingError:
            progress(f"the role {READERS} is missing and may not be made by this role: skipped")
            return
    for schema in (HOME, schema_of(number)):
        say(f"GRANT USAGE ON SCHEMA {schema} TO {READERS}")
        say(f"GRANT SELECT ON ALL TABLES IN SCHEMA {schema} TO {READERS}")


def _clear_away(connection: sa.Connection, number: int) -> None:
    """Drop the generations before the one before, but for those somebody still reads."""
    listed = connection.exec_driver_sql(f"SELECT number FROM {HOME}.generations ORDER BY number")
    for (old,) in list(listed):
        if old >= number - 1:
            continue
        free = connection.execute(
            sa.text("SELECT pg_try_advisory_xact_lock(:lock, :old)"), {"lock": LOCK, "old": old}
        )
        if free.scalar_one():
            connection.exec_driver_sql(f"DROP SCHEMA IF EXISTS {schema_of(old)} CASCADE")
            connection.execute(
                sa.text(f"DELETE FROM {HOME}.generations WHERE number = :old"), {"old": old}
            )
