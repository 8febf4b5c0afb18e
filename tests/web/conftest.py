"""One real server for the tests of the web view, and a browser to look at it with."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    import httpx
    from playwright.sync_api import Browser

pytest.importorskip("datasette")

CHROMIUM = shutil.which("chromium")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
SEAT = (
    "/seat?bore=38.05&bore=38.06&head=al-si7mg-t6&insert=sintered-tool-steel"
    "&position=exhaust&depth=8.2"
)


LOGS: list[Path] = []
"""What the servers that are running say, each into a file: a pipe nobody empties would fill, and
the server would wait for it.
"""


@contextmanager
def serving(*options: str, **environment: str) -> Iterator[str]:
    """The address of a server of its own, stopped by its own process id."""
    command = [sys.executable, "-c", "from specdb.cli import main; main()", "serve"]
    with tempfile.TemporaryDirectory(prefix="specdb-served-") as folder:
        log = Path(folder) / "log"
        with log.open("wb") as said:
            process = subprocess.Popen(
                [*command, "--port", "0", *options],
                stderr=said,
                env={**os.environ, **environment},
            )
        LOGS.append(log)
        try:
            yield _address(process, log)
        finally:
            LOGS.remove(log)
            process.send_signal(signal.SIGINT)
            try:
                process.wait(20)
            finally:
                if process.poll() is None:
                    process.kill()


def _address(process: subprocess.Popen[bytes], log: Path) -> str:
    for _ in range(600):
        if found := re.search(r"http://\S+:\d+", log.read_text()):
            return found.group()
        assert process.poll() is None, log.read_text()
        time.sleep(0.1)
    raise AssertionError(f"no address was said: {log.read_text()}")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Under a test that failed stands what the servers said last."""
    report = yield
    if report.failed:
        for log in LOGS:
            report.sections.append(("the server said", log.read_text(errors="replace")[-5000:]))
    return report


@pytest.fixture(scope="session")
def served_file(database: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database that is served, named as people find it, alone in its folder."""
    place = tmp_path_factory.mktemp("served") / "specdb.sqlite"
    shutil.copyfile(database, place)
    return place


@pytest.fixture(scope="session")
def served(served_file: Path) -> Iterator[str]:
    """The address of a server over the reference database; what it put aside, for a moment or for
    good, would lie beside it.
    """
    aside = dict.fromkeys(("TMPDIR", "HOME"), str(served_file.parent))
    usual = dict.fromkeys(("XDG_CACHE_HOME", "XDG_CONFIG_HOME", "MPLCONFIGDIR"), "")
    options = ("--database", str(served_file), "--stock", "none")
    with serving(*options, **aside, **usual) as address:
        yield address


@pytest.fixture(scope="session")
def ask(served: str) -> Iterator[httpx.Client]:
    """A client of the server."""
    import httpx

    with httpx.Client(base_url=served, timeout=60) as client:
        yield client


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """The system's Chromium; its absence fails in CI and skips elsewhere.

    Not for the whole session: its driver keeps an event loop running in this thread.
    """
    if CHROMIUM is None:
        assert os.environ.get("CI") != "true", "chromium is missing"
        pytest.skip("chromium is not installed")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield opened
        opened.close()


class Watched:
    """A page that notes what it should not do: say something, fail, or leave this machine."""

    def __init__(self, page: Any, base: str) -> None:
        self.page, self.base = page, base
        self.said: list[str] = []
        self.left: list[str] = []
        page.on("console", lambda message: self.said.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("request", self._asked)

    def _asked(self, request: Any) -> None:
        if not request.url.startswith((self.base, "data:")):
            self.left.append(request.url)


@pytest.fixture
def page(browser: Browser, served: str) -> Iterator[Watched]:
    """A fresh page that must stay quiet and at home."""
    context = browser.new_context(base_url=served, viewport={"width": 768, "height": 1000})
    watched = Watched(context.new_page(), served)
    yield watched
    context.close()
    assert watched.said == []
    assert watched.left == []


def pages() -> list[str]:
    """Addresses of every kind of page: ours, with and without an answer, and the browsing ones."""
    from urllib.parse import urlencode

    from specdb.answers.registry import QUESTIONS

    asked = [
        f"/{each.name}?{urlencode(each.example, doseq=True)}"
        for each in QUESTIONS.values()
        if each.name != "seat"
    ]
    return [
        "/",
        *(f"/{name}" for name in QUESTIONS),
        *asked,
        SEAT,
        f"{SEAT}&sheet=bench",
        f"{SEAT}&sheet=record",
        "/material?material=al-si7mg-t6&to_temperature=900",
        "/seat?bore=wide&head=al-si7mg-t6&insert=sintered-tool-steel",
        "/material/steel-carbon-low-alloy",
        "/source/memory-general",
        "/search?q=grey+iron",
        "/releases?from=next&to=next",
        "/api",
        "/sql-functions",
        "/nothing-here",
        "/specdb",
        "/specdb/materials?_size=10",
        "/specdb/material_properties?property=density&_sort_desc=value_house&_size=10",
        "/specdb/materials/material.al-si7mg-t6",
        "/specdb?sql=select+key,+name+from+materials+limit+3",
        "/specdb?sql=select+nothing+from+nowhere",
    ]
