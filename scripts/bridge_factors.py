"""Compute what thin metal on one side of a ring does to its fit.

    python scripts/bridge_factors.py            compute the whole table (minutes) and write it
    python scripts/bridge_factors.py --module   print the module again from the table
    python scripts/bridge_factors.py --check    mesh convergence, and the error of interpolation

Writes `data/bridge_factors.csv`, and from it `specdb/physics/bridge_table.py` for the physics,
which reads no files. The model is in `bridge_model.py`.
"""

from __future__ import annotations

import argparse
import csv
import itertools
import sys
from dataclasses import astuple, replace
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from scripts.bridge_model import Case, solve  # noqa: E402
from scripts.pocket_factors import figures, printed, solved  # noqa: E402
from specdb.physics import bridge  # noqa: E402
from specdb.physics.grid import Grid  # noqa: E402
from specdb.records import rows  # noqa: E402

TABLE = "bridge_factors"
CSV = ROOT / "data" / f"{TABLE}.csv"
MODULE = ROOT / "specdb" / "physics" / "bridge_table.py"

KINDS = ("edge", "neighbour")
AXES = (
    (0.58, 0.72, 0.82, 0.89, 0.94),
    (0.03, 0.045, 0.07, 0.1, 0.15, 0.22, 0.35, 0.55, 0.9, 1.5, 2.5),
    (0.6, 1.5, 4.0),
)
"""Wall, bridge and modulus ratios, in the order of `specdb.physics.bridge.AXES`."""
RATIOS = ("wall_ratio", "bridge_ratio", "modulus_ratio")
FACTORS = (
    "mean_pressure_factor",
    "bridge_pressure_factor",
    "bore_stretch_factor",
    "bridge_stretch_factor",
)


def compute() -> None:
    """Solve the table and write it."""
    wanted = [(kind, at) for kind in KINDS for at in itertools.product(*AXES)]
    found = solved(solve, [Case(kind, *at) for kind, at in wanted])
    table = []
    for (kind, at), factors in zip(wanted, found, strict=True):
        letters = zip("wtm", at, strict=True)
        place = ".".join(f"{letter}{value:g}".replace(".", "-") for letter, value in letters)
        cells = {"id": f"bridge-factor.{kind}.{place}", "kind": kind}
        cells |= {name: f"{value:g}" for name, value in zip(RATIOS, at, strict=True)}
        cells |= {
            name: figures(value) for name, value in zip(FACTORS, astuple(factors), strict=True)
        }
        cells |= {"source": "derived-bridge-factors", "seen": "derived"}
        table.append(cells | {"basis": "stands", "release": "next"})
    with CSV.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows.columns(TABLE), lineterminator="\n")
        writer.writeheader()
        writer.writerows(sorted(table, key=lambda cells: cells["id"]))


def grids() -> dict[str, Grid]:
    """The table as the physics takes it, from the CSV file."""
    with CSV.open(encoding="utf-8", newline="") as file:
        found = {
            (cells["kind"], *(float(cells[name]) for name in RATIOS)): cells
            for cells in csv.DictReader(file)
        }
    points = list(itertools.product(*AXES))
    return {
        kind: Grid(
            AXES,
            {
                name: [float(found[kind, *point][column]) for point in points]
                for name, column in zip(bridge.NAMES, FACTORS, strict=True)
            },
        )
        for kind in KINDS
    }


def module() -> str:
    """The module `specdb.physics.bridge_table`: a line of figures for each wall."""
    return printed("bridge", grids(), from_axis=1)


def convergence() -> None:
    """Print the factors of a few shapes on finer meshes and in a wider plate."""
    print("| kind, wall, bridge, modulus | elements in 15 degrees | plate, radii | factors |")
    for kind in KINDS:
        for at in (0.03, 0.1, 0.4, 2.0):
            case = Case(kind, 0.8, at, 1.5)
            for cells, far in ((4, 20.0), (8, 20.0), (12, 20.0), (12, 10.0)):
                found = astuple(solve(replace(case, far=far), cells))
                shown = " ".join(f"{each:.4f}" for each in found)
                print(f"| {kind}, 0.8, {at:g}, 1.5 | {cells} | {far:g} | {shown} |")


def interpolation(count: int = 24, seed: int = 20) -> None:
    """Print how far the table is off at shapes left out of it."""
    table, draw = grids(), np.random.default_rng(seed)
    low = [np.log(axis[0]) if number else axis[0] for number, axis in enumerate(AXES)]
    high = [np.log(axis[-1]) if number else axis[-1] for number, axis in enumerate(AXES)]
    for kind in KINDS:
        shapes = [
            bridge.Shape(float(wall), float(np.exp(at)), float(np.exp(stiff)))
            for wall, at, stiff in draw.uniform(low, high, (count, 3))
        ]
        ours = np.array([astuple(bridge.factors_at(table[kind], at)) for at in shapes])
        theirs = np.array(
            [astuple(each) for each in solved(solve, [Case(kind, *at) for at in shapes])]
        )
        share = ours / theirs - 1.0
        print(f"{kind}, {count} shapes left out: largest, root mean square")
        for name, each in zip(bridge.NAMES, share.T, strict=True):
            print(f"    {name}: {abs(each).max():.2%}, {np.sqrt((each**2).mean()):.2%}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="show how good the table is")
    parser.add_argument("--module", action="store_true", help="print the module again")
    given = parser.parse_args()
    if given.check:
        convergence()
        interpolation()
        return
    if not given.module:
        compute()
    MODULE.write_text(module(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
