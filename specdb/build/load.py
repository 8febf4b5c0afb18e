"""From checked rows to the batches a database is filled with."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import specdb
from specdb.build.digest import columns_of, digest
from specdb.build.expand import Expanded
from specdb.build.facts import facts
from specdb.build.read import Tables
from specdb.store import migrate, server_write, write
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
    """Make the file at `path`, which is not there yet, the database of these rows."""
    write.fill(path, _batches(prepared), progress)


def load_server(where: str, prepared: Prepared, progress: Progress) -> str:
    """Load these rows onto a server; its URL without password."""
    release = choose_release(prepared.known, None).version
    return server_write.fill_server(where, release, _batches(prepared), progress)


def _batches(prepared: Prepared) -> Iterator[write.Batch]:
    yield from prepared.expanded.items()
    yield "facts", facts(prepared.expanded)
    yield "releases", _releases(prepared.tables, prepared.known)
    for results in prepared.results.values():
        yield from results.items()
    yield "meta", _meta(prepared.expanded, prepared.known)


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
        "digest": digest(expanded, release.ordinal, columns_of(expanded, release.version)),
        "identity": IDENTITY,
        "release": release.version,
        "schema": migrate.newest(),
        "tables": " ".join(sorted(metadata.tables)),
    }
    return [{"key": key, "value": value} for key, value in sorted(about.items())]
