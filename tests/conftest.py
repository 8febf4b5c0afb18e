"""What every test may lean on: the random budget, and one database built from `data/`."""

from __future__ import annotations

import os
import shutil
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

from tests.servers import Server, running

if TYPE_CHECKING:
    from specdb.database import Database
    from specdb.store.asof import Reader

# One seed for all runs of the usual budget, so that a red test is red for everybody; the soak
# draws afresh. No deadline: two cores may be busy with something else.
settings.register_profile(
    "usual", max_examples=60, derandomize=True, database=None, deadline=None, print_blob=True
)
settings.register_profile(
    "soak",
    max_examples=5000,
    database=None,
    deadline=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile(os.environ.get("SPECDB_BUDGET", "usual"))


@pytest.fixture(scope="session")
def database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The reference database, built once a session from `data/` as it stands."""
    from specdb.build import build

    path = tmp_path_factory.mktemp("reference") / "specdb.sqlite"
    build(path)
    return path


@pytest.fixture(scope="session")
def bundled(database: Path) -> Path:
    """The same database in the place where commands look for it untold."""
    from specdb.store import assets

    path = assets.target()
    if not path.exists() or path.read_bytes() != database.read_bytes():
        path.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(database, path.with_suffix(".copying"))
        path.with_suffix(".copying").replace(path)
    return path


@pytest.fixture
def db(database: Path) -> Iterator[Database]:
    """The database, open for questions."""
    import specdb

    with specdb.open(database) as opened:
        yield opened


@pytest.fixture
def reader(database: Path) -> Iterator[Reader]:
    """The database, open for the answer functions and the read queries."""
    from specdb.store.asof import open_reader

    opened = open_reader(database)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A PostgreSQL server of this run's own; skips without one, or fails where CI=true."""
    with running() as started:
        yield started


@pytest.fixture(scope="session")
def shared(server: Server) -> str:
    """The URL of a server that holds what `database` holds."""
    from specdb.build import build

    where = server.url(server.fresh())
    build(where)
    return where


@pytest.fixture(scope="session")
def shared_reader(shared: str) -> Iterator[Reader]:
    """The shared server, open for reading."""
    from specdb.store.asof import open_reader

    opened = open_reader(shared)
    yield opened
    opened.close()


CI = os.environ.get("CI") == "true"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Where CI is "true" nothing may be missing: a test that would skip fails instead."""
    report = yield
    if CI and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, which counts as failed in CI: {report.longrepr}"
    return report


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Nor may a whole file or folder be left out: those skip before there is a test to report."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if CI and reporter and reporter.stats.get("skipped"):
        reporter.write_line("left out, which counts as failed in CI (-rs says why)", red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
