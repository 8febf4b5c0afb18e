"""Building the database: a new file beside the target, put in its place only when it is whole."""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from specdb.build.computed import computed
from specdb.build.digest import columns_of, digest
from specdb.build.expand import expand, releases
from specdb.build.load import Prepared, Progress, load, load_server
from specdb.build.read import read_tables
from specdb.build.rules import check_computed, check_rows
from specdb.errors import BadCell, BadData, StoreError
from specdb.store import assets, engine
from specdb.store.asof import choose_release, file_of

_SUFFIX = ".building"
_WINDOWS = os.name == "nt"
_A_DAY = 24 * 3600


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What a build made: where (a file, or a server's URL), the release answered from, the rows.

    Computed rows are counted too, over all releases.
    """

    where: str
    release: str
    digest: str
    tables: int
    rows: int
    by_table: dict[str, int]


def build(
    to: Path | str | None = None,
    progress: Progress = lambda _: None,
    *,
    data_dir: Path | None = None,
) -> BuildReport:
    """Make the database at `to` (None: the bundled one's place) from the CSV tables.

    `to` is a file or the URL of a server, where the data are loaded in one transaction.

    `progress` hears of each step. Raises BadData with every bad cell, StoreError where the file
    cannot be written; either leaves whatever stood at `to` untouched, and so does being killed.
    """
    target = file_of(to or assets.target())
    if target is not None and not engine.may_be_replaced(target):
        raise StoreError(
            f"{target} is there already and is no specdb database: it is not replaced.",
            hint="Name another place with `--to`, or move that file away first.",
        )
    prepared, bad = _prepare(data_dir, progress)
    if bad:
        raise BadData(bad)
    if target is None:
        made = load_server(str(to), prepared, progress)
    else:
        made = str(target.absolute())
        with _replacing(target.absolute()) as path:
            load(path, prepared, progress)
    return _report(made, prepared)


def _report(where: str, prepared: Prepared) -> BuildReport:
    release = choose_release(prepared.known, None)
    expanded = prepared.expanded
    by_table = {table: len(rows) for table, rows in expanded.items() if rows}
    for results in prepared.results.values():
        for table, rows in results.items():
            by_table[table] = by_table.get(table, 0) + len(rows)
    return BuildReport(
        where=where,
        release=release.version,
        digest=digest(expanded, release.ordinal, columns_of(expanded, release.version)),
        tables=len(by_table),
        rows=sum(by_table.values()),
        by_table=by_table,
    )


def check(data_dir: Path | None = None, progress: Progress = lambda _: None) -> list[BadCell]:
    """Everything wrong with the tables: cells, conversions, and the rules across rows.

    A row with a bad cell takes no part in the rules across rows, nor is it missed by rows that name
    it; while any row is bad, nothing is computed.
    """
    return _prepare(data_dir, progress)[1]


def _prepare(data_dir: Path | None, progress: Progress) -> tuple[Prepared, list[BadCell]]:
    progress("reading the tables")
    tables, bad = read_tables(data_dir or assets.data())
    expanded, wrong = expand(tables)
    known = releases(tables)
    progress("checking the rows")
    spoiled = frozenset(cell.file.removesuffix(".csv") for cell in bad)
    bad = sorted({*bad, *wrong, *check_rows(tables, expanded, spoiled)})
    results: dict[int, dict[str, list[dict[str, Any]]]] = {}
    if not bad:
        try:
            for release in known:
                progress(f"computing curves, ranges and sizes of release {release.version}")
                results[release.ordinal] = computed(expanded, release)
            bad = check_computed(tables, expanded, results)
        except BadData as error:
            bad = list(error.cells)
    return Prepared(tables, expanded, known, results), bad


@contextlib.contextmanager
def _replacing(target: Path) -> Iterator[Path]:
    """A path beside `target` that takes its place when the block ends well, else goes away."""
    fresh = target.with_name(f".{target.name}.{os.getpid()}{_SUFFIX}")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _sweep(target)
        yield fresh
        _sync(fresh)
        os.replace(fresh, target)
        _sync(target.parent)
    except OSError as error:
        raise StoreError(
            f"the database {target} cannot be written: {error.strerror or error}.",
            hint="Name another place with `--to`.",
        ) from error
    finally:
        for left in (fresh, fresh.with_name(f"{fresh.name}-journal")):
            with contextlib.suppress(OSError):
                left.unlink(missing_ok=True)


def _sync(path: Path) -> None:
    """Have the disk hold a file, or a folder's list of files, before going on."""
    folder = path.is_dir()
    if folder and _WINDOWS:
        return  # which opens no folder, and keeps its list of files by itself
    handle = os.open(path, os.O_RDONLY if folder else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _sweep(target: Path) -> None:
    """Remove what builds that were killed left beside `target`."""
    for left in target.parent.glob(f".{target.name}.*{_SUFFIX}*"):
        number = left.name.removeprefix(f".{target.name}.").split(".")[0]
        if number.isdigit() and not _in_use(left, int(number)):
            left.unlink(missing_ok=True)


def _in_use(left: Path, process: int) -> bool:
    """Whether the build that is making this file may still be at it."""
    if _WINDOWS:  # where asking for a process by signal would end it
        with contextlib.suppress(OSError):
            return time.time() - left.stat().st_mtime < _A_DAY
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
