"""A whole server: Datasette over the reference database, with our plugin, ready for uvicorn.

`create()` is the factory that every worker calls; what it serves comes from the environment, so
that several processes are told the same.
"""

from __future__ import annotations

import os
import threading
from pathlib import Path
from typing import Any

from datasette.app import Datasette
from datasette.plugins import pm

from specdb.store import assets
from specdb.web import guard, plugin
from specdb.web.attached import hand_to
from specdb.web.held import Held

DATABASE = "SPECDB_SERVE_DATABASE"
STOCK = "SPECDB_SERVE_STOCK"
NO_SQL = "SPECDB_SERVE_NO_SQL"
AT_HOME = "SPECDB_SERVE_AT_HOME"
SETTINGS: dict[str, Any] = {
    "suggest_facets": False,
    "sql_time_limit_ms": 1000,
    "max_returned_rows": 1000,
    "default_page_size": 50,
    "facet_time_limit_ms": 500,
    "default_facet_size": 12,
    "allow_download": True,
    "allow_csv_stream": True,
    "num_sql_threads": 3,
    "default_cache_ttl": 300,
    "template_debug": False,
    "trace_debug": False,
}


def create() -> Any:
    """The ASGI application a worker serves."""
    threading.Thread(target=_warm, daemon=True).start()
    made = datasette_over(
        os.environ.get(DATABASE) or None,
        stock=os.environ.get(STOCK) or None,
        sql=os.environ.get(NO_SQL) != "1",
    ).app()
    return guard.at_home(made) if os.environ.get(AT_HOME) == "1" else made


def _warm() -> None:
    """Import what the first picture needs, so that nobody waits a second for it."""
    from specdb.web.pictures.picture import paper

    paper(1)


def datasette_over(where: str | None, *, stock: str | None = None, sql: bool = True) -> Datasette:
    """A Datasette over a reference database (None: the bundled one).

    A database file is opened as one that cannot change; an address of a shared server answers
    questions, and has no tables to browse.
    """
    if not pm.is_registered(plugin) and not pm.has_plugin("specdb"):
        pm.register(plugin, "specdb")
    where = where or str(assets.database())
    server = "://" in where and not where.startswith("sqlite:///")
    path = where.removeprefix("sqlite:///")
    made = Datasette(
        files=[],
        immutables=[] if server else [str(Path(path).resolve())],
        settings={**SETTINGS, "default_allow_sql": sql},
        secret=os.environ.get("DATASETTE_SECRET"),
    )
    hand_to(made, Held(where, stock, open_to_all=True))
    return made
