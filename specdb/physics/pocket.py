"""How much harder a pocket squeezes a ring than two plain rings of equal height would.

The metal below and around a ring in its pocket stiffens the head. The table holds, from finite
elements (`derived`), the ratio to the plane-stress formula of `specdb.physics.rings` with the same
diameters and metals: of the mean pressure, of the squeeze at the ring's bore (bottom, middle, top)
and of the stretch of the pocket wall at mid-height.

Between the points of the table it is not the ratio that is interpolated but the head's share of
the joint's give, which hardly depends on the ring: with q = ring bore / joint, Q = joint / head
outside, m = ring over head modulus, and the constants of the table's metals::

    c_r = ((1 + q^2) / (1 - q^2) - nu_r) / m      give of the ring, by the formula
    c_h = (1 + Q^2) / (1 - Q^2) + nu_h            give of the head, by the formula
    ratio = (c_r + c_h) / (c_r + g c_h)           g is interpolated

in q, log height, log c_h, log metal below, log m; for a guide, whose own ends stiffen it, the ratio
itself. Squeeze and stretch are interpolated over pressure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, cast, overload

from specdb.errors import BadRequest, OutOfRange
from specdb.physics.grid import Grid, between, cut
from specdb.physics.kinds import V, is_number, plain
from specdb.physics.lame import check_joint

if TYPE_CHECKING:
    from specdb.physics.kinds import Array

RING_POISSON, HEAD_POISSON = 0.29, 0.33
"""Poisson ratios the table was computed with."""
PRESSURE_ERROR = 0.03
"""Half-band of a pressure ratio, relative: the largest seen at shapes left out of the table, with
Poisson ratios from 0.24 to 0.34; that of the squeeze at mid-height is the same."""
EDGE_ERROR = 0.2
"""The same for the squeeze at the ring's bottom and top, in squeezes of the formula."""
STRETCH_ERROR = 0.05
"""The same for the stretch of a flush pocket, in stretches of the formula; at mid-depth 0.13."""
DEEP = 5.0
"""Metal below, in ring heights, that is meant where none is told."""

AXES = ("wall", "height", "hub", "below", "modulus")
_SAID = {
    "wall": "ring inside over outside",
    "height": "ring height over diameter",
    "hub": "joint over outside of the head metal",
    "below": "metal below the ring, in ring heights",
    "modulus": "stiffness of ring over head",
}
SHAPES = ("squeeze_bottom", "squeeze_middle", "squeeze_top", "stretch")


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
    """A joint as the table knows it: ratios in the order of `AXES`."""

    wall: Any
    height: Any
    hub: Any
    below: Any
    modulus: Any


Table = Mapping[str, Grid]
"""Placement -> its grid, with the values `pressure` and those of `SHAPES`."""


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
    grid = _grid(placement, table)
    shape = shape_of(
        joint_mm, ring_bore_mm, height_mm, hub_outer_mm, ring_modulus_mpa, hub_modulus_mpa,
        metal_below_mm, placement,
    )  # fmt: skip
    why, _ = outside(grid.axes, shape)
    if why:
        raise OutOfRange(f"the pocket table does not reach this joint: {why}.")
    held = inside(grid.axes, shape)
    return pressure_at(placement, cut(grid, held), held)


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
    grid = _grid(placement, table)
    shape = shape_of(
        joint_mm, ring_bore_mm, height_mm, hub_outer_mm, ring_modulus_mpa, hub_modulus_mpa,
        metal_below_mm, placement,
    )  # fmt: skip
    why, out = outside(grid.axes, shape)
    held = inside(grid.axes, shape)
    found = factors_at(placement, cut(grid, held), held)
    if why is None:
        return found
    if out is True:
        return Factors(1.0, 1.0, 1.0, 1.0, 1.0, why)
    import numpy as np

    each = [np.where(out, 1.0, getattr(found, name)) for name in ("pressure", *SHAPES)]
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
    _positive("height_mm", height)
    below: Any = DEEP
    if metal_below_mm is not None:
        _positive("metal_below_mm", plain(metal_below_mm), or_zero=True)
        below = plain(metal_below_mm) / height
    if placement == "guide-boss":
        if metal_below_mm is not None:
            raise BadRequest(
                "metal_below_mm: a guide goes through its boss, there is no floor below it.",
                hint="Accepted: no metal_below_mm with placement 'guide-boss'.",
                field="metal_below_mm",
            )
        return Shape(bore / d, height / d, d / outer, 0.0, e_r / e_h)
    return Shape(bore / d, height / d, d / outer, below, e_r / e_h)


def _positive(field: str, value: Any, *, or_zero: bool = False) -> None:
    ok = value >= 0.0 if or_zero else (value > 0.0) & (value < math.inf)
    if ok is True or (ok is not False and ok.all()):
        return
    shown = value if is_number(value) else float(value[~ok].flat[0])
    raise BadRequest(
        f"{field}: {shown:g} is not possible here.",
        hint="Accepted: more than 0." if not or_zero else "Accepted: 0 or more.",
        field=field,
    )


def outside(axes: tuple[tuple[float, ...], ...], shape: Shape) -> tuple[str | None, Any]:
    """Why a joint is outside the table, in words, or None; and True or an array of bools.

    Head metal beyond the last of the table is endless, metal below beyond the last is enough.
    """
    why, out = None, cast(Any, False)
    for name, axis, at in zip(AXES, axes, shape, strict=True):
        low = -math.inf if name == "hub" else axis[0]
        high = math.inf if name == "below" else axis[-1]
        wrong = (at < low) | (at > high) if not is_number(at) else not low <= at <= high
        if wrong is False or (wrong is not True and not wrong.any()):
            continue
        shown = at if is_number(at) else float(at[wrong].flat[0])
        why = (
            why or f"{_SAID[name]} is {shown:.3g}, the table runs from {axis[0]:g} to {axis[-1]:g}"
        )
        out = wrong if out is False else out | wrong
    return why, out


def inside(axes: tuple[tuple[float, ...], ...], shape: Shape) -> Shape:
    """The shape brought to the nearest the table has, but for wide head metal (see `outside`)."""
    held = []
    for name, axis, at in zip(AXES, axes, shape, strict=True):
        low = 0.0 if name == "hub" else axis[0]
        if is_number(at):
            held.append(min(max(float(at), low), axis[-1]))
        else:
            import numpy as np

            held.append(np.clip(at, low, axis[-1]))
    return Shape(*held)


def pressure_at(placement: str, grid: Grid, shape: Shape) -> Any:
    """The pressure ratio of a shape inside the grid, from the corners of its cell."""
    point = _point(grid.axes, shape)
    if placement == "guide-boss":
        return between(_measures(grid.axes), grid.values["pressure"], point)
    share = between(_measures(grid.axes), _head_shares(grid), point)
    head = _head(shape.hub)
    ring = _ring(shape)
    return (ring + head) / (ring + share * head)


def factors_at(placement: str, grid: Grid, shape: Shape) -> Factors[Any]:
    """Every ratio of a shape inside the grid."""
    pressure = pressure_at(placement, grid, shape)
    axes, point = _measures(grid.axes), _point(grid.axes, shape)
    pressures = grid.values["pressure"]
    found = []
    for name in SHAPES:
        over = [value / most for value, most in zip(grid.values[name], pressures, strict=True)]
        found.append(between(axes, over, point) * pressure)
    return Factors(pressure, *found)


def _ring(shape: Shape) -> Any:
    """Give of the ring by the formula, in head compliances."""
    square = shape.wall * shape.wall
    return ((1.0 + square) / (1.0 - square) - RING_POISSON) / shape.modulus


def _head(hub: Any) -> Any:
    """Give of the head by the formula."""
    square = hub * hub
    return (1.0 + square) / (1.0 - square) + HEAD_POISSON


def _head_shares(grid: Grid) -> list[float]:
    """Give of the head in its pocket over that of the formula, at every point of the grid."""
    shares = []
    for point, ratio in zip(grid.points(), grid.values["pressure"], strict=True):
        shape = Shape(*point)
        ring, head = _ring(shape), _head(shape.hub)
        shares.append(((ring + head) / ratio - ring) / head)
    return shares


def _measure(name: str, at: Any) -> Any:
    """The coordinate in which the table runs straightest."""
    if name == "wall":
        return at
    if name == "hub":
        at = _head(at)
    if is_number(at):
        return math.log(at)
    import numpy as np

    return np.log(at)


def _measures(axes: tuple[tuple[float, ...], ...]) -> list[list[float]]:
    return [
        [_measure(name, at) if len(axis) > 1 else at for at in axis]
        for name, axis in zip(AXES, axes, strict=True)
    ]


def _point(axes: tuple[tuple[float, ...], ...], shape: Shape) -> list[Any]:
    point = []
    for name, axis, at in zip(AXES, axes, shape, strict=True):
        if len(axis) == 1:
            point.append(axis[0])
            continue
        if name == "hub":  # endless metal: the give of the formula is its own, the share the last
            at = max(at, axis[0]) if is_number(at) else at.clip(axis[0])
        point.append(_measure(name, at))
    return point


def _grid(placement: str, table: Table | None) -> Grid:
    grids = table or _bundled()
    if placement not in grids:
        raise BadRequest(
            f"placement: no pocket is called {placement!r}.",
            hint=f"Accepted: {', '.join(grids)}.",
            field="placement",
        )
    return grids[placement]


def _bundled() -> Table:
    from specdb.physics.pocket_table import TABLE

    return TABLE
