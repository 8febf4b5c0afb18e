"""Making and changing tables: the Alembic migrations of `schema/`, run on an open connection."""

from __future__ import annotations

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from specdb.store import assets


def config(connection: Connection | None = None, tree: str = "reference") -> Config:
    """Alembic's configuration for one tree of `schema/`."""
    made = Config()
    made.set_main_option("script_location", str(assets.schema() / tree).replace("%", "%%"))
    made.set_main_option("path_separator", "os")
    if connection is not None:
        made.attributes["connection"] = connection
    return made


def newest(tree: str = "reference") -> str:
    """The newest migration of a tree."""
    head = ScriptDirectory.from_config(config(tree=tree)).get_current_head()
    return head or ""


def upgrade(connection: Connection, to: str = "head", tree: str = "reference") -> None:
    """Make the tables what migration `to` says they are."""
    command.upgrade(config(connection, tree), to)


def downgrade(connection: Connection, to: str, tree: str = "reference") -> None:
    """Undo migrations down to, not including, `to` (`base`: all of them)."""
    command.downgrade(config(connection, tree), to)
