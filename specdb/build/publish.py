"""Publishing: the draft rows of `data/` become the next release, or nothing changes.

The new files are made in a folder aside, read back and checked there as a whole; only then do they
take the places of the old ones, `releases.csv` last. Rows of earlier releases keep their bytes.
"""

from __future__ import annotations

import csv
import datetime
import io
import os
import re
import shutil
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from specdb.build import citation
from specdb.build.digest import TableDigest, digest, table_digests
from specdb.build.expand import expand
from specdb.build.make import check
from specdb.build.read import Placed, Tables, read_tables
from specdb.errors import BadData, BadRequest, NotKnown, StoreError
from specdb.records import rows
from specdb.store import assets
from specdb.store.asof import DRAFT

_VERSION = re.compile(r"(20\d\d\.(?:0[1-9]|1[0-2]))(?:\.([1-9]\d*))?")


@dataclass(frozen=True, slots=True)
class Published:
    """The release that was made; `drafts` rows are new in it, `rows` says table by table how many
    are live in it.
    """

    ordinal: int
    version: str
    date: str
    summary: str
    digest: str
    drafts: int
    rows: dict[str, int]


def publish(
    summary: str,
    *,
    version: str | None = None,
    date: str | None = None,
    data_dir: Path | None = None,
) -> Published:
    """Turn every draft row of `data/` into a release and write down what the release holds.

    `date` is ISO 8601, None for today; `version` is made of it where it is not given. Raises
    BadData for rows that break a rule, BadRequest for an impossible summary, version or date,
    NotKnown where there is nothing to publish, StoreError where the files cannot be written; each
    leaves every file as it was.
    """
    folder = data_dir or _checkout()
    tables, bad = read_tables(folder)
    if bad:
        raise BadData(bad)
    drafts = _drafts(tables)
    if not drafts:
        raise NotKnown(
            "there is nothing to publish: no row is a draft.",
            hint="A new row carries the release 'next'.",
        )
    day = _day(date, tables)
    number = _version(version, day, tables)
    said = _said(summary)
    bad = check(folder)
    if bad:
        raise BadData(bad)
    files = {path: _released(path, tables, number) for path in _files(folder, drafts)}
    with tempfile.TemporaryDirectory(prefix="specdb-publish-") as name:
        aside = Path(name) / "data"
        made = _prepare(folder, aside, files, number, day, said, sum(drafts.values()))
        _replace(aside, folder, [*(path.name for path in files), *_RECORDS])
    return made


_RECORDS = ("release_tables.csv", citation.NAME, "releases.csv")
"""What publishing writes besides the rows, the release itself last."""


def _checkout() -> Path:
    folder = assets.data()
    if folder.parent != assets.CHECKOUT:
        raise BadRequest(
            f"an installed package is not published from: its tables are {folder}.",
            hint="Publish in a checkout, or name the folder of the tables with --data.",
        )
    return folder


def _said(summary: str) -> str:
    text = " ".join(summary.split())
    if not text:
        raise BadRequest("a release needs a summary: what is new in it, in a line.")
    return text


def _day(given: str | None, tables: Tables) -> datetime.date:
    try:
        day = datetime.date.fromisoformat(given) if given else datetime.date.today()
    except ValueError:
        raise BadRequest(
            f"date: cannot read {given!r}.", hint="Accepted: a day such as 2026-11-30."
        ) from None
    last = tables["releases"][-1:]
    if last and day.isoformat() < str(last[0].cell("date")):
        raise BadRequest(
            f"date: {day.isoformat()} is before the last release, {last[0].cell('version')} "
            f"of {last[0].cell('date')}.",
            field="date",
        )
    return day


def _version(given: str | None, day: datetime.date, tables: Tables) -> str:
    """The version given, if it may be; else the day's month, numbered where that is taken."""
    taken = [str(one.cell("version")) for one in tables["releases"]]
    month = f"{day.year}.{day.month:02}"
    found = (_VERSION.fullmatch(version) for version in taken)
    numbers = [int(each[2] or 0) for each in found if each and each[1] == month]
    free = f"{month}.{max(numbers) + 1}" if numbers else month
    if given is None or given == free:
        return free
    match = _VERSION.fullmatch(given)
    if not match:
        why = "is not a calendar version"
    elif given in taken:
        why = "is already published"
    elif match[1] != month:
        why = f"is not of {day.isoformat()}"
    else:
        why = "leaves a gap" if int(match[2] or 0) > max(numbers, default=0) else "goes back"
    raise BadRequest(f"version: {given!r} {why}.", hint=f"Accepted: {free}.", field="version")


def _drafts(tables: Tables) -> dict[str, int]:
    """Table -> how many of its rows are drafts, of those that have any."""
    counts = {
        table: sum(one.cell("release") == DRAFT for one in placed)
        for table, placed in tables.items()
        if table != "releases"
    }
    return {table: count for table, count in counts.items() if count}


def _files(folder: Path, tables: Iterable[str]) -> list[Path]:
    return [folder / f"{table}.csv" for table in tables]


def _released(path: Path, tables: Tables, version: str) -> str:
    """The text of a table with the draft's name replaced; no other byte is touched.

    The release is every table's last column, so a draft's record ends in it.
    """
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    placed = tables[path.stem]
    stops = [*(one.line for one in placed[1:]), len(lines) + 1]
    for one, stop in zip(placed, stops, strict=True):
        if one.cell("release") == DRAFT:
            last = lines[stop - 2]
            lines[stop - 2] = re.sub(rf',"?{DRAFT}"?\n$', f",{version}\n", last)
            if lines[stop - 2] == last:
                raise BadRequest(f"{path.name}:{one.line}: the record does not end in its release.")
    return "".join(lines)


def _prepare(
    folder: Path,
    aside: Path,
    files: dict[Path, str],
    version: str,
    day: datetime.date,
    summary: str,
    drafts: int,
) -> Published:
    """The new files in `aside`, read back and checked there as a whole."""
    shutil.copytree(folder, aside, ignore=shutil.ignore_patterns("demo"))
    for path, text in files.items():
        _write(aside / path.name, text)
    tables, _ = read_tables(aside)
    ordinal, date = len(tables["releases"]) + 1, day.isoformat()
    row = rows.DataRelease(
        ordinal=str(ordinal), version=version, date=date, summary=summary, digest="-"
    )
    new = Placed("releases.csv", ordinal + 1, row)
    expanded, _ = expand({**tables, "releases": [*tables["releases"], new]})
    total, held = digest(expanded, ordinal), table_digests(expanded, ordinal)
    _add_records(aside / "release_tables.csv", _records(version, held), sort=True)
    _add_records(
        aside / "releases.csv", [[str(ordinal), version, date, summary, total]], sort=False
    )
    _write(aside / citation.NAME, citation.text(version, date, total))
    bad = check(aside)
    if bad:
        raise BadData(bad)
    counts = {table: one.rows for table, one in held.items()}
    return Published(ordinal, version, date, summary, total, drafts, counts)


def _records(version: str, held: Mapping[str, TableDigest]) -> list[list[str]]:
    """The lines of `release_tables.csv` about one release."""
    return [
        [
            f"release-table.{version}.{table.replace('_', '-')}",
            table,
            ";".join(one.columns),
            str(one.rows),
            one.digest,
            version,
        ]
        for table, one in held.items()
    ]


def _add_records(path: Path, records: Sequence[Sequence[str]], *, sort: bool) -> None:
    """Add lines to a table whose records are a line each; the lines there keep their bytes."""
    head, *old = path.read_text(encoding="utf-8").splitlines(keepends=True)
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(records)
    new = [*old, *text.getvalue().splitlines(keepends=True)]
    if sort:
        new.sort(key=lambda line: line.split(",")[0])
    _write(path, "".join([head, *new]))


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _replace(aside: Path, folder: Path, names: Sequence[str]) -> None:
    """Put the new files in place: all of them beside the old ones first, then by renaming.

    Whatever goes wrong on the way, the old ones are put back, and a name that is new is taken away.
    """
    kept = aside.parent / "kept"
    kept.mkdir()
    fresh = [(folder / f".{name}.publishing", folder / name) for name in names]
    done: list[Path] = []
    try:
        for new, old in fresh:
            shutil.copyfile(aside / old.name, new)
            if old.exists():
                shutil.copyfile(old, kept / old.name)
        for new, old in fresh:
            done.append(old)
            os.replace(new, old)
    except BaseException as error:
        for old in done:
            if (kept / old.name).exists():
                shutil.copyfile(kept / old.name, old)
            else:
                old.unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise StoreError(
                f"the tables in {folder} cannot be written: {error.strerror or error}.",
                hint="Nothing is published; every file is as it was.",
            ) from error
        raise
    finally:
        for new, _ in fresh:
            new.unlink(missing_ok=True)
