"""Compute how much harder a pocket squeezes a ring than the two-ring formula says.

    python scripts/pocket_factors.py            compute the whole table (minutes) and write it
    python scripts/pocket_factors.py --module   print the module again from the table
    python scripts/pocket_factors.py --check    mesh convergence, and the error of interpolation

Writes `data/pocket_factors.csv`, and from it `specdb/physics/pocket_table.py` for the physics,
which reads no files. The model is in `pocket_model.py`.
"""

from __future__ import annotations

import argparse
import csv
import itertools
import math
import multiprocessing
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import astuple, replace
from pathlib import Path
from typing import TypeVar

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from scripts.pocket_model import Case, Factors, solve  # noqa: E402
from specdb.physics import pocket  # noqa: E402
from specdb.physics.grid import Grid  # noqa: E402
from specdb.records import rows  # noqa: E402

C, F = TypeVar("C"), TypeVar("F")
TABLE = "pocket_factors"
CSV = ROOT / "data" / f"{TABLE}.csv"
MODULE = ROOT / "specdb" / "physics" / "pocket_table.py"

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
"""Placement -> the axes of its grid, in the order of `specdb.physics.pocket.AXES`."""
SHAPES = {
    "flush": {},
    "flush-no-step": {"port": 1.0},
    "mid-depth": {"port": 1.0, "above": 5.0},
    "guide-boss": {"port": 1.0, "proud": 1.0},
}
RATIOS = ("wall_ratio", "height_ratio", "hub_ratio", "below_ratio", "modulus_ratio")
FACTORS = ("pressure_factor", "squeeze_bottom", "squeeze_middle", "squeeze_top", "stretch_factor")
NAMES = ("pressure", *pocket.SHAPES)


def case(placement: str, ratios: Iterable[float]) -> Case:
    return Case(*ratios, **SHAPES[placement])


def solved(solve: Callable[[C], F], cases: list[C]) -> Iterator[F]:
    """Every case solved, on all processors, in order; says on standard error how far it is."""
    with multiprocessing.Pool() as pool:
        for number, found in enumerate(pool.imap(solve, cases, chunksize=16), 1):
            if number % 100 == 0 or number == len(cases):
                print(f"\r{number} of {len(cases)}", end="", file=sys.stderr, flush=True)
            yield found
    print(file=sys.stderr)


def row(placement: str, ratios: tuple[float, ...], found: Factors) -> dict[str, str]:
    """A row of the table; the factors to four figures."""
    letters = zip("whdbm", ratios, strict=True)
    place = ".".join(f"{letter}{at:g}".replace(".", "-") for letter, at in letters)
    cells = {"id": f"pocket-factor.{placement}.{place}", "placement": placement}
    cells |= {name: f"{at:g}" for name, at in zip(RATIOS, ratios, strict=True)}
    cells |= {name: figures(at) for name, at in zip(FACTORS, astuple(found), strict=True)}
    return cells | {
        "source": "derived-pocket-factors",
        "seen": "derived",
        "basis": "stands",
        "release": "next",
    }


def figures(at: float) -> str:
    """Four figures where the number is 1 or more, else four decimals."""
    return f"{at:.3f}" if abs(at) >= 1.0 else f"{at:.4f}"


def compute() -> None:
    """Solve the table and write it."""
    wanted = [(name, at) for name, axes in GRIDS.items() for at in itertools.product(*axes)]
    found = solved(solve, [case(*each) for each in wanted])
    table = [row(*each, factors) for each, factors in zip(wanted, found, strict=True)]
    with CSV.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows.columns(TABLE), lineterminator="\n")
        writer.writeheader()
        writer.writerows(sorted(table, key=lambda cells: cells["id"]))


def grids() -> dict[str, Grid]:
    """The table as the physics takes it, from the CSV file."""
    with CSV.open(encoding="utf-8", newline="") as file:
        found = {
            (cells["placement"], *(float(cells[name]) for name in RATIOS)): cells
            for cells in csv.DictReader(file)
        }
    whole = {}
    for placement, axes in GRIDS.items():
        points = list(itertools.product(*axes))
        values = {
            name: [float(found[placement, *point][column]) for point in points]
            for name, column in zip(NAMES, FACTORS, strict=True)
        }
        whole[placement] = Grid(axes, values)
    return whole


def module() -> str:
    """The module `specdb.physics.pocket_table`: a line of figures for each wall and height."""
    return printed("pocket", grids(), from_axis=2)


def printed(subject: str, grids: Mapping[str, Grid], from_axis: int) -> str:
    """A module of grids; a line of figures runs over the axes from `from_axis`."""
    table = f"{subject}_factors"
    lines = [
        f'"""The factors of `data/{table}.csv`, printed by `scripts/{table}.py`."""',
        "",
        "# ruff: noqa: E501",
        "# fmt: off",
        "",
        "from specdb.physics.grid import Grid",
        "",
        "",
        "def _figures(text: str) -> list[float]:",
        "    return [float(figure) for figure in text.split()]",
        "",
        "",
        "TABLE = {",
    ]
    for name, grid in grids.items():
        run = math.prod(len(axis) for axis in grid.axes[from_axis:])
        axes = ", ".join(str(axis) for axis in grid.axes)
        lines += [f'    "{name}": Grid(', f"        ({axes}),", "        {"]
        for factor, values in grid.values.items():
            lines.append(f'            "{factor}": _figures("""')
            texts = [f"{value:g}" for value in values]
            lines += [" ".join(texts[at : at + run]) for at in range(0, len(texts), run)]
            lines.append('"""),')
        lines += ["        },", "    ),"]
    return "\n".join([*lines, "}", ""])


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
        for name, axis in zip(pocket.AXES, GRIDS[placement], strict=True):
            even = name in ("wall", "hub")
            low, high = (axis[0], axis[-1]) if even else np.log((axis[0] or 1.0, axis[-1] or 1.0))
            at = draw.uniform(low, high)
            shape.append(float(at if even else np.exp(at)) if len(axis) > 1 else axis[0])
        shapes.append(tuple(shape))
    return shapes


def interpolation(count: int = 200, seed: int = 20) -> None:
    """Print how far the table is off at shapes left out of it, and for metals it was not for."""
    table = grids()
    draw = np.random.default_rng(seed)
    for placement in GRIDS:
        shapes = left_out(seed, count if placement == "flush" else count // 4, placement)
        plain = [case(placement, shape) for shape in shapes]
        other = [
            replace(each, ring_poisson=float(a), head_poisson=float(b))
            for each, a, b in zip(plain, *draw.uniform(0.24, 0.34, (2, len(plain))), strict=True)
        ]
        read = [pocket.factors_at(placement, table[placement], pocket.Shape(*at)) for at in shapes]
        ours = [astuple(found)[:5] for found in read]
        for said, cases in (("same metals", plain), ("Poisson ratios 0.24 to 0.34", other)):
            theirs = np.array([astuple(found) for found in solved(solve, cases)])
            off = np.array(ours) - theirs
            print(f"{placement}, {len(shapes)} shapes left out, {said}: largest, root mean square")
            for name, each, true in zip(NAMES, off.T, theirs.T, strict=True):
                whole = f"{abs(each).max():.4f}, {np.sqrt((each**2).mean()):.4f}"
                share = each / true
                part = f"{abs(share).max():.2%}, {np.sqrt((share**2).mean()):.2%}"
                print(f"    {name}: {whole}; relative {part}")


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
