"""Several shops on one server: each has its lists to itself, whatever they are called."""

from __future__ import annotations

import threading

import psycopg
import pytest

import specdb
from specdb.answers.stock_list import export_list, lists, remove_list
from specdb.cli.app import run
from specdb.errors import StoreError
from specdb.store.asof import open_reader
from specdb.store.server_write import READERS
from specdb.store.stock.held import open_held
from specdb.store.stock.server import HOME
from tests.servers import Server
from tests.stock.conftest import PLAIN

OTHER = PLAIN.replace("A-", "S-").replace("38.16", "38.17")
SHOPS = ("north", "south")


@pytest.fixture(scope="module")
def database_of_shops(server: Server) -> str:
    """A database where two shops have a role and a schema each, made by the server's keeper."""
    name = server.fresh()
    server.say(f"GRANT ALL ON SCHEMA public TO {', '.join(roles(server))}", name)
    for shop in SHOPS:
        server.say(f'CREATE SCHEMA "{HOME}{shop}" AUTHORIZATION {shop}', name)
    return name


def roles(server: Server) -> tuple[str, ...]:
    for shop in (*SHOPS, "stranger"):
        if not server.say(f"SELECT 1 FROM pg_roles WHERE rolname = '{shop}'"):
            server.say(f"CREATE ROLE {shop} LOGIN")
    return (*SHOPS, "stranger")


@pytest.fixture
def urls(server: Server, database_of_shops: str) -> tuple[str, str]:
    """Where each shop keeps its lists."""
    north, south = (server.url(database_of_shops, shop) for shop in SHOPS)
    return north, south


def test_lists_of_one_name_are_two_lists(put, urls, database) -> None:
    north, south = urls
    assert put(PLAIN, stock=north).rings == 3
    before = export_list("shop", north)
    told = put(OTHER, stock=south)
    assert (told.added, told.removed, told.changed) == (("S-1", "S-2", "S-3"), (), ())
    assert export_list("shop", north) == before
    for url, letter in ((north, "A"), (south, "S")):
        with specdb.open(database, stock=url) as db:
            found = db.sizes(
                bore=["38.05 mm", "38.06 mm"], head="aluminium", insert="sintered-tool-steel"
            )
        own = [each for each in (*found.candidates, *found.rejected) if each.origin == "shop"]
        assert {each.size[:2] for each in own} == {f"{letter}-"}
    remove_list("shop", south)
    assert [each.list for each in lists(north)] == ["shop"]
    assert lists(south) == ()


@pytest.mark.parametrize("sql", ["SELECT * FROM {0}.stock_rings", "DELETE FROM {0}.stock_lists"])
def test_a_shops_role_can_neither_read_nor_write_anothers_rows(put, urls, sql) -> None:
    north, south = urls
    put(PLAIN, stock=north)
    with (
        psycopg.connect(south.replace("+psycopg", "")) as connection,
        pytest.raises(psycopg.errors.InsufficientPrivilege),
    ):
        connection.execute(sql.format(f"{HOME}north"))
    for act in (lists, lambda url: put(OTHER, stock=url), lambda url: remove_list("shop", url)):
        with pytest.raises(StoreError, match="are another shop's"):
            act(f"{south}&shop=north")
    assert export_list("shop", north).count("A-") == 3


def test_readers_of_the_reference_data_see_no_shop(put, server, urls, database_of_shops) -> None:
    """They share a database, not a right; and a shop's role reads what the keeper lets it read."""
    from tests.store.test_server import batches, fill_server, words

    north, _ = urls
    put(PLAIN, stock=north)
    fill_server(server.url(database_of_shops), "next", batches("first"))
    with pytest.raises(StoreError, match="permission denied"):
        open_reader(north)
    server.say(f"GRANT {READERS} TO north")
    reader = open_reader(north)
    assert words(reader) == {"first"}
    reader.close()
    if not server.say("SELECT 1 FROM pg_roles WHERE rolname = 'looker'"):
        server.say(f"CREATE ROLE looker LOGIN IN ROLE {READERS}")
    with pytest.raises(StoreError, match="are another shop's"):
        lists(server.url(database_of_shops, "looker") + "&shop=north")


def test_a_shop_may_be_named_and_must_then_be_there(put, server) -> None:
    """The keeper of a small shop may hold several; a slip of the pen is told, not passed over."""
    url = server.url(server.fresh())
    put(PLAIN, stock=f"{url}&shop=bench-2")
    assert [each.list for each in lists(f"{url}&shop=bench-2")] == ["shop"]
    assert lists(url) == ()
    with pytest.raises(StoreError, match="no own lists of the shop 'bench-3'"):
        lists(f"{url}&shop=bench-3")
    for wrong in ("a b", "x;drop", "N" * 3, "n" * 41):
        with pytest.raises(StoreError, match="no shop's name"):
            lists(f"{url}&shop={wrong}")


def test_a_place_somebody_else_made_under_a_shops_name_is_not_the_shops(put, server) -> None:
    """Whoever owns the tables can read what is put in, whatever he grants."""
    name = server.fresh()
    roles(server)
    home = f'"{HOME}north"'
    server.say(f"CREATE SCHEMA {home} AUTHORIZATION stranger", name)
    server.say(f"GRANT ALL ON SCHEMA {home} TO north", name)
    north = server.url(name, "north")
    for act in (lists, lambda url: put(PLAIN, stock=url)):
        with pytest.raises(StoreError, match="are another shop's"):
            act(north)
    if not server.say("SELECT 1 FROM pg_roles WHERE rolname = 'bench_hands'"):
        server.say("CREATE ROLE bench_hands")
        server.say("GRANT bench_hands TO north")
    server.say(f"ALTER SCHEMA {home} OWNER TO bench_hands", name)
    assert put(PLAIN, stock=north).rings == 3


def test_a_role_without_a_place_is_told_what_the_keeper_does(put, server, urls) -> None:
    stranger = urls[0].replace("north@", "stranger@")
    with pytest.raises(StoreError, match="CREATE SCHEMA specdb_stock_stranger AUTHORIZATION"):
        put(PLAIN, stock=stranger)
    assert lists(stranger) == ()


def test_one_shop_does_not_wait_for_another(put, urls) -> None:
    from specdb.store.stock.write import _writing

    north, south = urls
    with _writing(north):
        one = threading.Thread(target=lambda: put(OTHER, stock=south))
        one.start()
        one.join(20)
        assert not one.is_alive(), "it waited"


def test_who_reads_cannot_write(put, urls) -> None:
    put(PLAIN, stock=urls[0])
    held = open_held(urls[0])
    with pytest.raises(StoreError, match="read-only"):
        held.all("DELETE FROM stock_rings RETURNING part")
    held.close()


def test_a_dropped_connection_is_made_again_unless_something_was_read(put, server, urls) -> None:
    """Half of an answer is never of one list and half of another."""
    put(PLAIN, stock=urls[0])
    held = open_held(urls[0])
    parts = "SELECT part FROM stock_rings ORDER BY part"
    wanted = held.all(parts)
    drop(server)
    assert held.all(parts) == wanted
    with held.snapshot():
        held.all(parts)
        put(PLAIN.replace("A-1", "A-9"), stock=urls[0])
        assert held.all(parts) == wanted
        drop(server)
        with pytest.raises(StoreError, match="cannot be read: terminating connection"):
            held.all(parts)
    assert held.all(parts) != wanted
    held.close()


def drop(server: Server) -> None:
    server.say("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'north'")


def test_the_command_says_how_shops_are_kept_apart(capsys) -> None:
    with pytest.raises(SystemExit):
        run(["stock", "--help"])
    assert "?shop=NAME" in capsys.readouterr().out
