"""Holding copies of the data against what was published: files, databases, servers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from specdb.build.digest import columns_of, digest, table_digests
from specdb.build.expand import expand, releases
from specdb.build.read import read_tables
from specdb.build.rules.data import Data
from specdb.build.rules.history import published_digests_hold
from specdb.errors import StoreError
from specdb.store import assets, contents, integrity
from specdb.store.address import masked
from specdb.store.asof import DRAFT, Reader, file_of, open_reader
from specdb.store.query import history


@dataclass(frozen=True, slots=True)
class Finding:
    """What does not hold, and the table it is about (`-`: none alone)."""

    where: str
    table: str
    reason: str

    def __str__(self) -> str:
        return f"{self.where}: {self.table}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Verified:
    """What was looked at, the published digests that hold (version -> digest), what does not."""

    looked_at: tuple[str, ...]
    holds: dict[str, str]
    findings: tuple[Finding, ...]


def verify(where: str | Path | None = None) -> Verified:
    """Whether every published digest still holds, and every byte is as it was built.

    `where`: a database file, a server's URL or a folder of tables; None for the bundled database
    and the tables it is built from, in a checkout or an installed package. Raises StoreError where
    there is no usable database.
    """
    if where is None:
        return _together([_folder(assets.data()), _database(assets.database())])
    if "://" not in str(where) and Path(where).is_dir():
        return _folder(Path(where))
    return _database(where)


def _together(some: list[Verified]) -> Verified:
    findings = [finding for one in some for finding in one.findings]
    versions = {version: held for one in some for version, held in one.holds.items()}
    holds = {
        version: held
        for version, held in versions.items()
        if all(one.holds.get(version) == held for one in some)
    }
    if not findings and holds != versions:
        where = some[-1].looked_at[0]
        findings.append(Finding(where, "releases", "not the releases of the tables; build again"))
    looked_at = tuple(name for one in some for name in one.looked_at)
    return Verified(looked_at, holds, tuple(findings))


def _folder(folder: Path) -> Verified:
    where = str(folder)
    tables, bad = read_tables(folder)
    if bad:
        findings = [Finding(where, cell.file.removesuffix(".csv"), str(cell)) for cell in bad]
        return Verified((where,), {}, tuple(findings))
    expanded, _ = expand(tables)
    cells = list(published_digests_hold(Data(tables, expanded, tuple(releases(tables)))))
    findings = [Finding(where, cell.file.removesuffix(".csv"), cell.reason) for cell in cells]
    published = {str(one.cell("version")): one for one in tables["releases"]}
    holds = {
        version: str(one.cell("digest"))
        for version, one in published.items()
        if digest(expanded, int(float(one.id)), columns_of(expanded, version)) == one.cell("digest")
    }
    return Verified((where,), holds, tuple(findings))


def _database(where: str | Path) -> Verified:
    path, name = file_of(where), masked(str(where))
    findings: list[Finding] = []
    if path is not None:
        findings += [Finding(name, *fault) for fault in integrity.faults(path)]
    holds: dict[str, str] = {}
    try:
        with closing(open_reader(where)) as reader:
            try:
                held, wrong = _published(reader, name)
                holds.update(held)
                findings += wrong
            except (TypeError, ValueError, KeyError) as error:
                findings.append(Finding(name, "-", f"rows that make no sense: {error}"))
            findings += _contents(reader, name)
    except StoreError as error:
        if not findings:
            raise
        findings.append(Finding(name, "-", str(error).replace("\n", " ")))
    return Verified((name,), holds, tuple(findings))


def _published(reader: Reader, name: str) -> tuple[dict[str, str], list[Finding]]:
    every = history.rows(reader)
    holds: dict[str, str] = {}
    findings: list[Finding] = []
    for release in history.releases(reader):
        version = release["version"]
        if version == DRAFT:
            continue
        columns = columns_of(every, version)
        now = table_digests(every, release["ordinal"], columns)
        wrong = [
            Finding(name, row["table_name"], f"the rows are not those of release {version}")
            for row in every["release_tables"]
            if row["release"] == version
            and (row["table_name"] not in now or now[row["table_name"]].digest != row["digest"])
        ]
        total = digest(every, release["ordinal"], columns)
        if total == release["digest"]:
            holds[version] = total
        elif not wrong:
            reason = f"release {version} says {release['digest']}, its rows give {total}"
            wrong = [Finding(name, "releases", reason)]
        findings += wrong
    return holds, findings


def _contents(reader: Reader, name: str) -> Iterator[Finding]:
    """Tables that are not what the build put in: computed and converted figures too."""
    signed = {
        row["key"].removeprefix(contents.KEY): row["value"]
        for row in history.meta(reader)
        if row["key"].startswith(contents.KEY)
    }
    for table in contents.tables():
        rows = reader.all(contents.statement(table))
        try:
            total = contents.digest(tuple(row.values()) for row in rows)
        except (TypeError, ValueError):  # bytes for text, a number past all numbers
            total = None
        if total is None or total != signed.get(table):
            yield Finding(name, table, "not what the build put in")
