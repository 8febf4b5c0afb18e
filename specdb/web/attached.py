"""Which of the databases attached to a Datasette is a specdb reference database."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from specdb.errors import StoreError
from specdb.web.held import Held

_ATTRIBUTE = "_specdb_held"


def held_by(datasette: Any) -> Held | None:
    """What this Datasette answers from, or None where nothing of ours is attached.

    Settings of the plugin may name a `database` (a shared server's address) and a `stock`; else
    it is the first attached file that carries our mark.
    """
    if not hasattr(datasette, _ATTRIBUTE):
        hand_to(datasette, None)  # while we look, the plugin's own hooks are asked too
        hand_to(datasette, _find(datasette))
    found: Held | None = getattr(datasette, _ATTRIBUTE)
    return found


def hand_to(datasette: Any, held: Held | None) -> None:
    """Tell a Datasette what it answers from, instead of letting it look."""
    setattr(datasette, _ATTRIBUTE, held)


def _find(datasette: Any) -> Held | None:
    settings = datasette.plugin_config("specdb") or {}
    where = settings.get("database") or _attached_file(datasette)
    return Held(where, settings.get("stock")) if where else None


def attached_name(datasette: Any) -> str | None:
    """The name under which the reference database can be browsed, or None."""
    for name, database in datasette.databases.items():
        if database.path and _is_ours(Path(database.path)):
            return str(name)
    return None


def _attached_file(datasette: Any) -> str | None:
    name = attached_name(datasette)
    return str(datasette.databases[name].path) if name else None


def _is_ours(path: Path) -> bool:
    from specdb.store.engine import check_header

    try:
        check_header(path)
    except StoreError:
        return False
    return True
