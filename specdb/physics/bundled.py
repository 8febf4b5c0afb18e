"""The tables of factors of this version of the program, for a caller who has no database open.

The one place where physics reads files: the figures stand once, in `data/pocket_factors.csv` and
`data/bridge_factors.csv`, computed by `scripts/pocket_factors.py` and `scripts/bridge_factors.py`.
What was withdrawn is left out, drafts are in. An answer never comes here: it reads the rows of its
data release.
"""

from __future__ import annotations

import csv
import functools
import itertools
from collections.abc import Iterator
from pathlib import Path

from specdb.physics.factor_table import FactorTable
from specdb.physics.grid import Grid


@functools.cache
def grids(table: FactorTable) -> dict[str, Grid]:
    """Every grid of a table, by what `table.key` may be.

    Costs some milliseconds the first time. Raises StoreError where the data are missing.
    """
    from specdb.store import assets

    folder = assets.data()
    gone = {row["withdrawn"] for row in _rows(folder / "withdrawals.csv")}
    points: dict[str, dict[tuple[float, ...], list[float]]] = {}
    for row in _rows(folder / f"{table.data}.csv"):
        if row["basis"] == "stands" and row["id"] not in gone:
            at = tuple(float(row[ratio]) for ratio in table.ratios)
            figures = [float(row[factor.column]) for factor in table.factors]
            points.setdefault(row[table.key], {})[at] = figures
    return {key: _grid(table, found) for key, found in points.items()}


def _rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def _grid(table: FactorTable, points: dict[tuple[float, ...], list[float]]) -> Grid:
    axes = tuple(tuple(sorted(set(along))) for along in zip(*points, strict=True))
    crossings = [points[at] for at in itertools.product(*axes)]
    by_factor = [list(figures) for figures in zip(*crossings, strict=True)]
    names = [factor.name for factor in table.factors]
    return Grid(axes, dict(zip(names, by_factor, strict=True)))
