"""Alembic environment of the reference database: runs on the connection it is handed.

There is no alembic.ini; `specdb.store.migrate` says where this folder is and brings the connection.
"""

from alembic import context

from specdb.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    compare_server_default=True,
)
with context.begin_transaction():
    context.run_migrations()
