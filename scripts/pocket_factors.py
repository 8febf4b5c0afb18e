"""Compute how much harder a pocket squeezes a ring than the two-ring formula says.

    python -m scripts.pocket_factors --to FILE   compute the whole table (minutes) into a file
    python -m scripts.pocket_factors --check     mesh convergence, and the error of interpolation

`data/pocket_factors.csv` came from it. The model is in `pocket_model.py`.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import astuple, replace
from pathlib import Path
from typing import Any

import numpy as np

from scripts import factor_rows
from scripts.pocket_model import Case, solve
from specdb.physics import pocket
from specdb.physics.bundled import grids
from specdb.physics.pocket import POCKET

WALLS = (0.58, 0.70, 0.80, 0.88, 0.94)
HEIGHTS = (0.08, 0.13, 0.20, 0.32, 0.50)
HUBS = (0.0625, 0.20, 0.33, 0.50, 0.67, 0.80, 0.87, 0.92)
BELOW = (0.25, 0.5, 1.0, 1.8, 3.0, 5.0, 10.0)
MODULI = (0.6, 1.5, 4.0)
GRIDS = {
    "flush": (WALLS, HEIGHTS, HUBS, BELOW, MODULI),
    "flush-no-step": (WALLS, HEIGHTS, HUBS, (5.0,), MODULI),
    "mid-depth": (WALLS, HEIGHTS, HUBS, (5.0,), MODULI),
    "guide-boss": ((0.45, 0.60, 0.75, 0.88), (0.5, 0.75, 1.2, 2.0, 4.0), HUBS, (0.0,), MODULI),
}
"""Placement -> the axes of its grid, in the order of those of `POCKET`."""
SHAPES: dict[str, dict[str, float]] = {
    "flush": {},
    "flush-no-step": {"port": 1.0},
    "mid-depth": {"port": 1.0, "above": 5.0},
    "guide-boss": {"port": 1.0, "proud": 1.0},
}


def case(placement: str, ratios: Sequence[float]) -> Case:
    wall, height, hub, below, moduli = ratios
    return Case(wall, height, hub, below, moduli, **SHAPES[placement])


def compute(path: Path) -> None:
    """Solve the table and write it."""
    points = [(name, at) for name, axes in GRIDS.items() for at in itertools.product(*axes)]
    found = factor_rows.solved(solve, [case(*point) for point in points])
    table = [
        factor_rows.row(POCKET, "whdbm", point, astuple(each))
        for point, each in zip(points, found, strict=True)
    ]
    factor_rows.write(POCKET, table, path)


def convergence() -> None:
    """Print the factors of a few shapes on meshes of 4, 8 and 16 elements a height."""
    print("| placement, wall, height, hub, below, modulus | elements | factors |")
    for placement, ratios in (
        ("flush", (31 / 38, 8 / 38, 0.5, 4.0, 205 / 72)),
        ("flush", (0.94, 0.08, 0.92, 5.0, 4.0)),
        ("flush", (0.58, 0.5, 0.0625, 0.25, 0.6)),
        ("mid-depth", (31 / 38, 8 / 38, 0.5, 5.0, 205 / 72)),
        ("guide-boss", (7 / 12, 2.0, 0.5, 0.0, 1.5)),
    ):
        for cells in (4, 8, 16):
            found = astuple(solve(case(placement, ratios), cells))
            shown = " ".join(f"{at:.4f}" for at in found)
            said = ", ".join(f"{at:.3g}" for at in ratios)
            print(f"| {placement}, {said} | {cells} | {shown} |")


def left_out(seed: int, count: int, placement: str) -> list[tuple[float, ...]]:
    """Shapes inside the grid, between its points, evenly over the measures it is read in."""
    draw = np.random.default_rng(seed)
    shapes = []
    for _ in range(count):
        shape = []
        for axis, lines in zip(POCKET.axes, GRIDS[placement], strict=True):
            even = axis.name in ("wall", "hub")
            low, high = lines[0], lines[-1]
            if not even:
                low, high = (float(np.log(at or 1.0)) for at in (low, high))
            at = float(draw.uniform(low, high))
            shape.append((at if even else float(np.exp(at))) if len(lines) > 1 else lines[0])
        shapes.append(tuple(shape))
    return shapes


def interpolation(count: int = 200, seed: int = 20) -> None:
    """Print how far the table is off at shapes left out of it, and for metals it was not for."""
    draw = np.random.default_rng(seed)
    for placement, grid in grids(POCKET).items():
        shapes = left_out(seed, count if placement == "flush" else count // 4, placement)
        plain = [case(placement, shape) for shape in shapes]
        other = [
            replace(each, ring_poisson=float(a), head_poisson=float(b))
            for each, a, b in zip(plain, *draw.uniform(0.24, 0.34, (2, len(plain))), strict=True)
        ]
        ours = [astuple(pocket.factors_at(placement, grid, pocket.Shape(*at)))[:5] for at in shapes]
        for said, cases in (("same metals", plain), ("Poisson ratios 0.24 to 0.34", other)):
            theirs = np.array([astuple(found) for found in factor_rows.solved(solve, cases)])
            print(f"{placement}, {len(shapes)} shapes left out, {said}: largest, root mean square")
            report(np.array(ours) - theirs, theirs)


def report(off: Any, true: Any) -> None:
    """Print how far each factor is off, a column each."""
    for factor, each, right in zip(POCKET.factors, off.T, true.T, strict=True):
        share = each / right
        whole = f"{abs(each).max():.4f}, {np.sqrt((each**2).mean()):.4f}"
        part = f"{abs(share).max():.2%}, {np.sqrt((share**2).mean()):.2%}"
        print(f"    {factor.name}: {whole}; relative {part}")


def check() -> None:
    """Show how good the table is."""
    convergence()
    interpolation()


if __name__ == "__main__":
    factor_rows.main(__doc__ or "", compute, check)
