"""From checked rows to a database: the tables made, filled and signed in one transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import sqlalchemy as sa

import specdb
from specdb.build.computed import computed
from specdb.build.digest import digest
from specdb.build.expand import Expanded
from specdb.build.facts import facts
from specdb.build.read import Tables
from specdb.errors import StoreError
from specdb.store import migrate, write
from specdb.store.asof import Release, choose_release
from specdb.store.engine import IDENTITY
from specdb.store.tables import metadata

Progress = Callable[[str], None]


def load(
    path: Path, tables: Tables, expanded: Expanded, known: list[Release], progress: Progress
) -> None:
    """Fill the new, empty file at `path`; one transaction, then statistics and packing."""
    engine = write.sqlite_writer(path)
    try:
        with engine.begin() as connection:
            write.claim(connection)
            progress("making the tables")
            migrate.upgrade(connection)
            _fill(connection, tables, expanded, known, progress)
        progress("packing the file")
        write.finish(path)
    except (sa.exc.SQLAlchemyError, sqlite3.Error) as error:
        cause = getattr(error, "orig", None) or error
        raise StoreError(f"the database {path} cannot be written: {cause}.") from error
    finally:
        engine.dispose()


def _fill(
    connection: sa.Connection,
    tables: Tables,
    expanded: Expanded,
    known: list[Release],
    progress: Progress,
) -> None:
    progress("writing the rows")
    for table, rows in expanded.items():
        write.insert(connection, table, rows)
    write.insert(connection, "facts", facts(expanded))
    write.insert(connection, "releases", _releases(tables, known))
    for release in known:
        progress(f"computing curves, ranges and sizes of release {release.version}")
        for table, rows in computed(expanded, release).items():
            write.insert(connection, table, rows)
    write.insert(connection, "meta", _meta(expanded, known))


def _releases(tables: Tables, known: list[Release]) -> list[dict[str, Any]]:
    published = {one.cell("version"): one for one in tables.get("releases", [])}
    return [
        {
            "ordinal": release.ordinal,
            "version": release.version,
            **{
                name: published[release.version].cell(name) if release.version in published else None
                for name in ("date", "summary", "digest")
            },
        }
        for release in known
    ]


def _meta(expanded: Expanded, known: list[Release]) -> list[dict[str, str]]:
    """What the file is; nothing that differs between two builds of the same rows."""
    release = choose_release(known, None)
    about = {
        "built-by": specdb.__version__,
        "digest": digest(expanded, release.ordinal),
        "identity": IDENTITY,
        "release": release.version,
        "schema": migrate.newest(),
        "tables": " ".join(sorted(metadata.tables)),
    }
    return [{"key": key, "value": value} for key, value in sorted(about.items())]
