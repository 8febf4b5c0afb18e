"""The data to take away: a Data Package, SQLite, JSON, optionally Parquet, and the sources to cite.

Everything up to one release, with what it replaced, so that every earlier digest can be taken again
from any of the forms. Each names the release and its digest. The database is built from the written
tables, and what it adds up to is compared: an export that could not be read back is not handed out.
"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import specdb
from specdb.build import bibliography, citation, datapackage
from specdb.build import parquet as columns_on_disk
from specdb.build.archive import pack
from specdb.build.make import build
from specdb.build.tables_out import Tables, cut, write_tables
from specdb.errors import BadRequest, StoreError
from specdb.store import assets
from specdb.store.asof import DRAFT, open_reader
from specdb.store.query import history

PACKAGE = "package"
"""The folder of the Data Package inside an export; `specdb data build --data` reads it back."""
Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Exported:
    """Where the export is, its release and digest, and how many files."""

    path: Path
    release: str
    digest: str
    files: int


@dataclass(frozen=True, slots=True)
class _About:
    release: str
    date: str
    digest: str


def export(
    to: Path,
    *,
    release: str | None = None,
    where: str | None = None,
    zipped: bool = False,
    parquet: bool = False,
    say: Say = lambda _: None,
) -> Exported:
    """Write the data of `where` (None: the bundled database) up to `release` into the folder `to`.

    `to` must not hold anything yet; ending in `.zip`, or with `zipped`, it becomes one archive.
    Raises BadRequest for a place that is taken, StoreError where nothing can be read or written.
    """
    zipped = zipped or to.suffix == ".zip"
    target = to.with_name(f"{to.name.removesuffix('.zip')}.zip") if zipped else to
    if target.exists() and (zipped or not target.is_dir() or any(target.iterdir())):
        raise BadRequest(f"{target} is there already.", hint="Name a new place.")
    if parquet:
        columns_on_disk.required()
    try:
        with tempfile.TemporaryDirectory(prefix="specdb-export-") as name:
            folder = Path(name) / target.name.removesuffix(".zip")
            folder.mkdir()
            about = _write(folder, release, where, parquet, say)
            files = sum(path.is_file() for path in folder.rglob("*"))
            target.parent.mkdir(parents=True, exist_ok=True)
            if zipped:
                pack(folder, target)
            else:
                shutil.copytree(folder, target, dirs_exist_ok=True)
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror or error}.") from error
    return Exported(target, about.release, about.digest, files)


def _write(folder: Path, release: str | None, where: str | None, parquet: bool, say: Say) -> _About:
    with closing(open_reader(where, release=release)) as reader:
        chosen = reader.release
        every = history.rows(reader)
        listed = [one for one in history.releases(reader) if one["ordinal"] <= chosen.ordinal]
    say(f"writing the tables of {chosen.version}")
    tables = cut(every, listed, chosen.ordinal)
    package = folder / PACKAGE
    package.mkdir()
    write_tables(package, tables)
    say("building the database from them")
    report = build(folder / "specdb.sqlite", data_dir=package)
    last = listed[-1]
    if chosen.version != DRAFT and report.digest != last["digest"]:
        raise StoreError(
            f"what was written adds up to {report.digest}, release {chosen.version} to "
            f"{last['digest']}.",
            hint="`specdb data verify` tells which table differs.",
        )
    about = _About(chosen.version, last["date"] or "", report.digest)
    say("writing the other forms")
    _describe(package, about)
    _write_json(folder / "specdb.json", tables, about)
    bibliography.write(folder, _live_sources(tables), about.release, about.digest)
    if parquet:
        columns_on_disk.write(folder / "parquet", tables, about.release, about.digest)
    _write_text(folder / citation.NAME, citation.text(about.release, about.date, about.digest))
    shutil.copyfile(assets.data() / "LICENSE", folder / "LICENSE")
    _write_text(folder / "README.md", _readme(about, parquet))
    return about


def _readme(about: _About, parquet: bool) -> str:
    """What lies in the folder."""
    held = {
        f"{PACKAGE}/": "the tables as a Data Package: `datapackage.json` describes them, a CSV "
        f"file each. `specdb data build --data {PACKAGE} --to FILE` builds the database again",
        "specdb.sqlite": "the tables, and what is computed from them, as one SQLite database",
        "specdb.json": "the tables as one JSON file",
        **({"parquet/": "the tables as Parquet, a file each"} if parquet else {}),
        "sources.json, sources.bib": "the sources, to cite: CSL-JSON and BibTeX",
        citation.NAME: "how these data are cited",
        "LICENSE": "CC-BY-4.0",
    }
    lines = "".join(f"- `{name}`: {words}\n" for name, words in held.items())
    return (
        f"# Data of specdb, release {about.release}\n\n"
        f"Digest {about.digest}, the same in every form:\n\n{lines}"
    )


def _describe(package: Path, about: _About) -> None:
    described = datapackage.datapackage()
    described["version"] = about.release
    described["specdb"] = {"release": about.release, "digest": about.digest}
    text = json.dumps(described, indent=2, ensure_ascii=False) + "\n"
    _write_text(package / "datapackage.json", text)


def _write_json(path: Path, tables: Tables, about: _About) -> None:
    whole: dict[str, Any] = {
        "release": about.release,
        "date": about.date or None,
        "digest": about.digest,
        "code_version": specdb.__version__,
        "licence": "CC-BY-4.0",
        "tables": {table: [dict(row) for row in rows] for table, rows in tables.items()},
    }
    text = json.dumps(whole, ensure_ascii=False, indent=1, sort_keys=True, allow_nan=False)
    _write_text(path, text + "\n")


def _live_sources(tables: Tables) -> Iterator[Mapping[str, str | None]]:
    gone = {row["withdrawn"] for row in tables["withdrawals"]}
    return (row for row in tables["sources"] if row["id"] not in gone)


def _write_text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")
