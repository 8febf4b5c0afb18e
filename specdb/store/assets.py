"""Where the files lie that belong to specdb: the curated tables, the migrations, the database.

An installed wheel carries them inside the package (`_data`, `_schema`, `_database`); a checkout has
`data/` and `schema/` beside the package and builds its database into the git-ignored `.cache/`.
"""

from __future__ import annotations

from pathlib import Path

from specdb.errors import StoreError

PACKAGE = Path(__file__).resolve().parent.parent
CHECKOUT = PACKAGE.parent
BUILD_COMMAND = "specdb data build"


def data() -> Path:
    """The folder of the curated CSV tables."""
    return _folder("data")


def schema() -> Path:
    """The folder of the Alembic trees, `reference` and `stock`."""
    return _folder("schema")


def target() -> Path:
    """Where a build goes that is not told where: the bundled database's place."""
    if (PACKAGE / "_data").is_dir():
        return PACKAGE / "_database" / "specdb.sqlite"
    return CHECKOUT / ".cache" / "specdb.sqlite"


def database() -> Path:
    """The bundled database.

    Raises StoreError, naming the command that builds it, when there is none.
    """
    path = target()
    if not path.exists():
        raise StoreError(
            f"there is no database yet at {path}.",
            hint=f"Build it from the tables with `{BUILD_COMMAND}`.",
        )
    return path


def _folder(name: str) -> Path:
    for folder in (PACKAGE / f"_{name}", CHECKOUT / name):
        if folder.is_dir():
            return folder
    raise StoreError(
        f"the folder {name!r} of specdb is missing: neither {PACKAGE / f'_{name}'} "
        f"nor {CHECKOUT / name} exists.",
        hint="Install specdb again, or run from a complete checkout.",
    )
