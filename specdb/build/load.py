"""From checked rows to a database: the tables made, filled and signed in one transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import sqlalchemy as sa

import specdb
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


@dataclass(frozen=True, slots=True)
class Prepared:
    """All that goes into a database: rows, releases, and the computed tables by ordinal."""

    tables: Tables
    expanded: Expanded
    known: list[Release]
    results: dict[int, dict[str, list[dict[str, Any]]]]


def load(path: Path, prepared: Prepared, progress: Progress) -> None:
    """Fill the new, empty file at `path`; one transaction, then statistics and packing."""
    engine = write.sqlite_writer(path)
    try:
        with engine.begin() as connection:
            write.claim(connection)
            progress("making the tables")
            migrate.upgrade(connection)
            progress("writing the rows")
            _fill(connection, prepared)
        progress("packing the file")
        write.finish(path)
    except (sa.exc.SQLAlchemyError, sqlite3.Error) as error:
        cause = getattr(error, "orig", None) or error
        raise StoreError(f"the database {path} cannot be written: {cause}.") from error
    finally:
        engine.dispose()


def _fill(connection: sa.Connection, prepared: Prepared) -> None:
    for table, rows in prepared.expanded.items():
        write.insert(connection, table, rows)
    write.insert(connection, "facts", facts(prepared.expanded))
    write.insert(connection, "releases", _releases(prepared.tables, prepared.known))
    for results in prepared.results.values():
        for table, rows in results.items():
            write.insert(connection, table, rows)
    write.insert(connection, "meta", _meta(prepared.expanded, prepared.known))


def _releases(tables: Tables, known: list[Release]) -> list[dict[str, Any]]:
    published = {one.cell("version"): one for one in tables.get("releases", [])}
    return [
        {
            "ordinal": release.ordinal,
            "version": release.version,
            **{
                name: one.cell(name) if (one := published.get(release.version)) else None
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
