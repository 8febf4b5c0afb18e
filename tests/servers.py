"""A real PostgreSQL server for the tests, private to one run.

Debian's server refuses root: as root it runs as an ordinary user. It listens on a socket in a
folder of its own and on no network. Where it is missing the tests are skipped, but fail where CI
is "true".
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

USER = "specdb-tests"
MISSING = (
    "no PostgreSQL server: initdb and pg_ctl were not found (Debian: apt-get install postgresql)"
)


def programs() -> Path | None:
    """The folder of the server's programs."""
    on_path = shutil.which("initdb")
    places = [Path(on_path).parent] if on_path else []
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "pg_ctl").exists()), None)


def _owner() -> pwd.struct_passwd | None:
    """Whom the server runs as, where we are root; made where there is none yet."""
    if os.geteuid() != 0:
        return None
    try:
        return pwd.getpwnam(USER)
    except KeyError:
        subprocess.run(
            ["useradd", "--system", "--no-create-home", "--shell", "/usr/sbin/nologin", USER],
            check=True,
        )
        return pwd.getpwnam(USER)


class Server:
    """A running server: `url(database, role)` and a way to run statements as its owner."""

    def __init__(self, folder: Path, bin_: Path, owner: pwd.struct_passwd | None) -> None:
        self.folder, self._bin, self._owner = folder, bin_, owner
        self._data = folder / "data"
        self._count = 0

    def url(self, database: str = "postgres", role: str = "keeper") -> str:
        return f"postgresql+psycopg://{role}@/{database}?host={self.folder}&port=5432"

    def run(self, program: str, *arguments: str) -> None:
        """One of the server's programs as its owner."""
        owner = self._owner
        done = subprocess.run(
            [str(self._bin / program), *arguments],
            cwd=self.folder,
            env={"PATH": os.environ["PATH"], "LC_ALL": "C", "HOME": str(self.folder)},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
            user=owner.pw_uid if owner else None,
            group=owner.pw_gid if owner else None,
        )
        assert done.returncode == 0, f"{program}: {done.stdout}"

    def start(self, connections: int = 40) -> None:
        options = (
            f"-c listen_addresses='' -c unix_socket_directories='{self.folder}' -c port=5432 "
            f"-c fsync=off -c max_connections={connections}"
        )
        log = str(self.folder / "log")
        self.run("pg_ctl", "-D", str(self._data), "-w", "-l", log, "-o", options, "start")

    def stop(self, mode: str = "fast") -> None:
        self.run("pg_ctl", "-D", str(self._data), "-w", "-m", mode, "stop")

    def initialise(self, locale: str) -> None:
        self.run(
            "initdb", "-D", str(self._data), "-U", "keeper", "-A", "trust", "-E", "UTF8",
            "--locale-provider=icu", f"--icu-locale={locale}", "--locale=C.UTF-8", "--no-sync",
        )  # fmt: skip

    def say(self, sql: str, database: str = "postgres") -> list[tuple[object, ...]]:
        """Run one statement as the owner, at once."""
        import psycopg

        where = f"host={self.folder} port=5432 user=keeper dbname={database}"
        with psycopg.connect(where, autocommit=True) as connection:
            cursor = connection.execute(sql)
            return cursor.fetchall() if cursor.description else []

    def fresh(self) -> str:
        """The name of a new database."""
        self._count += 1
        name = f"fresh{self._count}"
        self.say(f"CREATE DATABASE {name}")
        return name


@contextmanager
def running() -> Iterator[Server]:
    """A server for the length of the block; skips, or fails where CI=true, without one."""
    bin_ = programs()
    if bin_ is None:
        if os.environ.get("CI") == "true":
            pytest.fail(MISSING)
        pytest.skip(MISSING)
    owner = _owner()
    folder = Path(tempfile.mkdtemp(prefix="specdb-server-"))
    folder.chmod(0o755)
    if owner is not None:
        os.chown(folder, owner.pw_uid, owner.pw_gid)
    server = Server(folder, bin_, owner)
    try:
        server.initialise("en-US")
        server.start()
        try:
            yield server
        finally:
            server.stop("immediate")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
