"""Alembic environment of a shop's own lists: runs on the connection it is handed.

There is no alembic.ini; `specdb.store.migrate` says where this folder is and brings the connection.
The version table is named for the stock, so that both trees may share one server's database.
"""

from alembic import context

from specdb.store.stock.tables import VERSIONS, metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table=VERSIONS,
    render_as_batch=True,
    compare_server_default=True,
)
with context.begin_transaction():
    context.run_migrations()
