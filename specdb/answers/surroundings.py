"""What the metal round a counterbore does to a fit: its pocket, and thin metal on one side.

The factors are read from the data release, only the corners of the cell they lie in. The band of
a factor is the error of the table; where nobody told how deep the metal below goes, it reaches
down to one ring height of it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from specdb.answers.press import ONE, PLAIN, Hub, Pocket, Press
from specdb.errors import NotKnown
from specdb.estimate import Estimate, plus_minus
from specdb.physics import bridge, pocket
from specdb.physics.factor_table import FactorTable
from specdb.physics.grid import Grid, cell
from specdb.records.fit import FitRequest
from specdb.store.asof import Reader
from specdb.store.query import surroundings as query

PLACEMENT = {"valve-guide": "guide-boss"}
"""Where a part sits; what is not here is a ring flush with the face."""
SHALLOW = 1.0
"""Metal below, in ring heights, that an untold depth may come down to."""
FLOORED = {"edge": 0.35, "neighbour": 0.2}
"""What a bridge costs is known of a plate. Beside a ring with metal below it is less, as the floor
carries part: in three dimensions the plate's factor to a power of 0.37 to 0.62 at an edge and 0.21
to 0.22 at a neighbour (`scripts/solid_model.py`, some seats of every day, coarse). So the product
of pocket and bridge is a low figure; its band reaches up to this power."""


class Thin(NamedTuple):
    """Thin metal on one side of a ring: `kind` as in the table, thickness in mm."""

    kind: str
    thickness: float
    factors: bridge.Factors[float]
    rows: tuple[str, ...]


class Around(NamedTuple):
    """The head metal with what it does; `factor` of the pocket alone, or None and `why`.

    `ends` is the squeeze at the ring's bottom and top over that half-way up, with the error of the
    table.
    """

    hub: Hub
    factor: Estimate | None
    why: str
    ends: tuple[Estimate, Estimate]
    thin: tuple[Thin, ...] = ()
    unreached: tuple[str, ...] = ()


def around(reader: Reader, request: FitRequest, press: Press, hub: Hub) -> Around:
    """Pocket and bridges of a ring in the head metal `hub`.

    Raises `NotKnown` for counterbores that overlap: no pressure is calculated for them.
    """
    found = _pocket(reader, request, press, hub)
    if hub.metal is not None or hub.outer < math.inf:
        return found
    thin, unreached = _bridges(reader, request, press)
    factor = math.prod(each.factors.mean_pressure for each in thin)
    shaped = found.hub.pocket
    if thin:
        rows = [row for each in thin for row in each.rows[:1]]
        spread = _relative(shaped.factor) if shaped is not PLAIN else (0.0, 0.0)
        off = math.hypot(*(bridge.PRESSURE_ERROR for _ in thin))
        floor = shaped is not PLAIN and request.part not in PLACEMENT
        most = math.prod(
            each.factors.mean_pressure ** (FLOORED[each.kind] if floor else 1.0) for each in thin
        )
        alone = shaped.factor.value
        both = Estimate(
            alone * factor,
            alone * factor * (1.0 - math.hypot(spread[0], off)),
            alone * most * (1.0 + math.hypot(spread[1], off)),
            "1",
            (*shaped.factor.sources, *rows),
        )
        shaped = replace(shaped, factor=both)
    return found._replace(hub=replace(hub, pocket=shaped), thin=thin, unreached=unreached)


def _relative(figure: Estimate) -> tuple[float, float]:
    return 1.0 - figure.low / figure.value, figure.high / figure.value - 1.0


def _pocket(reader: Reader, request: FitRequest, press: Press, hub: Hub) -> Around:
    placement = PLACEMENT.get(request.part, "flush")
    shape = pocket.shape_of(
        press.bore.value,
        press.insert_inner,
        press.height,
        hub.diameter(press.bore.value),
        press.insert.modulus.value,
        press.head.modulus.value,
        request.metal_below,
        placement,
    )
    found = _pocket_at(reader, placement, shape)
    if isinstance(found, str):
        why = f"{found}: pressure_mpa is the two-ring formula, capped where a part yields"
        return Around(hub, None, why, (ONE, ONE))
    factors, rows, nearest = found
    half = pocket.POCKET.half_band("pressure", factors.pressure)
    factor = plus_minus(factors.pressure, half, "1", rows)
    if request.metal_below is None and placement == "flush":
        factor = _untold(reader, placement, shape, factor)
    shaped = Pocket(
        replace(factor, sources=(nearest,)),
        squeeze=factors.squeeze_middle / factors.pressure,
        stretch=_over(factors, "stretch", factors.pressure, nearest),
    )
    bottom, top = (
        _over(factors, name, factors.squeeze_middle, nearest)
        for name in ("squeeze_bottom", "squeeze_top")
    )
    return Around(replace(hub, pocket=shaped), factor, "", (bottom, top))


def _over(factors: pocket.Factors[float], name: str, by: float, row: str) -> Estimate:
    """A ratio over another, with the error of the table."""
    value: float = getattr(factors, name)
    return plus_minus(value / by, pocket.POCKET.half_band(name, value) / by, "1", (row,))


def _untold(reader: Reader, placement: str, shape: pocket.Shape, factor: Estimate) -> Estimate:
    """The factor with its low end for one ring height of metal below."""
    found = _pocket_at(reader, placement, shape._replace(below=SHALLOW))
    if isinstance(found, str):
        return factor
    low = min(factor.low, found[0].pressure * (1.0 - pocket.PRESSURE_ERROR))
    return replace(factor, low=low, sources=(*factor.sources, *found[1]))


def _pocket_at(
    reader: Reader, placement: str, shape: pocket.Shape
) -> tuple[pocket.Factors[float], tuple[str, ...], str] | str:
    """Factors, their rows and the nearest row; or why there are none."""
    found = _corners(reader, pocket.POCKET, placement, shape)
    if found is None:
        return "this data release holds no pocket factors"
    if isinstance(found, str):
        return f"the pocket table does not reach this joint ({found})"
    return pocket.factors_at(placement, found.grid, shape), found.rows, found.nearest


def _bridges(
    reader: Reader, request: FitRequest, press: Press
) -> tuple[tuple[Thin, ...], tuple[str, ...]]:
    """Every piece of thin metal told that the table reaches, and a text for each it does not."""
    told = {"neighbour": request.bridge, "edge": request.edge}
    thin, unreached = [], []
    for kind, thickness in told.items():
        if thickness is None:
            continue
        if thickness <= 0.0:
            raise NotKnown(
                f"the counterbores overlap by {-thickness:.2f} mm: no pressure is calculated. Fit "
                "them in sequence; the second cut trims the first ring.",
                hint="Known for a bridge above 0.",
            )
        found = _bridge_at(reader, press, kind, thickness)
        if isinstance(found, str):
            unreached.append(found)
        else:
            thin.append(found)
    return tuple(thin), tuple(unreached)


def _bridge_at(reader: Reader, press: Press, kind: str, thickness: float) -> Thin | str:
    shape = bridge.shape_of(
        press.bore.value,
        press.insert_inner,
        thickness,
        press.insert.modulus.value,
        press.head.modulus.value,
    )
    found = _corners(reader, bridge.BRIDGE, kind, shape)
    if found is None:
        return "this data release holds no bridge factors: what the bridge costs is not in"
    if isinstance(found, str):
        return f"what the bridge costs is not in: the bridge table does not reach it ({found})"
    rows = (found.nearest, *(row for row in found.rows if row != found.nearest))
    return Thin(kind, thickness, bridge.factors_at(found.grid, shape), rows)


class _Corners(NamedTuple):
    """The cell of a table a shape lies in, as a grid of its own; its rows, and the row nearest."""

    grid: Grid
    rows: tuple[str, ...]
    nearest: str


def _corners(
    reader: Reader, table: FactorTable, key: str, shape: Sequence[float]
) -> _Corners | str | None:
    """The cell a shape lies in; why it lies in none; or None where the release has no such table.

    Only the corners of the cell are read.
    """
    lines = query.lines(reader, table.data, (table.key, key), table.ratios)
    axes = [tuple(values) for values in lines.values()]
    if not all(axes):
        return None
    why, _ = table.outside(axes, shape)
    if why:
        return why
    cells, near = [], []
    for axis, at in zip(axes, shape, strict=True):
        held = min(max(at, axis[0]), axis[-1])
        cells.append(cell(axis, held))
        near.append(min(cells[-1], key=lambda line: abs(line - held)))
    written = {
        ratio: [values[at] for at in held]
        for (ratio, values), held in zip(lines.items(), cells, strict=True)
    }
    found = query.rows(reader, table.data, (table.key, key), written)
    rows = {tuple(float(row[ratio]) for ratio in lines): row for row in found}
    corners = [rows[at] for at in itertools.product(*cells)]
    values = {
        factor.name: [float(corner[factor.column]) for corner in corners]
        for factor in table.factors
    }
    ids = tuple(corner["id"] for corner in corners)
    return _Corners(Grid(tuple(cells), values), ids, rows[tuple(near)]["id"])
