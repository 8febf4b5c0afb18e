"""What thin metal on one side of a ring does: pressure lost, stretch gained at the bridge.

The table holds, from plane-stress finite elements (`derived`), ratios to the two-ring formula of
`specdb.physics.rings` in endless metal. With t the bridge (metal between joint and neighbour or
edge) and d the joint:

    mean_pressure     mean pressure round the ring
    bridge_pressure   pressure over the 15 degrees facing the bridge
    bore_stretch      greatest tension round the counterbore, over the pressure of the formula
    bridge_stretch    greatest tension on the far side of the bridge, over the same

An `edge` is free: chamber edge, plug or injector bore, an empty counterbore; drawn straight, it is
the hard case for a round one. A `neighbour` is a like counterbore with a like ring. Interpolated
in log(1 - q), q = ring bore / joint, log t/d and log of the modulus ratio: of the mean pressure the
give of the head (see `specdb.physics.factor_table`), of the others the logarithm of the ratio to
the mean pressure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Generic, NamedTuple

from specdb.errors import OutOfRange
from specdb.physics.factor_table import (
    HEAD_POISSON,
    RING_POISSON,
    Axis,
    Factor,
    FactorTable,
    Table,
    exp,
    head_give,
    head_give_there,
    log,
    pressure_ratio,
    ring_give,
)
from specdb.physics.grid import Grid, cut
from specdb.physics.kinds import Rule, V, plain, require
from specdb.physics.lame import check_joint

PRESSURE_ERROR = 0.02
"""Half-band of a mean pressure ratio, relative: mesh, size of the plate and interpolation
together.
"""
FACING_ERROR = 0.04
"""The same for the pressure facing the bridge."""
STRETCH_ERROR = 0.06
"""The same for a stretch."""

BRIDGE = FactorTable(
    "bridge",
    "kind",
    (
        # Minus the logarithm, so that it rises as the wall ratio does.
        Axis("wall", "ring inside over outside", measure=lambda at: -log(1.0 - at)),
        Axis("bridge", "bridge over diameter", endless="high"),
        Axis("modulus", "stiffness of ring over head"),
    ),
    (
        Factor("mean_pressure", "mean_pressure_factor", PRESSURE_ERROR),
        Factor("bridge_pressure", "bridge_pressure_factor", FACING_ERROR),
        Factor("bore_stretch", "bore_stretch_factor", STRETCH_ERROR),
        Factor("bridge_stretch", "bridge_stretch_factor", STRETCH_ERROR),
    ),
)


@dataclass(frozen=True, slots=True)
class Factors(Generic[V]):
    """Ratios to the two-ring formula in endless metal, floats or arrays of one shape."""

    mean_pressure: V
    bridge_pressure: V
    bore_stretch: V
    bridge_stretch: V


class Shape(NamedTuple):
    """A joint as the table knows it: ratios in the order of its axes."""

    wall: Any
    bridge: Any
    modulus: Any


def factors(
    *,
    joint_mm: Any,
    ring_bore_mm: Any,
    bridge_mm: Any,
    ring_modulus_mpa: Any,
    hub_modulus_mpa: Any,
    kind: str = "edge",
    table: Table | None = None,
) -> Factors[Any]:
    """The ratios of a ring beside thin metal.

    joint_mm       diameter of the joint [mm]
    ring_bore_mm   bore of the ring [mm]
    bridge_mm      metal between this counterbore and the edge or the neighbour [mm], above 0
    ring_modulus_mpa, hub_modulus_mpa   Young's modulus [MPa]
    kind           `edge` or `neighbour`
    table          of another data release; None: the one of this version of the program

    Floats, or arrays that broadcast. A bridge beyond the thickest of the table counts as that.
    Raises OutOfRange outside the table, BadRequest for what cannot be (two counterbores that
    overlap have no pressure to calculate).
    """
    grid = BRIDGE.grid(kind, table)
    shape = shape_of(joint_mm, ring_bore_mm, bridge_mm, ring_modulus_mpa, hub_modulus_mpa)
    why, _ = BRIDGE.outside(grid.axes, shape)
    if why:
        raise OutOfRange(f"the bridge table does not reach this joint: {why}.")
    return factors_at(grid, shape)


def shape_of(joint_mm: Any, ring_bore_mm: Any, bridge_mm: Any, ring_e: Any, hub_e: Any) -> Shape:
    """The ratios of a joint; raises BadRequest where it cannot be. Lengths [mm], moduli [MPa]."""
    d, bore, metal, e_r, e_h = map(plain, (joint_mm, ring_bore_mm, bridge_mm, ring_e, hub_e))
    check_joint(d, 0.0, bore, math.inf, e_r, RING_POISSON, e_h, HEAD_POISSON)
    require(
        {"bridge_mm": metal},
        Rule("bridge_mm", metal > 0.0, "more than 0: counterbores that do not overlap"),
    )
    return Shape(bore / d, metal / d, e_r / e_h)


def factors_at(grid: Grid, shape: Shape) -> Factors[Any]:
    """The ratios of a shape, brought inside the grid where it is not.

    grid    all of a kind's grid, or at least the cell of it the shape lies in
    """
    held = Shape(*BRIDGE.inside(grid.axes, shape))
    grid = cut(grid, held)
    means, head = grid.values["mean_pressure"], head_give(0.0)
    gives = [
        head_give_there(_ring(Shape(*point)), head, ratio)
        for point, ratio in zip(grid.points(), means, strict=True)
    ]
    mean = pressure_ratio(_ring(held), head, BRIDGE.read(grid, gives, held))
    found = []
    for factor in BRIDGE.factors[1:]:
        over = [math.log(at / m) for at, m in zip(grid.values[factor.name], means, strict=True)]
        found.append(exp(BRIDGE.read(grid, over, held)) * mean)
    return Factors(mean, *found)


def _ring(shape: Shape) -> Any:
    return ring_give(shape.wall, shape.modulus)
