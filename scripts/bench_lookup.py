"""Goal 1: a material by its key through `specdb.open()`, against a bare prepared read of its row.

Both are taken on a database of two thousand materials and on one of a million: copies of the
built one with further rows that say nothing.
"""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
import timeit
from collections.abc import Callable, Iterator
from contextlib import closing
from functools import partial
from pathlib import Path

import specdb
from specdb.store import assets

Row = tuple[str, str, float, float]
FEW, MANY = 2_000, 1_000_000
DRAWN = 500
"""Keys looked up in turn, spread over the whole table."""


def rows(say: Callable[[str], None]) -> Iterator[Row]:
    """What, peer, ratio and limit of each measurement."""
    took: dict[int, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        for count in (FEW, MANY):
            say(f"a database of {count} materials")
            where = Path(folder) / f"{count}.sqlite"
            keys = _filled(where, count)
            raw, took[count] = _measured(where, keys)
            yield f"material by key of {count}", "bare read of its row", took[count] / raw, 8.0
    yield f"the same, {MANY} to {FEW} rows", "itself", took[MANY] / took[FEW], 2.0


def _filled(where: Path, count: int) -> list[str]:
    """A copy of the built database with so many materials, and keys to look up in it."""
    shutil.copyfile(assets.database(), where)
    with closing(sqlite3.connect(where)) as connection, connection:
        connection.row_factory = sqlite3.Row
        like = dict(connection.execute("SELECT * FROM materials ORDER BY id LIMIT 1").fetchone())
        names = ", ".join(like)
        marks = ", ".join(f":{name}" for name in like)
        fresh = (
            {**like, "id": f"material.bench-{at}", "key": f"bench-{at}"} for at in range(count)
        )
        connection.executemany(f"INSERT INTO materials ({names}) VALUES ({marks})", fresh)
    return [f"bench-{at * (count // DRAWN)}" for at in range(DRAWN)]


def _measured(where: Path, keys: list[str]) -> tuple[float, float]:
    """Seconds for all `keys`: read bare, and as materials."""

    def bare(connection: sqlite3.Connection) -> None:
        for key in keys:
            connection.execute("SELECT * FROM materials WHERE key = ?", (key,)).fetchone()

    def ours(database: specdb.Database) -> None:
        for key in keys:
            database.material(key)

    with (
        closing(sqlite3.connect(f"file:{where}?mode=ro", uri=True)) as connection,
        specdb.open(str(where)) as database,
    ):
        calls = (partial(bare, connection), partial(ours, database))
        first, second = (min(timeit.repeat(call, number=1, repeat=15)) for call in calls)
    return first, second
