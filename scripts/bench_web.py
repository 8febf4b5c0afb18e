"""Goal 5: requests a second of the API against a constant route of the same server.

The server is ours with one more route, `/constant`, that answers a fixed text. `wrk` must be
installed; a ratio here is the peer's requests a second over ours, so that smaller is better.
"""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from datasette import hookimpl
from datasette.plugins import pm
from datasette.utils.asgi import Response

from specdb.web import app

HERE = Path(__file__).resolve().parent
SECONDS = 5
LOOKUP = "/api/v1/material?material=al-si7mg-t6"
SQL = "/specdb.json?sql=select+*+from+materials+where+key='al-si7mg-t6'"
WRONG = {"400": "/api/v1/material?nothing=1", "404": "/api/v1/material?material=unobtainium"}


@hookimpl
def register_routes() -> list[tuple[str, Any]]:
    """One route more: the fastest any route of this server can be."""

    async def constant() -> Response:
        return Response.json({"ok": True})

    return [(r"^/constant$", constant)]


def create() -> Any:
    """The application a worker serves: ours, and the constant route."""
    if not pm.has_plugin("bench_web"):
        pm.register(sys.modules[__name__], "bench_web")
    return app.create()


def rows(say: Callable[[str], None]) -> Iterator[tuple[str, str, float | None, float, str]]:
    """What, peer, ratio, limit and a note for each comparison of the goal."""
    if shutil.which("wrk") is None:
        yield ("API lookup", "constant route", None, 1 / 0.65, "wrk is not installed")
        return
    with served(1) as address:
        say("one process")
        constant = rate(address, "/constant")
        lookup = rate(address, LOOKUP)
        yield ("API lookup", "constant route", constant / lookup, 1 / 0.65, f"{lookup:.0f}/s")
        sql = rate(address, SQL)
        yield ("API lookup", "a row by ?sql=", sql / lookup, 1 / 2.3, f"{sql:.0f}/s")
        for status, path in WRONG.items():
            refused = rate(address, path)
            yield (f"a {status}", "constant route", constant / refused, 1 / 0.3, f"{refused:.0f}/s")
    with served(2) as address:
        say("two processes")
        two = rate(address, LOOKUP)
        yield ("API lookup, two workers", "one worker", lookup / two, 1 / 1.5, f"{two:.0f}/s")


@contextmanager
def served(workers: int) -> Iterator[str]:
    """The address of a server of so many processes, ended by its own process id."""
    from specdb.store import assets

    folder = HERE.parent / ".cache" / "bench"
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(assets.database(), folder / "specdb.sqlite")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    told = {"SPECDB_SERVE_DATABASE": str(folder / "specdb.sqlite"), "DATASETTE_SECRET": "bench"}
    command = [sys.executable, "-m", "uvicorn", "--factory", "bench_web:create"]
    options = ["--port", str(port), "--workers", str(workers), "--log-level", "warning"]
    process = subprocess.Popen(
        [*command, *options, "--no-access-log", "--app-dir", str(HERE)],
        env={**os.environ, **told},
    )
    address = f"http://127.0.0.1:{port}"
    try:
        _wait(address)
        yield address
    finally:
        process.terminate()
        process.wait(20)
        shutil.rmtree(folder)


def rate(address: str, path: str) -> float:
    """Requests a second, sixteen connections at once, once warm."""
    for seconds in (1, SECONDS):
        command = ["wrk", "-t2", "-c16", f"-d{seconds}s", address + path]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
    found = re.search(r"Requests/sec:\s*([\d.]+)", done.stdout)
    assert found, done.stdout
    return float(found.group(1))


def _wait(address: str) -> None:
    for _ in range(150):
        try:
            urllib.request.urlopen(address + LOOKUP, timeout=10).read()
            return
        except OSError:
            time.sleep(0.2)
    raise SystemExit("the server never answered")
