"""`specdb serve`: it starts, says where it is, serves by several processes, and ends cleanly."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import httpx
import pytest

from .conftest import serving

COMMAND = [sys.executable, "-c", "from specdb.cli import main; main()", "serve"]


def run(*options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*COMMAND, *options], capture_output=True, text=True, timeout=60)


def answer(address: str) -> httpx.Response:
    for _ in range(100):
        try:
            return httpx.get(f"{address}/api/v1/material?material=al-si7mg-t6", timeout=30)
        except httpx.TransportError:
            time.sleep(0.2)
    raise AssertionError("it never answered")


def test_two_workers_answer_alike(database: Path) -> None:
    with serving("--database", str(database), "--workers", "2", "--stock", "none") as address:
        got = [answer(address) for _ in range(20)]
        assert len({each.content for each in got}) == 1
        assert len({each.headers["etag"] for each in got}) == 1


@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_cleanly(database: Path, end: signal.Signals) -> None:
    process = subprocess.Popen(
        [*COMMAND, "--port", "0", "--database", str(database), "--stock", "none"],
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stderr is not None
    found = re.search(r"http://\S+:\d+", process.stderr.readline())
    assert found
    answer(found.group())
    process.send_signal(end)
    assert process.wait(30) in (0, -end, 128 + end)
    assert "Traceback" not in process.stderr.read()
    process.stderr.close()


def test_a_port_that_is_taken_is_said(database: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run("--port", str(port), "--database", str(database), "--stock", "none")
    assert done.returncode == 2
    assert str(port) in done.stderr
    assert "--port" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_missing_database_is_said_before_listening(tmp_path: Path) -> None:
    done = run("--database", str(tmp_path / "none.sqlite"), "--port", "0")
    assert done.returncode == 1
    assert "none.sqlite" in done.stderr
    assert "Traceback" not in done.stderr


def test_it_listens_before_it_says_where(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever reads the address, a browser above all, may ask at once."""
    from click.testing import CliRunner

    from specdb.cli import serve as command

    reached: list[int] = []

    def connect(where: str) -> None:
        port = int(re.findall(r"\d+", where)[-1])
        with socket.create_connection(("127.0.0.1", port), timeout=5):
            reached.append(port)

    monkeypatch.setattr(command, "_check", lambda *_: None)
    monkeypatch.setattr(command, "_run", lambda listening, _: listening.close())
    monkeypatch.setattr("webbrowser.open", connect)
    monkeypatch.setenv("DATASETTE_SECRET", "test")
    done = CliRunner().invoke(command.serve, ["--port", "0", "--open"])
    assert done.exception is None, done.output
    assert len(reached) == 1
