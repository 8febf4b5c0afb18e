"""Lists made by an earlier specdb: upgraded with every value they hold, or left as they were."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic.script import ScriptDirectory

import specdb
from specdb.answers.stock_list import export_list, lists
from specdb.cli.app import run
from specdb.errors import StoreError
from specdb.store import assets, migrate
from specdb.store.stock import held, write
from specdb.store.stock.tables import metadata
from tests.servers import Server
from tests.stock.conftest import PLAIN

REVISIONS = [
    each.revision
    for each in ScriptDirectory.from_config(migrate.config(tree="stock")).walk_revisions()
][::-1]
LATER = '''
import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{head}"


def upgrade():
    """A column that may not be empty, and a check that SQLite can only change by copying."""
    with op.batch_alter_table("stock_rings") as table:
        table.add_column(sa.Column("bin", sa.Text(), nullable=False, server_default="-"))
        table.drop_constraint(op.f("ck_stock_rings_wall"), type_="check")
        table.create_check_constraint(op.f("ck_stock_rings_wall"), "outer_mm > inner_mm + 0.1")
    {then}
'''


@pytest.fixture(params=["file", "server"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str | Path:
    if request.param == "file":
        return tmp_path / "the shop's shelf" / "stock.sqlite"
    server: Server = request.getfixturevalue("server")
    return server.url(server.fresh())


def rows(where: str | Path) -> dict[str, list[dict[str, Any]]]:
    """Every value of the tables of the first revision, in whatever tables there are now."""
    engine = write._server(where) if isinstance(where, str) else write._file(where)
    with engine.connect() as connection:
        found = {}
        for name, table in metadata.tables.items():
            key = ", ".join(column.name for column in table.primary_key)
            held_now = connection.exec_driver_sql(f"SELECT * FROM {name} ORDER BY {key}").mappings()
            columns = [column.name for column in table.columns]
            found[name] = [{column: row[column] for column in columns} for row in held_now]
        connection.rollback()
    engine.dispose()
    return found


@pytest.fixture
def first(put, where, monkeypatch) -> None:
    """Two filled lists made by the first revision of the tables."""
    newest, upgrade = held.SCHEMA_VERSION, migrate.upgrade
    monkeypatch.setattr(held, "SCHEMA_VERSION", REVISIONS[0])
    monkeypatch.setattr(
        migrate, "upgrade", lambda connection, tree: upgrade(connection, REVISIONS[0], tree)
    )
    put(PLAIN, stock=where)
    put(PLAIN.replace("A-", "B-").replace("4\n", "4\n"), "second", stock=where)
    monkeypatch.setattr(held, "SCHEMA_VERSION", newest)
    monkeypatch.setattr(migrate, "upgrade", upgrade)


def of_tomorrow(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, then: str = "") -> None:
    """The code of a later specdb, with one more migration."""
    schema = Path(shutil.copytree(assets.schema(), tmp_path / "schema"))
    text = LATER.format(head=REVISIONS[-1], then=then)
    (schema / "stock" / "versions" / "9999_later.py").write_text(text, encoding="utf-8")
    monkeypatch.setattr(assets, "schema", lambda: schema)
    monkeypatch.setattr(held, "SCHEMA_VERSION", "9999")


def typed(told: str) -> None:
    """Type the command that a message names."""
    match = re.search("`(specdb .*)`", told)
    assert match, told
    with pytest.raises(SystemExit) as done:
        run(shlex.split(match[1])[1:])
    assert done.value.code == 0


def test_from_the_first_revision_to_the_newest_nothing_is_lost(first, where) -> None:
    before = rows(where)
    assert [len(some) for some in before.values()] == [2, 6]
    write.upgrade(where)
    assert rows(where) == before
    assert [each.list for each in lists(where)] == ["second", "shop"]


def test_a_later_code_upgrades_them_by_the_command_it_names(
    first, where, put, tmp_path, monkeypatch, database
) -> None:
    before, text = rows(where), export_list("shop", where)
    of_tomorrow(tmp_path, monkeypatch)
    with pytest.raises(StoreError, match="are of version 0001, this code reads 9999") as old:
        specdb.open(database, stock=where)
    typed(str(old.value))
    assert rows(where) == before
    assert export_list("shop", where) == text
    assert put(PLAIN, stock=where).unchanged == 3
    with pytest.raises(sa.exc.IntegrityError, match="ck_stock_rings_wall"):
        spoil(where)


def spoil(where: str | Path) -> None:
    engine = write._server(where) if isinstance(where, str) else write._file(where)
    try:
        with engine.begin() as connection:
            connection.exec_driver_sql("UPDATE stock_rings SET inner_mm = outer_mm - 0.05")
    finally:
        engine.dispose()


def test_an_upgrade_that_fails_half_way_leaves_them_as_they_were(
    first, where, tmp_path, monkeypatch
) -> None:
    before = rows(where)
    with monkeypatch.context() as later:
        of_tomorrow(tmp_path, later, then='op.execute("SELECT * FROM nowhere")')
        with pytest.raises(StoreError, match="cannot be written"):
            write.upgrade(where)
    assert rows(where) == before
    assert [each.list for each in lists(where)] == ["second", "shop"]


def test_lists_of_a_later_code_are_neither_read_nor_written(
    first, where, put, tmp_path, monkeypatch, database
) -> None:
    with monkeypatch.context() as later:
        of_tomorrow(tmp_path, later)
        write.upgrade(where)
        before = rows(where)
    for act in (
        lambda: specdb.open(database, stock=where),
        lambda: put(PLAIN, stock=where),
        lambda: write.upgrade(where),
        lambda: write.remove(where, "shop"),
    ):
        with pytest.raises(StoreError, match=r"of version 9999.*\n.*later specdb"):
            act()
    assert rows(where) == before


def test_there_is_nothing_to_upgrade_where_there_are_no_lists(tmp_path) -> None:
    from specdb.answers.stock_list import upgrade

    with pytest.raises(StoreError, match="no own lists at"):
        upgrade(tmp_path / "none.sqlite")
    assert list(tmp_path.iterdir()) == []
