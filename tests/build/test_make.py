"""Building the database: whole or not at all, and the same from the same rows."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

import specdb
from specdb.build import build, check, make
from specdb.build.digest import digest, known_columns
from specdb.build.expand import expand, releases
from specdb.build.publish import publish
from specdb.build.read import read_tables
from specdb.errors import BadData, StoreError, UnknownName
from specdb.store import engine
from specdb.store.asof import open_reader
from tests.tables import copied, unpublished

BUILD = "import sys; from pathlib import Path; from specdb.build import build; "


@pytest.fixture
def tables(tmp_path) -> Path:
    """A copy of the curated tables that a test may break."""
    return unpublished(tmp_path / "data")


def edit(path: Path, old: str, new: str) -> int:
    """Replace the first `old` of a file; the line it was on."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{path.name} has no {old!r}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def beside(path: Path) -> list[str]:
    return sorted(one.name for one in path.parent.iterdir())


def test_every_broken_row_is_listed_and_the_old_database_stays(tables, database, tmp_path) -> None:
    target = tmp_path / "out" / "specdb.sqlite"
    target.parent.mkdir()
    target.write_bytes(database.read_bytes())
    broken = {
        f"media.csv:{edit(tables / 'media.csv', ',chill,', ',cold,')}: kind: ",
        f"sources.csv:{edit(tables / 'sources.csv', ',standard,', ',Standard,')}: kind: ",
        f"cautions.csv:{edit(tables / 'cautions.csv', ',danger,', ',danger,danger,')}: -: ",
        f"friction.csv:{edit(tables / 'friction.csv', ',friction,', ',,')}: kind: ",
    }
    with pytest.raises(BadData) as caught:
        build(target, data_dir=tables)
    told = str(caught.value)
    for place in broken:
        assert place in told
    assert len(caught.value.cells) == len(broken), "rows that name a broken row are not blamed"
    assert target.read_bytes() == database.read_bytes()
    assert beside(target) == ["specdb.sqlite"]


def test_what_cannot_be_converted_or_resolved_stops_the_build(tables, tmp_path) -> None:
    unit = edit(tables / "material_properties.csv", ",kg/m3,", ",furlong,")
    word = edit(tables / "interference_ranges.csv", ",exhaust,", ",outlet,")
    with pytest.raises(BadData) as caught:
        build(tmp_path / "x.sqlite", data_dir=tables)
    places = {(cell.file, cell.line, cell.column) for cell in caught.value.cells}
    assert ("material_properties.csv", unit, "value") in places
    assert ("interference_ranges.csv", word, "position") in places
    assert set(check(tables)) == set(caught.value.cells)


@pytest.mark.parametrize("step", ["making the tables", "writing the rows", "packing the file"])
def test_a_killed_build_leaves_the_old_database(tables, tmp_path, database, step) -> None:
    target = tmp_path / "out" / "specdb.sqlite"
    target.parent.mkdir()
    shutil.copyfile(database, target)
    before = target.read_bytes()
    script = BUILD + (
        "import time; say = lambda step: (print(step, flush=True), time.sleep(0.1));"
        "build(Path(sys.argv[1]), say, data_dir=Path(sys.argv[2]))"
    )
    worker = subprocess.Popen(
        [sys.executable, "-c", script, str(target), str(tables)], stdout=subprocess.PIPE, text=True
    )
    assert worker.stdout is not None
    assert any(line.strip() == step for line in worker.stdout)
    os.kill(worker.pid, signal.SIGKILL)
    assert worker.wait() == -signal.SIGKILL
    worker.stdout.close()
    assert target.read_bytes() == before
    assert open_reader(target).release == open_reader(database).release
    if step == "writing the rows":
        assert len(beside(target)) > 1
        build(target, data_dir=tables)
        assert beside(target) == ["specdb.sqlite"], "what the killed build left is swept up"


def test_no_process_is_asked_by_signal_where_that_would_end_it(tmp_path, monkeypatch) -> None:
    """On Windows: a file a build may still be making stays, one of days ago goes, no folder is
    opened."""
    monkeypatch.setattr(make, "_WINDOWS", True)
    monkeypatch.setattr(os, "kill", lambda *_: pytest.fail("a process was sent a signal"))
    target, now = tmp_path / "x.sqlite", time.time()
    for number, age in ((1, 0.0), (2, 2 * 24 * 3600.0)):
        left = tmp_path / f".{target.name}.{number}.building"
        left.touch()
        os.utime(left, (now - age, now - age))
    make._sweep(target)
    assert beside(target) == [".x.sqlite.1.building"]
    monkeypatch.setattr(os, "fsync", lambda _: pytest.fail("a folder was opened"))
    make._sync(tmp_path)


def test_two_builds_are_the_same_to_the_byte(tmp_path, database) -> None:
    """The other build runs in a process of its own with other hashes and another clock."""
    first = open_reader(database).one("SELECT value FROM meta WHERE key = 'digest'")
    assert first is not None
    other = tmp_path / "elsewhere" / "two.sqlite"
    script = BUILD + "print(build(Path(sys.argv[1]), data_dir=Path(sys.argv[2])).digest)"
    done = subprocess.run(
        [sys.executable, "-c", script, str(other), str(copied(tmp_path / "data"))],
        env={**os.environ, "PYTHONHASHSEED": "4711", "TZ": "Asia/Tokyo"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == first["value"]
    assert other.read_bytes() == database.read_bytes()


def test_one_changed_cell_changes_the_digest(tables) -> None:
    before = digest_of(tables, 1)
    assert digest_of(tables, 1) == before
    edit(tables / "vocabulary.csv", " ", "  ")
    assert digest_of(tables, 1) != before


def test_progress_is_told(tables, tmp_path) -> None:
    steps: list[str] = []
    report = build(tmp_path / "x.sqlite", steps.append, data_dir=tables)
    assert steps[0] == "reading the tables"
    assert steps[-1] == "packing the file"
    assert report.by_table["sources"] == len(read_tables(tables)[0]["sources"])


def test_a_place_that_cannot_be_written_is_said(tables, tmp_path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    (tmp_path / "folder" / "inner").mkdir(parents=True)
    for target in (tmp_path / "file" / "x.sqlite", tmp_path / "folder"):
        with pytest.raises(StoreError, match="cannot be written"):
            build(target, data_dir=tables)


def test_the_file_says_what_it_is(database) -> None:
    with sqlite3.connect(f"file:{database}?mode=ro", uri=True) as connection:
        about = dict(connection.execute("SELECT key, value FROM meta"))
        whole = connection.execute("PRAGMA integrity_check").fetchone()
    connection.close()
    assert whole == ("ok",)
    assert about["identity"] == "specdb reference"
    assert about["built-by"] == specdb.__version__
    assert len(about["digest"]) == 64


# Releases: a published one, then a row withdrawn and one added in the draft.


@pytest.fixture
def published(tables) -> tuple[Path, str]:
    """Tables with everything published as 2026.11, and that release's digest."""
    publish("first", version="2026.11", date="2026-11-30", data_dir=tables)
    return tables, digest_of(tables, 1)


def digest_of(tables: Path, ordinal: int, columns: dict[str, list[str]] | None = None) -> str:
    read, bad = read_tables(tables)
    assert bad == []
    return digest(expand(read)[0], ordinal, columns)


def correct_a_row(tables: Path) -> tuple[str, str]:
    """Withdraw a density and put a corrected one in its place, in the draft."""
    path = tables / "material_properties.csv"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if ".density." in line)
    old = lines[at].split(",")[0]
    new = f"{old}-corrected"
    fresh = lines[at].replace(old, new, 1).replace(",2026.11\n", ",next\n")
    lines.insert(at + 1, fresh)
    path.write_text("".join([lines[0], *sorted(lines[1:], key=by_id)]), encoding="utf-8")
    with (tables / "withdrawals.csv").open("a", encoding="utf-8") as file:
        file.write(f"withdrawal.1,{old},misprint,{new},next\n")
    return old, new


def by_id(line: str) -> str:
    return line.split(",")[0]


def test_one_database_answers_as_of_each_release(published, tmp_path) -> None:
    tables, _ = published
    old, new = correct_a_row(tables)
    target = tmp_path / "x.sqlite"
    build(target, data_dir=tables)
    rows_of = (
        "SELECT p.id FROM material_properties AS p WHERE p.id IN (:old, :new)"
        " AND p.since <= :ordinal AND (p.until IS NULL OR p.until > :ordinal)"
    )
    for release, wanted in ((None, old), ("2026.11", old), ("next", new)):
        reader = open_reader(target, release=release)
        assert [row["id"] for row in reader.all(rows_of, old=old, new=new)] == [wanted]
        used = reader.one(
            "SELECT count(*) AS n FROM property_nodes WHERE as_of = :ordinal"
            " AND ';' || sources || ';' LIKE '%;' || :row || ';%'",
            row=wanted,
        )
        assert used is not None
        assert used["n"] > 0
    assert open_reader(target).release == ("2026.11", 1)


def test_a_published_digest_holds_whatever_is_added(published) -> None:
    tables, before = published
    correct_a_row(tables)
    assert digest_of(tables, 1) == before
    assert digest_of(tables, 2) != before


def test_a_digest_is_taken_over_the_columns_a_release_knew(published) -> None:
    tables, before = published
    columns = known_columns()
    assert digest_of(tables, 1, columns) == before
    fewer = {**columns, "media": [name for name in columns["media"] if name != "hazard"]}
    assert digest_of(tables, 1, fewer) != before


def test_releases_are_in_order_and_the_draft_is_last(published) -> None:
    tables, _ = published
    assert releases(read_tables(tables)[0]) == [("2026.11", 1)]
    correct_a_row(tables)
    assert releases(read_tables(tables)[0]) == [("2026.11", 1), ("next", 2)]


def test_an_unknown_release_lists_the_known_ones(database) -> None:
    with pytest.raises(UnknownName) as caught:
        open_reader(database, release="2019.01")
    assert "Known: " in str(caught.value)
    assert caught.value.exit_code == 2


@pytest.mark.parametrize("kind", ["text", "short text", "database of something else"])
def test_a_file_of_somebody_else_is_not_replaced(tmp_path, monkeypatch, kind) -> None:
    target = tmp_path / "theirs"
    if kind == "database of something else":
        connection = sqlite3.connect(target)
        connection.execute("CREATE TABLE theirs (name TEXT)")
        connection.close()
    else:
        target.write_text("their words\n" * (1 if kind == "short text" else 50))
    before = target.read_bytes()
    monkeypatch.setattr("specdb.build.make._prepare", lambda *_: pytest.fail("it went on"))
    with pytest.raises(StoreError, match="is not replaced"):
        build(target)
    assert target.read_bytes() == before


def test_an_empty_file_or_one_of_ours_may_be_replaced(tmp_path, database) -> None:
    empty = tmp_path / "empty"
    empty.touch()
    for path in (empty, tmp_path / "none", database):
        assert engine.may_be_replaced(path)
