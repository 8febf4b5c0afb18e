"""What is taken away can be read back: every form adds up to the digest of the release."""

from __future__ import annotations

import csv
import hashlib
import json
import shutil
import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import bibtexparser
import pytest
import yaml
from frictionless import Package

from specdb.build import build
from specdb.build.export import PACKAGE, export
from specdb.build.publish import publish
from specdb.errors import BadRequest, StoreError
from specdb.records import rows
from specdb.store.asof import open_reader
from tests.tables import SPARE, read, small, withdraw

FREEZER, PLATE = SPARE


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Path, Path]:
    """Tables with two releases and a draft, and their database."""
    home = tmp_path_factory.mktemp("made")
    tables = small(home / "data")
    publish("First.", version="2026.11", date="2026-11-25", data_dir=tables)
    withdraw(tables, FREEZER, "nobody has one")
    publish("Second.", date="2026-11-26", data_dir=tables)
    withdraw(tables, PLATE, "too hot")
    build(home / "specdb.sqlite", data_dir=tables)
    return tables, home / "specdb.sqlite"


@pytest.fixture(scope="module")
def exported(made, tmp_path_factory) -> Path:
    """The latest release in every form."""
    pytest.importorskip("pyarrow")
    folder = tmp_path_factory.mktemp("exported") / "specdb-data"
    export(folder, where=str(made[1]), parquet=True)
    return folder


def release(made: tuple[Path, Path], version: str) -> str:
    listed = {row["version"]: row["digest"] for row in read(made[0] / "releases.csv")}
    return listed[version]


def rebuilt(tables: Path, to: Path) -> dict[str, str]:
    """Build from a folder of tables; version -> digest of what came out, checked by the build."""
    build(to, data_dir=tables)
    with closing(open_reader(to)) as reader:
        listed = reader.all("SELECT version, digest FROM releases ORDER BY ordinal")
    return {row["version"]: row["digest"] for row in listed}


def as_tables(held: dict[str, list[dict[str, Any]]], folder: Path) -> Path:
    folder.mkdir()
    for table, some in held.items():
        with (folder / f"{table}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows.columns(table), lineterminator="\n")
            writer.writeheader()
            writer.writerows(some)
    return folder


def test_the_package_passes_an_independent_validator(exported) -> None:
    report = Package(str(exported / PACKAGE / "datapackage.json")).validate()
    assert report.valid, report.flatten(["name", "type", "message"])


def test_the_package_builds_the_same_releases(exported, made, tmp_path) -> None:
    found = rebuilt(exported / PACKAGE, tmp_path / "again.sqlite")
    assert found == {version: release(made, version) for version in ("2026.11", "2026.11.1")}
    assert (tmp_path / "again.sqlite").read_bytes() == (exported / "specdb.sqlite").read_bytes()


def test_the_json_builds_the_same_releases(exported, made, tmp_path) -> None:
    whole = json.loads((exported / "specdb.json").read_text(encoding="utf-8"))
    assert (whole["release"], whole["digest"]) == ("2026.11.1", release(made, "2026.11.1"))
    tables = as_tables(whole["tables"], tmp_path / "tables")
    assert rebuilt(tables, tmp_path / "again.sqlite")["2026.11.1"] == whole["digest"]


def test_the_database_builds_the_same_releases(exported, made, tmp_path) -> None:
    with closing(sqlite3.connect(exported / "specdb.sqlite")) as connection:
        connection.row_factory = sqlite3.Row
        about = dict(map(tuple, connection.execute("SELECT key, value FROM meta").fetchall()))
        held = {
            table: [
                {name: row[name] for name in rows.columns(table)}
                for row in connection.execute(
                    f"SELECT * FROM {table} ORDER BY {rows.key_column(table)}"
                )
            ]
            for table in rows.TABLES
        }
    assert (about["release"], about["digest"]) == ("2026.11.1", release(made, "2026.11.1"))
    tables = as_tables(held, tmp_path / "tables")
    assert rebuilt(tables, tmp_path / "again.sqlite")["2026.11.1"] == about["digest"]


def test_the_parquet_files_build_the_same_releases(exported, made, tmp_path) -> None:
    from pyarrow import parquet

    held = {}
    for table in rows.TABLES:
        file = parquet.read_table(exported / "parquet" / f"{table}.parquet")
        assert file.schema.metadata[b"specdb.release"] == b"2026.11.1"
        assert file.schema.metadata[b"specdb.digest"].decode() == release(made, "2026.11.1")
        held[table] = file.to_pylist()
    found = rebuilt(as_tables(held, tmp_path / "tables"), tmp_path / "again.sqlite")
    assert found["2026.11.1"] == release(made, "2026.11.1")


def test_every_form_names_release_and_digest(exported, made) -> None:
    digest = release(made, "2026.11.1")
    described = json.loads((exported / PACKAGE / "datapackage.json").read_text(encoding="utf-8"))
    assert described["version"] == "2026.11.1"
    assert described["specdb"] == {"release": "2026.11.1", "digest": digest}
    for name in ("sources.json", "sources.bib", "CITATION.cff"):
        text = (exported / name).read_text(encoding="utf-8")
        assert "2026.11.1" in text, name
        assert digest in text, name
    cited = yaml.safe_load((exported / "CITATION.cff").read_text(encoding="utf-8"))
    assert (cited["type"], cited["license"]) == ("dataset", "CC-BY-4.0")
    assert str(cited["date-released"]) == "2026-11-26"


def test_the_folder_says_what_lies_in_it(exported, made, tmp_path) -> None:
    text = (exported / "README.md").read_text(encoding="utf-8")
    assert "2026.11.1" in text
    assert release(made, "2026.11.1") in text
    told = {name.strip("/`") for line in text.splitlines() for name in _named(line)}
    assert told == {path.name for path in exported.iterdir()} - {"README.md"}
    export(tmp_path / "less", where=str(made[1]))
    assert "parquet" not in (tmp_path / "less" / "README.md").read_text(encoding="utf-8")


def _named(line: str) -> list[str]:
    return line.removeprefix("- ").split(": ")[0].split(", ") if line.startswith("- ") else []


LEGAL_CODE = "25a40a30d753162c4026b87a389b9534c72436327abcd083f90da00ead6d6869"
"""SHA-256 over the words of the plain text that the licence's keepers publish as its legal code."""


@pytest.mark.published
def test_the_licence_is_its_whole_legal_code(exported) -> None:
    notice, line, code = (exported / "LICENSE").read_text("utf-8").partition(f"{'-' * 71}\n")
    assert line
    assert "the specdb contributors" in notice
    assert hashlib.sha256(" ".join(code.split()).encode()).hexdigest() == LEGAL_CODE


def test_every_source_can_be_cited(exported, made) -> None:
    keys = {row["key"] for row in read(made[0] / "sources.csv")} | {"specdb-data"}
    entries = json.loads((exported / "sources.json").read_text(encoding="utf-8"))
    assert {entry["id"] for entry in entries} == keys
    assert all(entry["title"] and entry["type"] for entry in entries)
    with (exported / "sources.bib").open(encoding="utf-8") as file:
        read_back = bibtexparser.load(file)
    assert {entry["ID"] for entry in read_back.entries} == keys


def test_an_earlier_release_is_cut_where_it_ended(made, tmp_path) -> None:
    made_then = export(tmp_path / "then", where=str(made[1]), release="2026.11")
    assert made_then.digest == release(made, "2026.11")
    assert read(tmp_path / "then" / PACKAGE / "withdrawals.csv") == []
    found = rebuilt(tmp_path / "then" / PACKAGE, tmp_path / "again.sqlite")
    assert found == {"2026.11": release(made, "2026.11")}


def test_drafts_stay_at_home_unless_asked_for(exported, made, tmp_path) -> None:
    gone = {row["withdrawn"] for row in read(exported / PACKAGE / "withdrawals.csv")}
    assert gone == {FREEZER}
    export(tmp_path / "draft", where=str(made[1]), release="next")
    for path in made[0].glob("*.csv"):
        assert (tmp_path / "draft" / PACKAGE / path.name).read_bytes() == path.read_bytes()


def test_an_archive_holds_the_same_files_and_is_the_same_twice(made, tmp_path) -> None:
    export(tmp_path / "folder" / "data", where=str(made[1]))
    for name in ("one", "two"):
        export(tmp_path / name / "data", where=str(made[1]), zipped=True)
    one, two = tmp_path / "one" / "data.zip", tmp_path / "two" / "data.zip"
    assert one.read_bytes() == two.read_bytes()
    with zipfile.ZipFile(one) as archive:
        for entry in archive.namelist():
            assert archive.read(entry) == (tmp_path / "folder" / entry).read_bytes()
    assert [path.name for path in (tmp_path / "one").iterdir()] == ["data.zip"]


def test_a_place_that_is_taken_is_refused(made, tmp_path) -> None:
    (tmp_path / "taken").mkdir()
    (tmp_path / "taken" / "note").write_text("mine", encoding="utf-8")
    with pytest.raises(BadRequest, match="is there already"):
        export(tmp_path / "taken", where=str(made[1]))
    assert (tmp_path / "taken" / "note").read_text(encoding="utf-8") == "mine"


def test_a_database_that_lies_is_not_handed_out(made, tmp_path) -> None:
    copy = shutil.copyfile(made[1], tmp_path / "copy.sqlite")
    with closing(sqlite3.connect(copy)) as connection, connection:
        connection.execute("UPDATE media SET temperature = '-190' WHERE key = 'liquid-nitrogen'")
    with pytest.raises(Exception, match="media"):
        export(tmp_path / "out", where=str(copy))
    assert not (tmp_path / "out").exists()


def test_parquet_without_its_library_says_what_to_install(made, tmp_path, monkeypatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "pyarrow", None)
    with pytest.raises(StoreError, match=r"specdb\[parquet\]"):
        export(tmp_path / "out", where=str(made[1]), parquet=True)
