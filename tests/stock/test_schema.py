"""The migrations of the stock make exactly the tables the code knows, and can be undone."""

from __future__ import annotations

import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

from specdb.store import migrate
from specdb.store.stock import held
from specdb.store.stock.tables import VERSIONS, metadata
from specdb.store.write import sqlite_writer


def test_from_nothing_to_newest_and_back_and_up_again(tmp_path):
    engine = sqlite_writer(tmp_path / "stock.sqlite")
    options = {"compare_type": True, "version_table": VERSIONS}
    with engine.connect() as connection:
        for _ in range(2):
            migrate.upgrade(connection, tree="stock")
            context = MigrationContext.configure(connection, opts=options)
            assert list(compare_metadata(context, metadata)) == []
            migrate.downgrade(connection, "base", tree="stock")
            assert sa.inspect(connection).get_table_names() == [VERSIONS]
    engine.dispose()


def test_the_code_reads_the_newest():
    assert migrate.newest("stock") == held.SCHEMA_VERSION
