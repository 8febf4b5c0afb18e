"""The curator's side: reading the tables of `data/`, checking them, building the database.

    read      CSV files -> row models, every bad cell collected
    expand    converted columns, and the releases each row lives in
    rules     rules across rows
    computed  the tables computed for each release
    facts     one line about every fact
    digest    what a release's rows add up to
    load      the rows into a new database
    make      `build` and `check`: the whole of it, or nothing
    publish   the draft rows become a release
    history   what came and went between two releases
    verify    every published digest still holds, every byte is as built
    export    the data in open formats: tables_out, parquet, bibliography, citation, archive

Opening a database imports none of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from specdb.build.make import BuildReport, build, check

__all__ = ["BuildReport", "build", "check"]


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module 'specdb.build' has no attribute {name!r}")
    from specdb.build import make

    return getattr(make, name)
