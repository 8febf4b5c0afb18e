"""How much harder a pocket squeezes a ring than two plain rings of equal height would.

The metal below and around a ring in its pocket stiffens the head. The table holds, from finite
elements (`derived`), the ratio to the plane-stress formula of `specdb.physics.rings` with the same
diameters and metals: of the mean pressure, of the squeeze at the ring's bore (bottom, middle, top)
and of the stretch of the pocket wall at mid-height.

Between the points of the table the head's give over that of the formula is interpolated (see
`specdb.physics.factor_table`) in q, log height, log c_h, log metal below, log m; for a guide, whose
own ends stiffen it, the pressure ratio itself. Squeeze and stretch are interpolated over pressure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, overload

from specdb.errors import BadRequest, OutOfRange
from specdb.physics.factor_table import (
    HEAD_POISSON,
    RING_POISSON,
    Axis,
    Factor,
    FactorTable,
    Table,
    head_give,
    head_give_there,
    log,
    pressure_ratio,
    ring_give,
)
from specdb.physics.grid import Grid, cut
from specdb.physics.kinds import Rule, V, plain, require
from specdb.physics.lame import check_joint

if TYPE_CHECKING:
    from specdb.physics.kinds import Array

PRESSURE_ERROR = 0.03
"""Half-band of a pressure ratio, relative: the largest seen at shapes left out of the table, with
Poisson ratios from 0.24 to 0.34; that of the squeeze at mid-height is the same."""
EDGE_ERROR = 0.2
"""The same for the squeeze at the ring's bottom and top, in squeezes of the formula."""
STRETCH_ERROR = 0.05
"""The same for the stretch of a flush pocket, in stretches of the formula; at mid-depth 0.13."""
DEEP = 5.0
"""Metal below, in ring heights, that is meant where none is told."""

POCKET = FactorTable(
    "pocket",
    "placement",
    (
        Axis("wall", "ring inside over outside", measure=lambda at: at),
        Axis("height", "ring height over diameter"),
        Axis(
            "hub",
            "joint over outside of the head metal",
            measure=lambda at: log(head_give(at)),
            endless="low",
        ),
        Axis("below", "metal below the ring, in ring heights", endless="high"),
        Axis("modulus", "stiffness of ring over head"),
    ),
    (
        Factor("pressure", "pressure_factor", PRESSURE_ERROR),
        Factor("squeeze_bottom", "squeeze_bottom", EDGE_ERROR, absolute=True),
        Factor("squeeze_middle", "squeeze_middle", PRESSURE_ERROR),
        Factor("squeeze_top", "squeeze_top", EDGE_ERROR, absolute=True),
        Factor("stretch", "stretch_factor", STRETCH_ERROR, absolute=True),
    ),
)


@dataclass(frozen=True, slots=True)
class Factors(Generic[V]):
    """Ratios to the two-ring formula, floats or arrays of one shape.

    Outside the table all are 1 and `why` says what was outside (for arrays: the first such joint).
    """

    pressure: V
    squeeze_bottom: V
    squeeze_middle: V
    squeeze_top: V
    stretch: V
    why: str | None = None


class Shape(NamedTuple):
    """A joint as the table knows it: ratios in the order of its axes."""

    wall: Any
    height: Any
    hub: Any
    below: Any
    modulus: Any


@overload
def pressure_factor(
    *,
    joint_mm: float,
    ring_bore_mm: float,
    height_mm: float,
    hub_outer_mm: float,
    ring_modulus_mpa: float,
    hub_modulus_mpa: float,
    metal_below_mm: float | None = None,
    placement: str = "flush",
    table: Table | None = None,
) -> float: ...


@overload
def pressure_factor(
    *,
    joint_mm: float | Array,
    ring_bore_mm: float | Array,
    height_mm: float | Array,
    hub_outer_mm: float | Array,
    ring_modulus_mpa: float | Array,
    hub_modulus_mpa: float | Array,
    metal_below_mm: float | Array | None = None,
    placement: str = "flush",
    table: Table | None = None,
) -> Any: ...


def pressure_factor(
    *,
    joint_mm: Any,
    ring_bore_mm: Any,
    height_mm: Any,
    hub_outer_mm: Any,
    ring_modulus_mpa: Any,
    hub_modulus_mpa: Any,
    metal_below_mm: Any = None,
    placement: str = "flush",
    table: Table | None = None,
) -> Any:
    """Mean pressure of a ring in its pocket over the two-ring formula with the same hub [-].

    joint_mm           diameter of the joint [mm]
    ring_bore_mm       bore of the ring [mm]
    height_mm          height of the ring that sits in the head [mm]
    hub_outer_mm       outside diameter of the head metal [mm], `inf` for endless metal
    ring_modulus_mpa, hub_modulus_mpa   Young's modulus [MPa]
    metal_below_mm     head metal below the ring [mm]; None: five ring heights
    placement          `flush` (ring flush with the face, hole below of the ring's inside), or
                       `flush-no-step`, `mid-depth` (of a long bore), `guide-boss`
    table              of another data release; None: the one of this version of the program

    Floats, or arrays that broadcast. Raises OutOfRange outside the table, BadRequest for a
    joint that cannot be. The error is `PRESSURE_ERROR`.
    """
    grid = POCKET.grid(placement, table)
    shape = shape_of(
        joint_mm, ring_bore_mm, height_mm, hub_outer_mm, ring_modulus_mpa, hub_modulus_mpa,
        metal_below_mm, placement,
    )  # fmt: skip
    why, _ = POCKET.outside(grid.axes, shape)
    if why:
        raise OutOfRange(f"the pocket table does not reach this joint: {why}.")
    held = Shape(*POCKET.inside(grid.axes, shape))
    return _pressure_at(placement, cut(grid, held), held)


def factors(
    *,
    joint_mm: Any,
    ring_bore_mm: Any,
    height_mm: Any,
    hub_outer_mm: Any,
    ring_modulus_mpa: Any,
    hub_modulus_mpa: Any,
    metal_below_mm: Any = None,
    placement: str = "flush",
    table: Table | None = None,
) -> Factors[Any]:
    """Every ratio of a pocket; arguments as in `pressure_factor`.

    Outside the table the ratios are 1, the plain formula, and the result says why.
    """
    grid = POCKET.grid(placement, table)
    shape = shape_of(
        joint_mm, ring_bore_mm, height_mm, hub_outer_mm, ring_modulus_mpa, hub_modulus_mpa,
        metal_below_mm, placement,
    )  # fmt: skip
    why, out = POCKET.outside(grid.axes, shape)
    found = factors_at(placement, grid, shape)
    if not why:
        return found
    if out is True:
        return Factors(1.0, 1.0, 1.0, 1.0, 1.0, why)
    import numpy as np

    each = [np.where(out, 1.0, getattr(found, factor.name)) for factor in POCKET.factors]
    return Factors(each[0], each[1], each[2], each[3], each[4], why)


def shape_of(
    joint_mm: Any,
    ring_bore_mm: Any,
    height_mm: Any,
    hub_outer_mm: Any,
    ring_modulus_mpa: Any,
    hub_modulus_mpa: Any,
    metal_below_mm: Any,
    placement: str,
) -> Shape:
    """The ratios of a joint; raises BadRequest where it cannot be. Lengths [mm], moduli [MPa]."""
    d, bore, height, outer, e_r, e_h = (
        plain(each)
        for each in (
            joint_mm, ring_bore_mm, height_mm, hub_outer_mm, ring_modulus_mpa, hub_modulus_mpa,
        )
    )  # fmt: skip
    check_joint(d, 0.0, bore, outer, e_r, RING_POISSON, e_h, HEAD_POISSON)
    require({"height_mm": height}, Rule("height_mm", (height > 0.0) & (height < math.inf), _MORE))
    below: Any = DEEP
    if metal_below_mm is not None:
        metal = plain(metal_below_mm)
        require({"metal_below_mm": metal}, Rule("metal_below_mm", metal >= 0.0, "0 or more"))
        below = metal / height
    if placement == "guide-boss":
        if metal_below_mm is not None:
            raise BadRequest(
                "metal_below_mm: a guide goes through its boss, there is no floor below it.",
                hint="Accepted: no metal_below_mm with placement 'guide-boss'.",
                field="metal_below_mm",
            )
        below = 0.0
    return Shape(bore / d, height / d, d / outer, below, e_r / e_h)


_MORE = "more than 0"


def factors_at(placement: str, grid: Grid, shape: Shape) -> Factors[Any]:
    """Every ratio of a shape, brought inside the grid where it is not.

    grid    all of a placement's grid, or at least the cell of it the shape lies in
    """
    held = Shape(*POCKET.inside(grid.axes, shape))
    grid = cut(grid, held)
    pressure, pressures = _pressure_at(placement, grid, held), grid.values["pressure"]
    found = []
    for factor in POCKET.factors[1:]:
        over = [at / most for at, most in zip(grid.values[factor.name], pressures, strict=True)]
        found.append(POCKET.read(grid, over, held) * pressure)
    return Factors(pressure, *found)


def _pressure_at(placement: str, grid: Grid, shape: Shape) -> Any:
    """The pressure ratio of a shape inside the grid."""
    pressures = grid.values["pressure"]
    if placement == "guide-boss":
        return POCKET.read(grid, pressures, shape)
    shares = []
    for point, ratio in zip(grid.points(), pressures, strict=True):
        ring, head = _gives(Shape(*point))
        shares.append(head_give_there(ring, head, ratio) / head)
    ring, head = _gives(shape)
    return pressure_ratio(ring, head, POCKET.read(grid, shares, shape) * head)


def _gives(shape: Shape) -> tuple[Any, Any]:
    return ring_give(shape.wall, shape.modulus), head_give(shape.hub)
