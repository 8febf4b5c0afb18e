"""The migrations make exactly the tables the code knows, and can be undone."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

from specdb.records import rows
from specdb.store import engine, migrate
from specdb.store.tables import metadata
from specdb.store.write import sqlite_writer


@pytest.fixture
def connection(tmp_path) -> Iterator[sa.Connection]:
    writer = sqlite_writer(tmp_path / "empty.sqlite")
    with writer.connect() as connection:
        yield connection
    writer.dispose()


def differences(connection: sa.Connection) -> list[object]:
    context = MigrationContext.configure(connection, opts={"compare_type": True})
    return list(compare_metadata(context, metadata))


def checks(inspector: sa.Inspector, table: str) -> dict[str, str]:
    found = inspector.get_check_constraints(table)
    return {str(one["name"]): str(one["sqltext"]) for one in found}


def declared_checks(table: sa.Table) -> dict[str, str]:
    from sqlalchemy.sql.naming import conv

    named = {}
    for one in table.constraints:
        if isinstance(one, sa.CheckConstraint):
            name = str(one.name)
            full = name if isinstance(one.name, conv) else f"ck_{table.name}_{name}"
            named[full] = str(one.sqltext)
    return named


def test_from_nothing_to_newest_and_back_and_up_again(connection):
    for _ in range(2):
        migrate.upgrade(connection)
        assert differences(connection) == []
        migrate.downgrade(connection, "base")
        assert sa.inspect(connection).get_table_names() == ["alembic_version"]


def test_constraints_are_the_declared_ones(connection):
    """Alembic's comparison does not look at CHECK constraints, primary keys and their names."""
    migrate.upgrade(connection)
    inspector = sa.inspect(connection)
    for name, table in metadata.tables.items():
        assert checks(inspector, name) == declared_checks(table), name
        key = inspector.get_pk_constraint(name)
        assert key["constrained_columns"] == [one.name for one in table.primary_key], name
        found = {one["name"]: one["column_names"] for one in inspector.get_indexes(name)}
        wanted = {one.name: [column.name for column in one.columns] for one in table.indexes}
        assert found == wanted, name


def test_a_difference_would_be_seen(connection):
    """The comparison above can fail: a column, an index and a check taken away are told."""
    migrate.upgrade(connection)
    connection.exec_driver_sql("ALTER TABLE media DROP COLUMN hazard")
    connection.exec_driver_sql("DROP INDEX ix_media_key")
    assert {one[0] for one in differences(connection)} == {"add_column", "add_index"}
    connection.exec_driver_sql("DROP TABLE cautions")
    connection.exec_driver_sql("CREATE TABLE cautions (id TEXT PRIMARY KEY)")
    declared = declared_checks(metadata.tables["cautions"])
    assert checks(sa.inspect(connection), "cautions") != declared


def test_a_wrong_word_cannot_be_stored(connection):
    migrate.upgrade(connection)
    row = dict.fromkeys(rows.columns("media"), "x")
    row |= {"kind": "chill", "seen": "text", "basis": "stands", "since": 1}
    connection.execute(sa.insert(metadata.tables["media"]), [row])
    for column in ("kind", "seen", "basis"):
        with pytest.raises(sa.exc.IntegrityError, match=f"ck_media_{column}"):
            connection.execute(
                sa.insert(metadata.tables["media"]), [row | {"id": column, column: "rumour"}]
            )


def test_the_reader_knows_the_newest_schema():
    assert migrate.newest() == engine.SCHEMA_VERSION
