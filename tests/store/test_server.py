"""The shared server: the same rows, whole loads or none, and readers that can only look."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing
from typing import Any

import psycopg
import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

import specdb
from specdb.answers.ask import to_json
from specdb.answers.registry import QUESTIONS
from specdb.build.verify import verify
from specdb.errors import StoreError, UnknownName
from specdb.store import migrate
from specdb.store import server as shared_server
from specdb.store.asof import Reader, open_reader
from specdb.store.engine import IDENTITY, SCHEMA_VERSION
from specdb.store.server_write import READERS, fill_server
from specdb.store.tables import metadata
from tests.servers import Server
from tests.tables import small

WORDS = "SELECT v.definition FROM vocabulary AS v ORDER BY v.id"
MANY = 400


def batches(said: str, rows: int = 3, **about: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """A tiny load: some words that all say the same."""
    yield (
        "vocabulary",
        [
            {
                "id": f"w.{number:04}", "list": "x", "word": str(number), "definition": said,
                "unit": None, "release": "next", "since": 1, "until": None,
            }
            for number in range(rows)
        ],
    )  # fmt: skip
    yield (
        "releases",
        [{"ordinal": 1, "version": "next", "date": None, "summary": None, "digest": None}],
    )
    held = {"identity": IDENTITY, "schema": SCHEMA_VERSION, "digest": said, **about}
    yield "meta", [{"key": key, "value": value} for key, value in held.items()]


@pytest.fixture
def where(server: Server) -> str:
    """The URL of a database that holds the load `first`."""
    url = server.url(server.fresh())
    fill_server(url, "next", batches("first"))
    return url


def database_of(where: str) -> str:
    return where.partition("@/")[2].partition("?")[0]


def words(reader: Reader) -> set[str]:
    return {row["definition"] for row in reader.all(WORDS)}


def schemas(server: Server, where: str) -> list[object]:
    found = server.say(
        "SELECT nspname FROM pg_namespace WHERE nspname LIKE 'specdb%' ORDER BY nspname",
        database_of(where),
    )
    return [name for (name,) in found]


@pytest.mark.parametrize("name", QUESTIONS)
def test_an_answer_is_the_same_to_the_byte(shared, database, name) -> None:
    asked = QUESTIONS[name].example
    with specdb.open(shared) as one, specdb.open(database) as other:
        assert to_json(one.ask(name, **asked)) == to_json(other.ask(name, **asked))


def test_it_holds_what_was_built_into_it(shared) -> None:
    assert verify(shared).findings == ()


def test_a_changed_figure_is_found_in_its_table(server, where) -> None:
    assert verify_only_contents(where) == []
    server.say("UPDATE specdb_1.vocabulary SET definition = 'x'", database_of(where))
    assert verify_only_contents(where) == ["vocabulary"]


def verify_only_contents(where: str) -> list[str]:
    return [finding.table for finding in verify(where).findings]


def test_migrations_make_the_declared_tables_and_can_be_undone(server) -> None:
    engine = shared_server.engine_of(server.url(server.fresh()))
    with engine.connect() as connection:
        for _ in range(2):
            migrate.upgrade(connection)
            context = MigrationContext.configure(connection, opts={"compare_type": True})
            assert list(compare_metadata(context, metadata)) == []
            migrate.downgrade(connection, "base")
            assert sa.inspect(connection).get_table_names() == ["alembic_version"]
    engine.dispose()


def test_text_sorts_by_code_point_in_every_column(server, where) -> None:
    """The database itself sorts as a dictionary does, where "a" stands before "B"."""
    other = server.say("SELECT 'a' < 'B' COLLATE \"en-x-icu\", 'a' < 'B'", database_of(where))
    assert other == [(True, True)]
    left = server.say(
        "SELECT table_name, column_name, collation_name FROM information_schema.columns "
        "WHERE table_schema = 'specdb_1' AND data_type IN ('text', 'character varying') "
        "AND collation_name IS DISTINCT FROM 'C' AND table_name <> 'alembic_version'",
        database_of(where),
    )
    assert left == []


def test_a_reader_stays_with_its_load_and_the_next_one_sees_the_new(server, where) -> None:
    with closing(open_reader(where)) as before:
        fill_server(where, "next", batches("second"))
        assert words(before) == {"first"}
        with closing(open_reader(where)) as after:
            assert words(after) == {"second"}
        assert server.say("SELECT DISTINCT definition FROM specdb.vocabulary", database_of(where))[
            0
        ] == ("second",)


def test_old_loads_go_when_nobody_reads_them(server, where) -> None:
    with closing(open_reader(where)) as first:
        for said in ("second", "third", "fourth"):
            fill_server(where, "next", batches(said))
        assert schemas(server, where) == ["specdb", "specdb_1", "specdb_3", "specdb_4"]
        assert words(first) == {"first"}
    fill_server(where, "next", batches("fifth"))
    assert schemas(server, where) == ["specdb", "specdb_4", "specdb_5"]


def test_who_reads_while_loads_come_never_sees_two_at_once(where) -> None:
    seen: list[set[str]] = []
    stop = threading.Event()

    def look() -> None:
        while not stop.is_set():
            with closing(open_reader(where)) as reader:
                seen.append(words(reader) | words(reader))

    fill_server(where, "next", batches("load 0", MANY))
    threads = [threading.Thread(target=look) for _ in range(2)]
    for thread in threads:
        thread.start()
    for number in range(1, 6):
        fill_server(where, "next", batches(f"load {number}", MANY))
    stop.set()
    for thread in threads:
        thread.join()
    assert {len(one) for one in seen} == {1}
    assert len(set.union(*seen)) > 1, "the readers saw more than one load"


LOADER = """
import sys, time
sys.path.insert(0, {root!r})
from tests.store.test_server import batches
from specdb.store.server_write import fill_server
def say(step):
    print(step, flush=True)
    if step == {step!r}:
        time.sleep(60)
fill_server({where!r}, "next", batches("second"), say)
"""


@pytest.mark.parametrize("step", ["making the tables", "writing the rows", "handing over"])
def test_a_loader_killed_on_the_way_changes_nothing(server, where, step) -> None:
    script = LOADER.format(root=os.getcwd(), step=step, where=where)
    loader = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    assert loader.stdout is not None
    assert any(line.strip() == step for line in loader.stdout)
    with closing(open_reader(where)) as meanwhile:
        assert words(meanwhile) == {"first"}
    os.kill(loader.pid, signal.SIGKILL)
    assert loader.wait() == -signal.SIGKILL
    loader.stdout.close()
    with closing(open_reader(where)) as after:
        assert words(after) == {"first"}
    fill_server(where, "next", batches("third"))
    with closing(open_reader(where)) as later:
        assert words(later) == {"third"}
    assert schemas(server, where) == ["specdb", "specdb_1", "specdb_2"]


def test_the_command_killed_on_the_way_changes_nothing(server, where, tmp_path) -> None:
    """As a curator types it, from tables that differ from those loaded."""
    tables = small(tmp_path / "data")
    script = "from specdb.cli import main; main()"
    typed = [sys.executable, "-c", script, "data", "build", "--to", where, "--data", str(tables)]
    loader = subprocess.Popen(typed, stderr=subprocess.PIPE, text=True)
    assert loader.stderr is not None
    assert any(line.strip() == "writing the rows" for line in loader.stderr)
    os.kill(loader.pid, signal.SIGKILL)
    assert loader.wait() == -signal.SIGKILL
    loader.stderr.close()
    with closing(open_reader(where)) as after:
        assert words(after) == {"first"}
    assert schemas(server, where) == ["specdb", "specdb_1"]
    done = subprocess.run(typed, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    with closing(open_reader(where)) as later:
        assert len(words(later)) > 100


def test_a_dropped_connection_is_made_again_on_the_same_load(server, where) -> None:
    with closing(open_reader(where)) as reader:
        assert words(reader) == {"first"}
        fill_server(where, "next", batches("second"))
        drop_all(server, where)
        assert words(reader) == {"first"}


def drop_all(server: Server, where: str) -> None:
    name = database_of(where)
    server.say(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")


def test_a_connection_dropped_in_the_middle_of_reading_is_made_again(server, where) -> None:
    """The statement is asked again, of the same load: no answer is of two."""
    found: list[dict[str, Any]] = []
    slow = WORDS.replace("v.definition", "v.definition, pg_sleep(0.2)")
    busy = (
        "SELECT pid FROM pg_stat_activity WHERE state = 'active' "
        f"AND datname = '{database_of(where)}' AND query LIKE '%pg_sleep(0.2)%'"
    )
    with closing(open_reader(where)) as reader:
        fill_server(where, "next", batches("second"))
        asks = threading.Thread(target=lambda: found.extend(reader.all(slow)))
        asks.start()
        while not (running := server.say(busy)):
            time.sleep(0.02)
        server.say(f"SELECT pg_terminate_backend({running[0][0]})")
        assert not found, "it was still reading"
        asks.join()
    assert [row["definition"] for row in found] == ["first"] * 3


def test_a_load_that_is_gone_is_said(server, where) -> None:
    with closing(open_reader(where)) as reader:
        drop_all(server, where)
        for said in ("second", "third"):
            fill_server(where, "next", batches(said))
        with pytest.raises(StoreError, match="was replaced while this reader had no connection"):
            words(reader)


def test_a_server_that_is_gone_is_said_without_the_password(server, where) -> None:
    away = where.replace("port=5432", "port=5433").replace("keeper@", "keeper:secret@")
    with pytest.raises(StoreError, match="does not answer") as caught:
        open_reader(away)
    assert "secret" not in str(caught.value)
    with pytest.raises(StoreError, match="does not answer"):
        fill_server(away, "next", batches("second"))


def test_more_threads_than_connections_wait_their_turn(where) -> None:
    found: list[set[str]] = []
    with closing(open_reader(where)) as reader:

        def ask() -> None:
            for _ in range(5):
                found.append(words(reader))

        count = shared_server.CONNECTIONS + shared_server.MORE_CONNECTIONS + 10
        threads = [threading.Thread(target=ask) for _ in range(count)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert found == [{"first"}] * 5 * count


def test_a_full_pool_is_said(where, monkeypatch) -> None:
    monkeypatch.setattr(shared_server, "CONNECTIONS", 1)
    monkeypatch.setattr(shared_server, "MORE_CONNECTIONS", 0)
    monkeypatch.setattr(shared_server, "WAIT_SECONDS", 0.2)
    with closing(open_reader(where)) as reader:
        held = reader._engine.raw_connection()  # type: ignore[attr-defined]
        with pytest.raises(StoreError, match="no connection came free"):
            words(reader)
        held.close()
        assert words(reader) == {"first"}


def take_every_connection(where: str, stack: ExitStack) -> None:
    plain = where.replace("+psycopg", "")
    while True:
        stack.enter_context(psycopg.connect(plain))


def test_a_full_server_is_said(where) -> None:
    with ExitStack() as stack:
        with pytest.raises(psycopg.OperationalError):
            take_every_connection(where, stack)
        with pytest.raises(StoreError, match=r"too many clients|remaining connection slots"):
            open_reader(where.replace("keeper@", "guest@"))
    with closing(open_reader(where)) as reader:
        assert words(reader) == {"first"}


@pytest.fixture
def guest(server: Server, where: str) -> str:
    """The URL of a role that is no more than a reader."""
    if not server.say("SELECT 1 FROM pg_roles WHERE rolname = 'guest'"):
        server.say(f"CREATE ROLE guest LOGIN IN ROLE {READERS}")
    return where.replace("keeper@", "guest@")


def test_a_reader_role_can_read(guest) -> None:
    with closing(open_reader(guest)) as reader:
        assert words(reader) == {"first"}


WRITES = [
    *(f"DELETE FROM {table}" for table in sorted(metadata.tables)),
    "UPDATE meta SET value = 'x'",
    "INSERT INTO meta VALUES ('a', 'b')",
    "TRUNCATE vocabulary",
    "DROP TABLE vocabulary",
    "ALTER TABLE vocabulary ADD COLUMN x text",
    "CREATE TABLE mine (x text)",
    "CREATE SCHEMA mine",
    "CREATE ROLE mine",
    "DROP SCHEMA specdb_1 CASCADE",
    "INSERT INTO specdb.generations VALUES (99, 'x')",
    "DELETE FROM specdb.vocabulary",
]


@pytest.mark.parametrize("sql", WRITES)
def test_a_reader_role_cannot_write(guest, sql) -> None:
    with psycopg.connect(guest.replace("+psycopg", "")) as connection:
        connection.execute("SET search_path = specdb_1")
        with pytest.raises((psycopg.errors.InsufficientPrivilege, psycopg.errors.WrongObjectType)):
            connection.execute(sql)


def test_not_even_the_keeper_writes_through_a_reader(where) -> None:
    with closing(open_reader(where)) as reader, pytest.raises(StoreError, match="read-only"):
        reader.all("DELETE FROM vocabulary RETURNING id")


def test_a_reader_role_cannot_load(guest) -> None:
    with pytest.raises(StoreError, match="allowed to create schemas"):
        fill_server(guest, "next", batches("mine"))


def test_a_server_without_our_data_names_the_command(server) -> None:
    with pytest.raises(StoreError, match="specdb data build --to"):
        open_reader(server.url(server.fresh()))


def test_an_unknown_release_lists_the_known_ones(where) -> None:
    with pytest.raises(UnknownName, match="next"):
        open_reader(where, release="1999.01")


def test_a_closed_reader_says_so(where) -> None:
    reader = open_reader(where)
    reader.close()
    reader.close()
    with pytest.raises(StoreError, match="closed"):
        reader.one("SELECT 1 AS one")
