"""The speed goals as ratios to a peer measured in the same run; absolute times do not travel.

Each goal is a function of `GOALS` yielding `Measured` rows; a later goal is one function more.
Whole-process goals run from a wheel installed in a throw-away environment (`--here` takes the
environment this runs in instead). Exit code 1 when a ratio is above its limit.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
import timeit
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parent.parent
RUNS = 21


class Measured(NamedTuple):
    """One row: `ratio` of what we do to its peer, at most `limit`; None if it failed."""

    goal: str
    what: str
    peer: str
    ratio: float | None
    limit: float
    note: str = ""


def parse_a_quantity(_: Path) -> Iterator[Measured]:
    """Goal 3: our parse against pint's own, same value to the last bit."""
    import pint

    from specdb import units

    registry: Any = pint.UnitRegistry()
    for text, kind in (
        ("38.1 mm", "length"),
        ("1.500 in", "length"),
        ("5 thou", "length"),
        ("3.81 cm", "length"),
    ):
        ours = _best(partial(units.read, text, kind), 5000)

        def asked(text: str = text) -> object:
            return registry(text).m_as("mm")

        theirs = _best(asked, 500)
        same = units.read(text, kind) == asked()
        note = "same value" if same else "VALUES DIFFER"
        yield Measured("3", f"read {text!r}", "pint's parse", ours / theirs, 1 / 30, note)


def whole_process(python: Path) -> Iterator[Measured]:
    """Goal 4: commands from start to end against a bare start of Python."""
    command = str(python.parent / "specdb")
    fit = "--head al-si7mg-t6 --insert sintered-tool-steel --insert-diameter 38.1mm"
    fit += " --bore 38.0mm --insert-inner 31mm --height 6mm"
    cases = {
        "import specdb": ([str(python), "-c", "import specdb"], 3.0),
        "specdb --help": ([command, "--help"], 5.0),
        "specdb material KEY": ([command, "material", "al-si7mg-t6"], 20.0),
        "specdb fit": (
            [command, "fit", *fit.split()],
            30.0,
        ),
    }
    bare = [str(python), "-c", "pass"]
    failed = {name: _failure(arguments) for name, (arguments, _) in cases.items()}
    times: dict[str, list[float]] = {name: [] for name in ("bare", *cases)}
    for _ in range(RUNS):  # taken in turn, so that a busy moment hits all alike
        times["bare"].append(_run(bare))
        for name, (arguments, _limit) in cases.items():
            if not failed[name]:
                times[name].append(_run(arguments))
    base = statistics.median(times["bare"])
    for name, (_arguments, limit) in cases.items():
        ratio = None if failed[name] else statistics.median(times[name]) / base
        yield Measured("4", name, "python -c pass", ratio, limit, failed[name])


def many_joints(_: Path) -> Iterator[Measured]:
    """Goal 6: a million joints at once against copying their figures, and against a loop."""
    import numpy as np

    from specdb.physics import pocket, rings

    draw = np.random.default_rng(6)
    size = 1_000_000
    joints: dict[str, Any] = {
        name: draw.uniform(low, high, size)
        for name, low, high in (
            ("joint_mm", 34.0, 40.0),
            ("interference_mm", 0.05, 0.2),
            ("ring_bore_mm", 26.0, 31.0),
            ("hub_outer_mm", 55.0, 120.0),
            ("ring_modulus_mpa", 110e3, 210e3),
            ("ring_poisson", 0.26, 0.31),
            ("hub_modulus_mpa", 69e3, 76e3),
            ("hub_poisson", 0.31, 0.34),
        )
    }
    height, below = draw.uniform(5.0, 9.0, size), draw.uniform(8.0, 30.0, size)
    strength = draw.uniform(300.0, 1100.0, size)

    def best_estimate() -> object:
        plain = rings.press_fit(**joints).pressure_mpa
        shaped = {name: joints[name] for name in joints if not name.endswith("poisson")}
        del shaped["interference_mm"]
        factor = pocket.pressure_factor(**shaped, height_mm=height, metal_below_mm=below)
        most = rings.pressure_ceiling_ring(strength, joints["ring_bore_mm"], joints["joint_mm"])
        return np.minimum(plain * factor, most)

    few = 2000
    singly = [{name: float(each[at]) for name, each in joints.items()} for at in range(few)]
    copy = _best(lambda: [each.copy() for each in joints.values()], 1)
    plain = _best(lambda: rings.press_fit(**joints), 1)
    loop = _best(lambda: [rings.press_fit(**each) for each in singly], 1) * size / few
    yield Measured("6", "1e6 two-ring fits", "copy of their input", plain / copy, 3.5)
    yield Measured("6", "1e6 two-ring fits", "a loop", plain / loop, 1 / 25)
    shaped = _best(best_estimate, 1)
    what = "1e6 fits with pocket factor and yield cap"
    yield Measured("6", what, "copy of their input", shaped / copy, 40.0)


def opening(_: Path) -> Iterator[Measured]:
    """What the checks at opening cost: header, identity, length, schema, every table, releases."""
    import sqlite3
    from contextlib import closing

    import specdb
    from specdb.store import assets

    where = f"file:{assets.database()}?mode=ro"

    def bare() -> None:
        with closing(sqlite3.connect(where, uri=True)) as connection:
            connection.execute("SELECT key FROM meta").fetchone()

    ours = _best(lambda: specdb.open().close(), 50)
    yield Measured("-", "open, with its checks", "connect, one row", ours / _best(bare, 50), 2.0)


def lookup(_: Path) -> Iterator[Measured]:
    """Goal 1: a material by its key."""
    from scripts import bench_lookup

    for row in bench_lookup.rows(_say):
        yield Measured("1", *row)


def own_sizes(_: Path) -> Iterator[Measured]:
    """Goal 2: the search for sizes among a shop's own rings."""
    from scripts import bench_sizes

    for row in bench_sizes.rows(_say):
        yield Measured("2", *row)


def the_web(_: Path) -> Iterator[Measured]:
    """Goal 5: requests a second of the API against a constant route of the same server."""
    from scripts import bench_web

    for row in bench_web.rows(_say):
        yield Measured("5", *row)


def long_head(python: Path) -> Iterator[Measured]:
    """Goal 5: memory a long table of seats takes, against its own length on the way in and out."""
    few, many = (_head_memory(python, rows) for rows in (200, 20_000))
    grown, length = many[0] - few[0], many[1] - few[1]
    note = f"{many[0] / 1e6:.0f} MB at most"
    yield Measured("5", "memory, 20,000 seats", "bytes in and out", grown / length, 3.0, note)


def _head_memory(python: Path, rows: int) -> tuple[float, float]:
    """Greatest memory of `specdb head --csv` over so many rows, and bytes in and out."""
    with tempfile.TemporaryDirectory() as name:
        table, out = Path(name) / "seats.csv", Path(name) / "out.csv"
        lines = (
            f"seat {at},38.0{at % 5},6.98,{at % 300 * 80},{at // 300 * 80}" for at in range(rows)
        )
        table.write_text("\n".join(["label,bore,pilot,x,y", *lines]) + "\n")
        command = [str(python.parent / "specdb"), "head", str(table), "--csv", "--stock", "none"]
        command += ["--head", "al-si7mg-t6", "--insert", "sintered-tool-steel"]
        # the peak of a process is told by its parent, so that each has one of its own
        asked = (
            "import resource, subprocess, sys; "
            "subprocess.run(sys.argv[2:], stdout=open(sys.argv[1], 'w'), check=True); "
            "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024)"
        )
        done = subprocess.run(
            [sys.executable, "-c", asked, str(out), *command],
            check=True,
            capture_output=True,
            text=True,
        )
        return float(done.stdout), float(table.stat().st_size + out.stat().st_size)


def the_server(_: Path) -> Iterator[Measured]:
    """Goal 7: the shared server against the way to it."""
    from scripts import bench_server

    for row in bench_server.rows(_say):
        yield Measured("7", *row)


GOALS: tuple[Callable[[Path], Iterator[Measured]], ...] = (
    opening,
    lookup,
    own_sizes,
    parse_a_quantity,
    whole_process,
    long_head,
    many_joints,
    the_web,
    the_server,
)


def _best(call: Callable[[], object], number: int) -> float:
    return min(timeit.repeat(call, number=number, repeat=7)) / number


def _run(arguments: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(arguments, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def _failure(arguments: list[str]) -> str:
    """Why a command does not answer, its first line of complaint; empty if it does."""
    done = subprocess.run(arguments, capture_output=True, text=True, check=False)
    lines = (done.stderr or done.stdout).strip().splitlines() or ["no message"]
    return f"exit {done.returncode}: {lines[-1]}"[:100] if done.returncode else ""


def installed_wheel(folder: Path) -> Path:
    """The Python of an environment in `folder` with the wheel of this checkout in it."""
    wheels = folder / "wheels"
    _say("building the wheel")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--outdir", str(wheels), str(ROOT)],
        check=True,
        stdout=subprocess.DEVNULL,
    )
    _say("installing it in a throw-away environment")
    subprocess.run([sys.executable, "-m", "venv", str(folder / "venv")], check=True)
    python = folder / "venv" / "bin" / "python"
    (wheel,) = wheels.glob("*.whl")
    subprocess.run([str(python), "-m", "pip", "install", "--quiet", str(wheel)], check=True)
    return python


def table(rows: list[Measured]) -> str:
    """The rows lined up for reading."""
    lines = [
        "| goal | what | peer | ratio | at most | verdict |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for row in rows:
        ratio = "-" if row.ratio is None else f"{row.ratio:.3g}x"
        verdict = "ok" if met(row) else "MISSED"
        note = f"; {row.note}" if row.note else ""
        cells = (row.goal, row.what, row.peer, ratio, f"{row.limit:.3g}x", verdict + note)
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def met(row: Measured) -> bool:
    """Whether a goal was measured, answered rightly and within its limit."""
    return row.ratio is not None and row.ratio <= row.limit and "DIFFER" not in row.note


def _say(text: str) -> None:
    print(f"  {text}", file=sys.stderr, flush=True)


def main() -> int:
    """Measure and print; 1 if a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--here", action="store_true", help="measure this environment, no wheel")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        python = Path(sys.executable) if arguments.here else installed_wheel(Path(name))
        rows: list[Measured] = []
        for goal in GOALS:
            _say((goal.__doc__ or goal.__name__).splitlines()[0])
            rows += goal(python)
    print(table(rows))
    return 0 if all(map(met, rows)) else 1


if __name__ == "__main__":
    raise SystemExit(main())
