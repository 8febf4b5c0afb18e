"""Copies held against what was published: files, databases; the server is in tests/store."""

from __future__ import annotations

import json
import random
import re
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from specdb.build import build
from specdb.build.publish import publish
from specdb.build.verify import verify
from specdb.errors import StoreError
from specdb.store import seal
from tests.tables import SPARE, read, small, withdraw

FREEZER, PLATE = SPARE


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Path, Path]:
    """Tables with two releases, and the database built from them."""
    home = tmp_path_factory.mktemp("made")
    tables = small(home / "data")
    publish("First.", version="2026.11", date="2026-11-25", data_dir=tables)
    withdraw(tables, FREEZER, "nobody has one")
    publish("Second.", date="2026-11-26", data_dir=tables)
    build(home / "specdb.sqlite", data_dir=tables)
    return tables, home / "specdb.sqlite"


@pytest.fixture
def copy(made, tmp_path) -> Path:
    return Path(shutil.copyfile(made[1], tmp_path / "copy.sqlite"))


@pytest.fixture
def tables(made, tmp_path) -> Path:
    return Path(shutil.copytree(made[0], tmp_path / "data"))


def digests(tables: Path) -> dict[str, str]:
    return {row["version"]: row["digest"] for row in read(tables / "releases.csv")}


def test_every_published_digest_holds(made) -> None:
    tables, path = made
    for where in (tables, path, str(path), f"sqlite:///{path}"):
        found = verify(where)
        assert found.findings == ()
        assert found.holds == digests(tables)


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize(
    ("table", "old", "new"),
    [
        ("media", ",-195.8,", ",-195.9,"),
        ("vocabulary", " ", "  "),
        ("withdrawals", "nobody has one", "nobody had one"),
    ],
)
def test_an_edited_cell_is_found_in_its_table(tables, table, old, new) -> None:
    edit(tables / f"{table}.csv", old, new)
    assert {finding.table for finding in verify(tables).findings} == {table}


def test_an_edited_count_is_found_in_the_table_it_counts(tables) -> None:
    path = tables / "release_tables.csv"
    (count,) = {row["row_count"] for row in read(path) if row["id"].endswith("2026.11.media")}
    edit(path, f",{count},", f",{int(count) + 1},")
    (found,) = verify(tables).findings
    assert re.search(rf"\({int(count) + 1} rows, now {count}\)", found.reason)


def test_an_edited_digest_is_found(tables) -> None:
    digest = digests(tables)["2026.11"]
    edit(tables / "releases.csv", digest, "0" * 64)
    found = verify(tables)
    assert [finding.table for finding in found.findings] == ["releases"]
    assert list(found.holds) == ["2026.11.1"]


def owner(path: Path, page: int) -> str:
    """The table of a page, asked of SQLite apart from the code under test."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
        row = connection.execute(
            "SELECT m.tbl_name FROM dbstat AS d LEFT JOIN sqlite_master AS m ON m.name = d.name "
            "WHERE d.pageno = ?",
            (page,),
        ).fetchone()
    return str(row[0] or "sqlite_schema")


def test_a_flipped_byte_is_found_and_its_table_named(database, copy) -> None:
    """Any byte of any page, free space and indices too."""
    whole, draw = database.read_bytes(), random.Random(5)
    places = [draw.randrange(4096, len(whole)) for _ in range(15)]
    for at in places:
        turned = bytearray(whole)
        turned[at] ^= 1 << draw.randrange(8)
        copy.write_bytes(turned)
        wanted = owner(database, at // 4096 + 1)
        if wanted == "meta":
            continue
        found = {finding.table for finding in verify(copy).findings}
        assert wanted in found, (at, wanted, found)


@pytest.mark.parametrize("at", [60, 107, 150, 2000, 4095])
def test_a_flipped_byte_of_the_first_page_is_found(made, copy, at) -> None:
    """Where it says who owns the file, or lists the tables, the file may not even open."""
    turned = bytearray(made[1].read_bytes())
    turned[at] ^= 1
    copy.write_bytes(turned)
    try:
        found = {finding.table for finding in verify(copy).findings}
    except StoreError:
        return
    assert "sqlite_schema" in found


def test_a_damaged_sum_is_not_taken_for_a_damaged_page(made, copy) -> None:
    whole = bytearray(made[1].read_bytes())
    at = whole.index(b"pages.0000", 4096)
    while whole[at + 10] not in b"0123456789abcdef":
        at = whole.index(b"pages.0000", at + 1)
    whole[at + 10] = ord("0") if whole[at + 10] != ord("0") else ord("1")
    copy.write_bytes(whole)
    with pytest.raises(StoreError, match="table meta"):
        verify(copy)


def test_the_sums_are_those_of_the_file(made) -> None:
    assert seal.broken_pages(made[1]) == []


def test_what_was_written_later_is_found(copy) -> None:
    with closing(sqlite3.connect(copy)) as connection, connection:
        connection.execute("UPDATE media SET temperature_c = -190 WHERE key = 'liquid-nitrogen'")
    assert "media" in {finding.table for finding in verify(copy).findings}


CELLS = ["since = 'x'", "since = NULL", "id = x'ff'", "temperature_c = 9e999"]


@pytest.mark.parametrize("cell", CELLS)
def test_a_cell_that_makes_no_sense_is_found_too(copy, cell) -> None:
    """What a turned byte may leave: text for a number, and what cannot be text."""
    with closing(sqlite3.connect(copy)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(
            "UPDATE sqlite_schema SET sql = replace(sql, 'NOT NULL', '') WHERE name = 'media'"
        )
        connection.execute("PRAGMA writable_schema = RESET")
        connection.execute(f"UPDATE media SET {cell} WHERE key = 'liquid-nitrogen'")
    assert "media" in {finding.table for finding in verify(copy).findings}


def test_a_cut_or_foreign_file_is_refused(copy) -> None:
    copy.write_bytes(copy.read_bytes()[:-5000])
    with pytest.raises(StoreError, match="cut short"):
        verify(copy)
    copy.write_text("a list\n", encoding="utf-8")
    with pytest.raises(StoreError, match="not a SQLite database"):
        verify(copy)


def command(*arguments: str) -> subprocess.CompletedProcess[str]:
    script = "from specdb.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", script, "data", *arguments],
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_command_says_and_exits(made, tables, copy) -> None:
    done = command("verify", str(copy), "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["holds"] == digests(tables)
    edit(tables / "media.csv", ",-195.8,", ",-195.9,")
    done = command("verify", str(tables))
    assert done.returncode == 1
    assert "media: not what 2026.11" in done.stdout
    done = command("releases", "--database", str(copy), "--json")
    listed = json.loads(done.stdout)["releases"]
    assert [row["ordinal"] for row in listed] == [1, 2]
    assert set(listed[0]) == {"ordinal", "version", "date", "summary", "digest"}
    done = command("diff", "2026.11", "2026.11.1", "--database", str(copy), "--json")
    assert [row["id"] for row in json.loads(done.stdout)["withdrawn"]] == [FREEZER]
    for form in ((), ("--markdown",)):
        done = command("diff", "2026.11", "2026.11.1", "--database", str(copy), *form)
        assert FREEZER in done.stdout
        assert "nobody has one" in done.stdout


def test_publishing_by_command(made, tmp_path) -> None:
    tables = Path(shutil.copytree(made[0], tmp_path / "data"))
    done = command("publish", "Nothing.", "--data", str(tables))
    assert (done.returncode, "nothing to publish" in done.stderr) == (1, True)
    withdraw(tables, PLATE, "too hot")
    done = command("publish", "Third.", "--date", "2026-12-01", "--data", str(tables))
    assert done.returncode == 0, done.stderr
    assert "release 2026.12, number 3, of 2026-12-01: 1 new row" in done.stdout
