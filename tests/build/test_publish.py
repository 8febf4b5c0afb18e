"""Publishing a release: after every check, with its records, and never over an earlier one."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest

import specdb
from specdb.answers.ask import to_json
from specdb.answers.registry import QUESTIONS
from specdb.build import build, check
from specdb.build import publish as publishing
from specdb.build.history import diff, markdown, published
from specdb.build.publish import publish
from specdb.errors import BadData, BadRequest, NotKnown, SpecdbError, StoreError, UnknownName
from specdb.store.asof import open_reader
from tests.tables import SPARE, add, read, small, unpublished, withdraw

FREEZER, _ = SPARE
FIRST = {"version": "2026.11", "date": "2026-11-25"}


@pytest.fixture(scope="module")
def first(tmp_path_factory) -> Path:
    """Tables, without the heavy ones, published as 2026.11."""
    folder = small(tmp_path_factory.mktemp("first") / "data")
    publish("The first release.", **FIRST, data_dir=folder)
    return folder


@pytest.fixture
def tables(first, tmp_path) -> Path:
    """A copy of them to go on from."""
    return Path(shutil.copytree(first, tmp_path / "data"))


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file()}


def correct(folder: Path, table: str, row: str, why: str, **cells: str) -> None:
    """A corrected copy of a row, and the withdrawal of the old one."""
    old = next(one for one in read(folder / f"{table}.csv") if one["id"] == row)
    add(folder, table, {**old, **cells, "id": f"{row}-2", "release": "next"})
    withdraw(folder, row, why, f"{row}-2")


def test_a_release_says_what_every_table_holds(first) -> None:
    assert check(first) == []
    (release,) = read(first / "releases.csv")
    assert {key: release[key] for key in ("ordinal", "version", "date", "summary")} == {
        "ordinal": "1", "version": "2026.11", "date": "2026-11-25", "summary": "The first release.",
    }  # fmt: skip
    held = {row["table_name"]: row for row in read(first / "release_tables.csv")}
    for path in first.glob("*.csv"):
        lines = [] if path.stem in ("releases", "release_tables") else read(path)
        assert {row["release"] for row in lines} <= {"2026.11"}
        if lines:
            assert held[path.stem]["row_count"] == str(len(lines))
            header = path.read_text(encoding="utf-8").partition("\n")[0]
            assert held[path.stem]["columns"] == header.replace(",", ";")
    cited = (first / "CITATION.cff").read_text(encoding="utf-8")
    assert '"2026.11"' in cited
    assert release["digest"] in cited


def test_publishing_touches_nothing_but_the_release_of_drafts(tmp_path) -> None:
    folder = small(tmp_path / "data")
    before = files(folder)
    publish("First.", **FIRST, data_dir=folder)
    for name, text in files(folder).items():
        if name not in ("releases.csv", "release_tables.csv", "CITATION.cff"):
            assert text.replace(b",2026.11\n", b",next\n") == before[name], name


def test_a_second_release_leaves_the_first_ones_rows_alone(tables) -> None:
    before = files(tables)
    correct(tables, "media", "medium.dry-ice", "read again", note="as a slush")
    made = publish("One value corrected.", date="2026-11-25", data_dir=tables)
    assert (made.ordinal, made.version, made.drafts) == (2, "2026.11.1", 2)
    after = files(tables)
    for name, text in before.items():
        if name.endswith(".csv"):
            old, new = text.splitlines(), after[name].splitlines()
            assert [line for line in new if line in set(old)] == old, name
    later = publish_again(tables, "2026-12-01")
    assert later == "2026.12"


def publish_again(tables: Path, date: str) -> str:
    withdraw(tables, FREEZER, "nobody has one")
    return publish("One withdrawn.", date=date, data_dir=tables).version


def break_a_row(folder: Path) -> None:
    path = folder / "media.csv"
    path.write_text(path.read_text("utf-8").replace(",chill,", ",cold,", 1), "utf-8")


def touch_a_published_row(folder: Path) -> None:
    path = folder / "media.csv"
    path.write_text(path.read_text("utf-8").replace(",-195.8,", ",-195.9,", 1), "utf-8")


def take_a_published_row_out(folder: Path) -> None:
    path = folder / "surface_allowances.csv"
    lines = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:-1]), "utf-8")


def antedate_a_row(folder: Path) -> None:
    row = read(folder / "media.csv")[0]
    add(folder, "media", {**row, "id": "medium.x", "key": "x", "release": "2026.11"})


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (break_a_row, "media.csv:"),
        (touch_a_published_row, "media.csv:1: -: not what 2026.11 was published with"),
        (take_a_published_row_out, "surface_allowances.csv:1: -: not what 2026.11"),
        (antedate_a_row, "media.csv:1: -: not what 2026.11 was published with ("),
    ],
)
def test_rows_that_break_a_rule_are_not_published(tables, damage, said) -> None:
    withdraw(tables, FREEZER, "nobody has one")
    damage(tables)
    before = files(tables)
    with pytest.raises(BadData) as caught:
        publish("Second.", data_dir=tables)
    assert said in str(caught.value)
    assert files(tables) == before


@pytest.mark.parametrize(
    ("asked", "kind", "said"),
    [
        ({"summary": "  "}, BadRequest, "needs a summary"),
        ({"date": "30.11.2026"}, BadRequest, "2026-11-30"),
        ({"date": "2026-11-24"}, BadRequest, "before the last release"),
        ({"version": "2026.11"}, BadRequest, "already published"),
        ({"version": "2026.11.3"}, BadRequest, "leaves a gap"),
        ({"version": "2026.12"}, BadRequest, "is not of 2026-11-25"),
        ({"version": "second"}, BadRequest, "calendar version"),
    ],
)
def test_a_release_that_cannot_be_is_refused(tables, asked, kind, said) -> None:
    withdraw(tables, FREEZER, "nobody has one")
    before = files(tables)
    with pytest.raises(kind) as caught:
        publish(**{"summary": "Second.", "date": "2026-11-25", "data_dir": tables, **asked})
    assert said in str(caught.value)
    assert files(tables) == before


def test_nothing_new_is_no_release(tables) -> None:
    with pytest.raises(NotKnown, match="nothing to publish"):
        publish("Again.", data_dir=tables)


def test_a_disk_that_fails_half_way_leaves_every_file(tables, monkeypatch) -> None:
    withdraw(tables, FREEZER, "nobody has one")
    before, replace, count = files(tables), os.replace, [0]

    def fail_on_the_second(*places: Any) -> None:
        count[0] += 1
        if count[0] == 2:
            raise OSError(28, "No space left on device")
        replace(*places)

    monkeypatch.setattr(publishing.os, "replace", fail_on_the_second)
    with pytest.raises(StoreError, match="No space left"):
        publish("Second.", data_dir=tables)
    assert files(tables) == before


def test_a_disk_that_fails_leaves_no_name_that_was_not_there(tmp_path, monkeypatch) -> None:
    aside, folder = tmp_path / "aside" / "data", tmp_path / "data"
    aside.mkdir(parents=True)
    folder.mkdir()
    (folder / "old.csv").write_text("old")
    names = ("new.csv", "old.csv")
    for name in names:
        (aside / name).write_text("fresh")
    replace = os.replace

    def fail_on_the_old(new: Path, old: Path) -> None:
        if old.name == "old.csv":
            raise OSError(28, "No space left on device")
        replace(new, old)

    monkeypatch.setattr(publishing.os, "replace", fail_on_the_old)
    with pytest.raises(StoreError, match="No space left"):
        publishing._replace(aside, folder, names)
    assert files(folder) == {"old.csv": b"old"}


# Two releases in one database: the first answers as it did before there was a second.

CORRECTED = {
    "material_properties": "basis",
    "interference_ranges": "maximum",
    "media": "note",
    "friction": "high",
    "cautions": "text",
    "insert_dimensions": "note",
    "seat_geometry": "note",
    "materials": "note",
    "insert_classes": "note",
    "choices": "reason",
}
"""Tables in which every few rows are corrected for the second release, and the cell changed."""


def corrected(row: dict[str, str], column: str) -> dict[str, str]:
    if column in ("maximum", "high"):
        return {column: str(float(row[column]) * 1.25)} if row[column] else {"note": "corrected"}
    if column == "basis":
        return {"basis": "unverified", "note": "withdrawn to doubt"}
    return {column: f"{row[column]} (corrected)".strip()}


@pytest.fixture(scope="module")
def two(tmp_path_factory) -> tuple[Path, Path]:
    """A database of the first release alone, and one of both, whole."""
    home = tmp_path_factory.mktemp("two")
    tables = unpublished(home / "data")
    publish("The first release.", **FIRST, data_dir=tables)
    build(home / "one.sqlite", data_dir=tables)
    for table, column in CORRECTED.items():
        for row in read(tables / f"{table}.csv")[1::7]:
            correct(tables, table, row["id"], "test", **corrected(row, column))
    withdraw(tables, FREEZER, "nobody has one")
    publish("Many corrected.", date="2026-11-26", data_dir=tables)
    build(home / "two.sqlite", data_dir=tables)
    return home / "one.sqlite", home / "two.sqlite"


def answers(path: Path, release: str | None) -> dict[str, str]:
    with specdb.open(path, release=release) as db:
        return {
            name: to_json(db.ask(name, **question.example)) for name, question in QUESTIONS.items()
        }


def test_the_first_release_answers_the_same_after_the_second(two) -> None:
    one, both = two
    before, after = answers(one, None), answers(both, "2026.11")
    assert after == before
    assert {json.loads(text)["data_release"] for text in after.values()} == {"2026.11"}
    newer = answers(both, None)
    assert {json.loads(text)["data_release"] for text in newer.values()} == {"2026.11.1"}
    same = {
        name for name, text in newer.items() if text.replace("2026.11.1", "2026.11") == before[name]
    }
    assert not same & {"material", "interference", "fit", "shrink", "seat", "choose"}


def test_a_row_that_came_later_is_not_there_yet(two) -> None:
    one, both = two
    said = []
    for path, release in ((one, None), (both, "2026.11")):
        with specdb.open(path, release=release) as db, pytest.raises(UnknownName) as caught:
            db.trace("medium.dry-ice-2")
        said.append(str(caught.value))
    assert said[0] == said[1]


def test_a_withdrawn_row_is_traced_to_its_replacement(two) -> None:
    _, both = two
    gone = next(row for row in published_rows(both) if row["until"] == 2 and row["id"] != FREEZER)
    with specdb.open(both) as db:
        traced = db.trace(gone["id"])
        assert (traced.withdrawn_in, traced.reason) == ("2026.11.1", "test")
        assert traced.replacement == f"{gone['id']}-2"
        assert db.trace(traced.replacement).replaces == (gone["id"],)
    with specdb.open(both, release="2026.11") as db:
        assert db.trace(gone["id"]).withdrawn_in is None


def published_rows(path: Path) -> list[dict[str, Any]]:
    reader = open_reader(path)
    rows = reader.all("SELECT id, since, until FROM media ORDER BY id")
    reader.close()
    return rows


def test_an_unknown_release_is_refused_with_the_list(two) -> None:
    with pytest.raises(UnknownName) as caught:
        specdb.open(two[1], release="1999.01")
    assert "2026.11, 2026.11.1" in str(caught.value)


def test_what_changed_is_told(two) -> None:
    reader = open_reader(two[1])
    found = diff(reader, "2026.11", "2026.11.1")
    assert [one["id"] for one in found.withdrawn] == [FREEZER]
    assert found.withdrawn[0]["reason"] == "nobody has one"
    assert found.added == []
    assert {one["table"] for one in found.corrected} == set(CORRECTED)
    for one in found.corrected:
        assert one["replacement"] == f"{one['id']}-2"
        assert one["changed"]
    text = markdown(found)
    assert "Why: nobody has one" in text
    assert all(f"`{one['replacement']}`" in text for one in found.corrected)
    with pytest.raises(BadRequest, match=r"diff 2026\.11 2026\.11\.1"):
        diff(reader, "2026.11.1", "2026.11")
    with pytest.raises(UnknownName):
        diff(reader, "2026.11", "2027.01")
    assert [row["version"] for row in published(reader)] == ["2026.11", "2026.11.1"]
    reader.close()


def test_an_installed_package_is_not_published_from(monkeypatch, tmp_path) -> None:
    monkeypatch.setattr(publishing.assets, "data", lambda: tmp_path / "site" / "_data")
    with pytest.raises(SpecdbError, match="installed package"):
        publish("From here.")
