"""The fixtures `db` and `reader` on both servers: once the file, once the shared server.

A folder of tests that wants them imports them in its conftest.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from specdb.database import Database
from specdb.store.asof import Reader, open_reader
from tests.twin import TwinReader


@pytest.fixture(params=["file", "server"])
def reader(request: pytest.FixtureRequest, database: Path) -> Iterator[Reader]:
    """The database, open for the answer functions and the read queries."""
    with closing(open_reader(database)) as file:
        if request.param == "file":
            yield file
        else:
            yield TwinReader(file, request.getfixturevalue("shared_reader"))


@pytest.fixture
def db(reader: Reader) -> Database:
    """The database, open for questions."""
    return Database(reader)
