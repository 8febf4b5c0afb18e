"""Compute what thin metal on one side of a ring does to its fit.

    python -m scripts.bridge_factors --to FILE   compute the whole table (minutes) into a file
    python -m scripts.bridge_factors --check     mesh convergence, and the error of interpolation

`data/bridge_factors.csv` came from it. The model is in `bridge_model.py`.
"""

from __future__ import annotations

import itertools
from dataclasses import astuple, replace
from pathlib import Path

import numpy as np

from scripts import factor_rows
from scripts.bridge_model import Case, solve
from specdb.physics import bridge
from specdb.physics.bridge import BRIDGE
from specdb.physics.bundled import grids

KINDS = ("edge", "neighbour")
AXES = (
    (0.58, 0.72, 0.82, 0.89, 0.94),
    (0.03, 0.045, 0.07, 0.1, 0.15, 0.22, 0.35, 0.55, 0.9, 1.5, 2.5),
    (0.6, 1.5, 4.0),
)
"""Wall, bridge and modulus ratios, in the order of the axes of `BRIDGE`."""


def compute(path: Path) -> None:
    """Solve the table and write it."""
    points = [(kind, at) for kind in KINDS for at in itertools.product(*AXES)]
    found = factor_rows.solved(solve, [Case(kind, *at) for kind, at in points])
    table = [
        factor_rows.row(BRIDGE, "wtm", point, astuple(each))
        for point, each in zip(points, found, strict=True)
    ]
    factor_rows.write(BRIDGE, table, path)


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
    table, draw = grids(BRIDGE), np.random.default_rng(seed)
    low = [np.log(axis[0]) if number else axis[0] for number, axis in enumerate(AXES)]
    high = [np.log(axis[-1]) if number else axis[-1] for number, axis in enumerate(AXES)]
    for kind in KINDS:
        shapes = [
            bridge.Shape(float(wall), float(np.exp(at)), float(np.exp(stiff)))
            for wall, at, stiff in draw.uniform(low, high, (count, 3))
        ]
        ours = np.array([astuple(bridge.factors_at(table[kind], at)) for at in shapes])
        cases = [Case(kind, *at) for at in shapes]
        theirs = np.array([astuple(each) for each in factor_rows.solved(solve, cases)])
        share = ours / theirs - 1.0
        print(f"{kind}, {count} shapes left out: largest, root mean square")
        for factor, each in zip(BRIDGE.factors, share.T, strict=True):
            print(f"    {factor.name}: {abs(each).max():.2%}, {np.sqrt((each**2).mean()):.2%}")


def check() -> None:
    """Show how good the table is."""
    convergence()
    interpolation()


if __name__ == "__main__":
    factor_rows.main(__doc__ or "", compute, check)
