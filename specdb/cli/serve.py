"""`specdb serve`: the web view and the API, on this machine unless told otherwise."""

from __future__ import annotations

import os
import secrets
import socket
import sys
from typing import Any

import click

from specdb.errors import BadRequest, StoreError

BACKLOG = 2048
"""Connections that may wait until the server is up, or later to be taken."""


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    help="Address to listen on; the usual one answers this machine alone.",
)
@click.option(
    "--port",
    default=8300,
    show_default=True,
    type=click.IntRange(0, 65535),
    help="0: any free one.",
)
@click.option(
    "--workers", default=1, show_default=True, type=click.IntRange(1, 64), help="Processes."
)
@click.option("--open", "open_page", is_flag=True, help="Open the page in a browser.")
@click.option("--database", metavar="FILE-OR-URL", help="Serve this database.")
@click.option(
    "--stock",
    metavar="FILE-OR-URL",
    help="Own lists of rings to search too; default: the shop's own if there are any, as for the "
    "questions. none: none.",
)
@click.option("--no-sql", is_flag=True, help="Refuse SQL of the reader's own.")
def serve(
    host: str,
    port: int,
    workers: int,
    open_page: bool,
    database: str | None,
    stock: str | None,
    no_sql: bool,
) -> None:
    """Serve the web view and the JSON API; nothing is written, nothing fetched from outside."""
    app = _app_module()
    lists = _lists(stock)
    told = {
        app.DATABASE: database,
        app.STOCK: lists,
        app.NO_SQL: "1" if no_sql else None,
        app.AT_HOME: "1" if _loopback(host) else None,
    }
    os.environ.update({name: value for name, value in told.items() if value})
    os.environ.setdefault("DATASETTE_SECRET", secrets.token_hex(32))
    _check(database, lists)
    listening = _listen(host, port)
    where = _address(host, listening.getsockname()[1])
    click.echo(f"specdb is at {where} (stop with Ctrl-C)", err=True)
    if open_page:
        import webbrowser

        webbrowser.open(where)
    _run(listening, workers)


def _app_module() -> Any:
    try:
        from specdb.web import app
    except ImportError as error:
        raise StoreError(
            f"the web view is not installed: {error.name} is missing.",
            hint="In a checkout: SPECDB_EXTRAS=web scripts/setup; else pip install '.[web]' there.",
        ) from None
    return app


def _lists(said: str | None) -> str:
    """Where the lists to be searched lie, found as the questions on the command line find them."""
    from specdb.store.stock import place

    return str(place.searched(said) or place.NOWHERE)


def _loopback(host: str) -> bool:
    """Whether an address reaches no further than this machine."""
    import ipaddress

    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def _check(database: str | None, stock: str) -> None:
    """Fail before listening, in words, where there is nothing to serve."""
    from specdb.web.held import Held

    held = Held(database, stock)
    held.database()
    held.close()


def _listen(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(BACKLOG)
    except OSError as error:
        raise BadRequest(
            f"cannot listen on {host}, port {port}: {error.strerror}.",
            hint="Choose another with --port; 0 takes any free one.",
            field="port",
        ) from None
    listening.set_inheritable(True)
    return listening


def _address(host: str, port: int) -> str:
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def _run(listening: socket.socket, workers: int) -> None:
    import uvicorn
    from uvicorn.supervisors import Multiprocess

    config = uvicorn.Config(
        "specdb.web.app:create",
        factory=True,
        workers=workers,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_keep_alive=15,
        limit_concurrency=512,
    )
    server = uvicorn.Server(config)
    if workers > 1:
        Multiprocess(config, sockets=[listening]).run()
    else:
        server.run(sockets=[listening])
        if not server.started:
            sys.exit(1)
