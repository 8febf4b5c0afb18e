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
head's share of the joint's give (see `specdb.physics.pocket`), of the others the logarithm of the
ratio to the mean pressure.

`half_plane_bore` and `half_plane_edge` are the classical solution for a plain pressure in a hole
beside a straight edge (from memory, of textbooks of elasticity), which knows nothing of a ring.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Generic, NamedTuple

from specdb.errors import BadRequest, OutOfRange
from specdb.physics.grid import Grid, between, cut
from specdb.physics.kinds import Rule, V, is_number, plain, require
from specdb.physics.lame import check_joint

RING_POISSON, HEAD_POISSON = 0.29, 0.33
"""Poisson ratios the table was computed with."""
PRESSURE_ERROR = 0.02
"""Half-band of a mean pressure ratio, relative: mesh, size of the plate and interpolation
together.
"""
FACING_ERROR = 0.04
"""The same for the pressure facing the bridge."""
STRETCH_ERROR = 0.06
"""The same for a stretch."""

AXES = ("wall", "bridge", "modulus")
NAMES = ("mean_pressure", "bridge_pressure", "bore_stretch", "bridge_stretch")
_SAID = {
    "wall": "ring inside over outside",
    "bridge": "bridge over diameter",
    "modulus": "stiffness of ring over head",
}


@dataclass(frozen=True, slots=True)
class Factors(Generic[V]):
    """Ratios to the two-ring formula in endless metal, floats or arrays of one shape."""

    mean_pressure: V
    bridge_pressure: V
    bore_stretch: V
    bridge_stretch: V


class Shape(NamedTuple):
    """A joint as the table knows it: ratios in the order of `AXES`."""

    wall: Any
    bridge: Any
    modulus: Any


Table = Mapping[str, Grid]
"""`edge` and `neighbour`, each with its grid of the values `NAMES`."""


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

    Floats, or arrays that broadcast. A bridge beyond the thickest of the table counts as that.
    Raises OutOfRange outside the table, BadRequest for what cannot be (two counterbores that
    overlap have no pressure to calculate).
    """
    grid = _grid(kind, table)
    shape = shape_of(joint_mm, ring_bore_mm, bridge_mm, ring_modulus_mpa, hub_modulus_mpa)
    why = outside(grid.axes, shape)
    if why:
        raise OutOfRange(f"the bridge table does not reach this joint: {why}.")
    held = inside(grid.axes, shape)
    return factors_at(cut(grid, held), held)


def shape_of(joint_mm: Any, ring_bore_mm: Any, bridge_mm: Any, ring_e: Any, hub_e: Any) -> Shape:
    """The ratios of a joint; raises BadRequest where it cannot be. Lengths [mm], moduli [MPa]."""
    d, bore, metal, e_r, e_h = map(plain, (joint_mm, ring_bore_mm, bridge_mm, ring_e, hub_e))
    check_joint(d, 0.0, bore, math.inf, e_r, RING_POISSON, e_h, HEAD_POISSON)
    require(
        {"bridge_mm": metal},
        Rule("bridge_mm", metal > 0.0, "more than 0: counterbores that do not overlap"),
    )
    return Shape(bore / d, metal / d, e_r / e_h)


def outside(axes: tuple[tuple[float, ...], ...], shape: Shape) -> str | None:
    """Why a joint is outside the table, in words, or None; thick metal never is."""
    for name, axis, at in zip(AXES, axes, shape, strict=True):
        high = math.inf if name == "bridge" else axis[-1]
        within = axis[0] <= at <= high if is_number(at) else (at >= axis[0]) & (at <= high)
        if within is True or (within is not False and within.all()):
            continue
        shown = at if is_number(at) else float(at[~within].flat[0])
        return f"{_SAID[name]} is {shown:.3g}, the table runs from {axis[0]:g} to {axis[-1]:g}"
    return None


def inside(axes: tuple[tuple[float, ...], ...], shape: Shape) -> Shape:
    """The shape with a bridge beyond the thickest of the table brought to that."""
    most, at = axis_end(axes), shape.bridge
    if is_number(at):
        return shape._replace(bridge=min(float(at), most))
    return shape._replace(bridge=at.clip(None, most))


def axis_end(axes: tuple[tuple[float, ...], ...]) -> float:
    """The thickest bridge of the table, over the diameter."""
    return axes[AXES.index("bridge")][-1]


def factors_at(grid: Grid, shape: Shape) -> Factors[Any]:
    """The ratios of a shape inside the grid, from the corners of its cell."""
    axes = [[_measure(name, at) for at in axis] for name, axis in zip(AXES, grid.axes, strict=True)]
    point = [_measure(name, at) for name, at in zip(AXES, shape, strict=True)]
    means = grid.values["mean_pressure"]
    shares = []
    for corner, ratio in zip(grid.points(), means, strict=True):
        ring = _ring(Shape(*corner))
        shares.append((ring + _HEAD) / ratio - ring)
    ring = _ring(shape)
    mean = (ring + _HEAD) / (ring + between(axes, shares, point))
    found = []
    for name in NAMES[1:]:
        over = [math.log(at / most) for at, most in zip(grid.values[name], means, strict=True)]
        found.append(_exp(between(axes, over, point)) * mean)
    return Factors(mean, *found)


def half_plane_bore(joint_mm: V, bridge_mm: V) -> V:
    """Greatest tension round a hole beside a straight edge, over the pressure in it [-].

    (e^2 + a^2) / (e^2 - a^2), a half the joint [mm], e = a + bridge [mm]; from memory
    """
    a, e = plain(joint_mm) / 2.0, plain(joint_mm) / 2.0 + plain(bridge_mm)
    return (e * e + a * a) / (e * e - a * a)  # type: ignore[no-any-return]


def half_plane_edge(joint_mm: V, bridge_mm: V) -> V:
    """Greatest tension along a straight edge beside a hole, over the pressure in it [-].

    4 a^2 / (e^2 - a^2), a half the joint [mm], e = a + bridge [mm]; from memory
    """
    a, e = plain(joint_mm) / 2.0, plain(joint_mm) / 2.0 + plain(bridge_mm)
    return 4.0 * a * a / (e * e - a * a)  # type: ignore[no-any-return]


_HEAD = 1.0 + HEAD_POISSON
"""Give of endless metal by the formula."""


def _ring(shape: Shape) -> Any:
    """Give of the ring by the formula, in head compliances."""
    square = shape.wall * shape.wall
    return ((1.0 + square) / (1.0 - square) - RING_POISSON) / shape.modulus


def _measure(name: str, at: Any) -> Any:
    """The coordinate in which the table runs straightest."""
    if name == "wall":
        # Minus the logarithm, so that it rises as the wall ratio does.
        return -_log(1.0 - at)
    return _log(at)


def _log(at: Any) -> Any:
    if is_number(at):
        return math.log(at)
    import numpy as np

    return np.log(at)


def _exp(at: Any) -> Any:
    if is_number(at):
        return math.exp(at)
    import numpy as np

    return np.exp(at)


def _grid(kind: str, table: Table | None) -> Grid:
    grids = table or _bundled()
    if kind not in grids:
        raise BadRequest(
            f"kind: no bridge is called {kind!r}.",
            hint=f"Accepted: {', '.join(grids)}.",
            field="kind",
        )
    return grids[kind]


def _bundled() -> Table:
    from specdb.physics.bridge_table import TABLE

    return TABLE
