"""What an earlier specdb made: refused with the command that makes it again, and that works."""

from __future__ import annotations

import re
import shlex
from contextlib import closing
from pathlib import Path

import pytest

from specdb.cli.app import run
from specdb.errors import StoreError
from specdb.store import assets, engine, migrate, server
from specdb.store.asof import open_reader
from specdb.store.server_write import fill_server
from specdb.store.write import insert, sqlite_writer
from tests.store.test_server import batches
from tests.tables import small

OLDEST = "0001"
"""The first revision of the tables of the reference data."""


@pytest.fixture
def tables(tmp_path, monkeypatch) -> Path:
    """Tables that build in a moment, in the place where a build looks untold."""
    folder = small(tmp_path / "data")
    monkeypatch.setattr(assets, "data", lambda: folder)
    return folder


def about(schema: str) -> list[dict[str, str]]:
    said = {"identity": engine.IDENTITY, "schema": schema, "tables": "meta releases vocabulary"}
    return [{"key": key, "value": value} for key, value in said.items()]


def typed(told: str) -> None:
    """Type the command that a message names."""
    match = re.search("`(specdb .*)`", told)
    assert match, told
    with pytest.raises(SystemExit) as done:
        run(shlex.split(match[1])[1:])
    assert done.value.code == 0


def test_a_file_of_the_first_revision_is_made_again_by_the_command_it_names(
    tables, tmp_path
) -> None:
    path = tmp_path / "the shop's data" / "old one.sqlite"
    path.parent.mkdir()
    writer = sqlite_writer(path)
    with writer.begin() as connection:
        connection.exec_driver_sql(f"PRAGMA application_id = {engine.APPLICATION_ID}")
        migrate.upgrade(connection, OLDEST)
        insert(connection, "meta", about(OLDEST))
    writer.dispose()
    with pytest.raises(StoreError, match=f"are of schema {OLDEST}, this code reads") as old:
        open_reader(path)
    typed(str(old.value))
    with closing(open_reader(path)) as reader:
        assert reader.release.version == "next"


def test_a_server_of_the_first_revision_is_loaded_again_by_the_command_it_names(
    tables, request
) -> None:
    started = request.getfixturevalue("server")
    url = started.url(started.fresh())
    writer = server.engine_of(url)
    with writer.begin() as connection:
        say = connection.exec_driver_sql
        for schema in (server.HOME, server.schema_of(1)):
            say(f"CREATE SCHEMA {schema}")
        say("CREATE TABLE specdb.generations (number int PRIMARY KEY, release text NOT NULL, "
            "loaded timestamptz NOT NULL DEFAULT now())")  # fmt: skip
        say("INSERT INTO specdb.generations VALUES (1, 'next')")
        say(f"SET LOCAL search_path = {server.schema_of(1)}")
        migrate.upgrade(connection, OLDEST)
        insert(connection, "meta", about(OLDEST))
    writer.dispose()
    with pytest.raises(StoreError, match=f"are of schema {OLDEST}, this code reads") as old:
        open_reader(url)
    typed(str(old.value))
    with closing(open_reader(url)) as reader:
        assert reader.release.version == "next"


def test_a_file_of_a_later_code_says_so_before_it_advises_to_build(tmp_path, database) -> None:
    path = tmp_path / "new.sqlite"
    path.write_bytes(database.read_bytes())
    writer = sqlite_writer(path)
    with writer.begin() as connection:
        connection.exec_driver_sql("UPDATE meta SET value = '9999' WHERE key = 'schema'")
    writer.dispose()
    with pytest.raises(StoreError, match="A later specdb made it: bring this one up to date"):
        open_reader(path)


@pytest.mark.parametrize(
    ("about", "said"),
    [
        ({"schema": "0000"}, r"schema 0000.*\n.*`specdb data build --to 'postgresql"),
        ({"identity": "x"}, r"what they are.*\n.*`specdb data build --to 'postgresql"),
        (
            {"schema": "9999"},
            r"schema 9999.*\nA later specdb loaded them: bring this one up to date",
        ),
    ],
)
def test_another_schema_or_identity_is_refused(server, about, said) -> None:
    """Tables of a later code are not to be loaded over: the others on the server read them."""
    url = server.url(server.fresh())
    fill_server(url, "next", batches("first", **about))
    with pytest.raises(StoreError, match=said) as caught:
        open_reader(url)
    assert ("data build" in str(caught.value)) == (about.get("schema") != "9999")
