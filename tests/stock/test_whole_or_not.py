"""A crash, a full disk or a second import leaves the old list whole: tried with real processes."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from specdb.answers.stock_list import export_list, lists
from specdb.errors import StoreError
from specdb.store.stock import held
from tests.stock.conftest import PLAIN

MANY = 30_000
WRITER = """
import os, resource, signal, sys, time
from pathlib import Path
import sqlalchemy as sa
from specdb.store.stock import held, write

place, act = Path(sys.argv[1]), sys.argv[2]
rings = [
    dict(part=f"N{at:06d}", place=at, made_of="bronze", on_shelf=1, outer_mm=38.0 + at / 1e4,
         inner_mm=30.0, height_mm=7.0, outer_minus_mm=0.0, outer_plus_mm=0.0, qty=1, outer="38",
         inner="30", height="7", material="bronze", tolerance="", note="n" * 60)
    for at in range(int(sys.argv[3]))
]
real = held.connect

def small_cache(path):
    connection = real(path)
    connection.execute("PRAGMA cache_size = 10")   # so that pages reach the file before the end
    return connection

held.connect = small_cache
if act == "die":
    insert = write._insert

    def half(connection, name, od_means, new, total):
        insert(connection, name, od_means, new[: len(new) // 2], total)
        print("half", flush=True)
        os.kill(os.getpid(), signal.SIGKILL)

    write._insert = half
if act == "full":
    size = place.stat().st_size if place.exists() else 0
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + 200_000, size + 200_000))
if act == "slow":
    insert = write._insert

    def slow(*all):
        print("writing", flush=True)
        time.sleep(float(sys.argv[4]))
        insert(*all)

    write._insert = slow
print("ready", flush=True)
try:
    write.replace(place, "shop", "ring", rings)
except Exception as error:
    print(type(error).__name__, error)
    sys.exit(1)
"""


@pytest.fixture
def writer(place: Path):
    started: list[subprocess.Popen[str]] = []

    def start(act: str, many: int = MANY, *more: str) -> subprocess.Popen[str]:
        process = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(place), act, str(many), *more],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        started.append(process)
        return process

    yield start
    for process in started:
        process.kill()
        process.wait()
        process.stdout.close()


def sound(place: Path) -> bool:
    with closing(sqlite3.connect(place)) as connection:
        return connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_killed_half_way_the_old_list_is_whole(put, place, writer):
    put(PLAIN)
    before = export_list("shop", place)
    process = writer("die")
    said, _ = process.communicate(timeout=60)
    assert process.returncode == -signal.SIGKILL
    assert "half" in said
    journal = place.with_name(f"{place.name}-journal")
    assert journal.stat().st_size > 0, "nothing had reached the disk: the kill came too early"
    assert export_list("shop", place) == before
    assert sound(place)
    assert put(PLAIN).unchanged == 3


def test_killed_at_its_very_first_import_there_is_no_list(put, place, writer):
    process = writer("die")
    process.communicate(timeout=60)
    assert process.returncode == -signal.SIGKILL
    assert lists(place) == ()
    assert put(PLAIN).rings == 3


@pytest.mark.parametrize("after", [0.02, 0.1, 0.2, 0.35, 0.5])
def test_killed_at_any_moment_it_is_the_old_list_or_the_new(put, place, writer, after):
    put(PLAIN)
    process = writer("plain")
    assert process.stdout.readline() == "ready\n"
    time.sleep(after)
    process.kill()
    process.wait()
    (note,) = lists(place)
    assert note.rings in (3, MANY)
    assert len(export_list("shop", place).splitlines()) == note.rings + 1
    assert sound(place)


def test_a_full_disk_is_said_and_the_old_list_is_whole(put, place, writer):
    put(PLAIN)
    before = export_list("shop", place)
    process = writer("full")
    said, _ = process.communicate(timeout=60)
    assert process.returncode == 1
    assert "StoreError" in said
    assert "cannot be written" in said
    assert export_list("shop", place) == before
    assert sound(place)
    assert put(PLAIN).unchanged == 3


def test_a_second_import_waits_for_the_first(put, place, writer):
    put(PLAIN)
    process = writer("slow", 2000, "1.5")
    assert process.stdout.readline() == "ready\n"
    assert process.stdout.readline() == "writing\n"
    report = put(PLAIN)
    assert process.wait(timeout=60) == 0
    assert len(report.removed) == 2000, "it went in after the first one"
    assert [each.rings for each in lists(place)] == [3]
    assert sound(place)


def test_or_is_refused_with_the_reason(put, place, writer, monkeypatch):
    put(PLAIN)
    monkeypatch.setattr(held, "WAIT_S", 0.2)
    process = writer("slow", 2000, "3")
    assert process.stdout.readline() == "ready\n"
    assert process.stdout.readline() == "writing\n"
    with pytest.raises(StoreError, match="somebody else is writing"):
        put(PLAIN.replace("38.16", "38.17"))
    assert process.wait(timeout=60) == 0
    assert lists(place)[0].rings == 2000


def test_many_at_once_leave_one_list_whole(place, writer):
    processes = [writer("plain", 500 + 100 * at) for at in range(4)]
    assert [process.wait(timeout=90) for process in processes] == [0] * 4
    (note,) = lists(place)
    assert note.rings in (500, 600, 700, 800)
    assert len(export_list("shop", place).splitlines()) == note.rings + 1
    assert sound(place)


def test_nobody_may_write_there(put, place):
    place.parent.mkdir()
    place.parent.joinpath("folder").mkdir()
    with pytest.raises(StoreError):
        put(PLAIN, stock=place.parent / "folder")
    put(PLAIN)
    with pytest.raises(StoreError):
        put(PLAIN, stock=place / "below-a-file.sqlite")


def test_the_digest_is_over_content_not_over_order(put):
    first = put(PLAIN)
    header, *rows = PLAIN.splitlines()
    assert put("\n".join([header, *reversed(rows)])).digest == first.digest
    assert put(PLAIN.replace("4\n", "5\n", 1)).digest != first.digest
