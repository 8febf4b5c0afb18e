"""A table of factors over a grid of shapes: where it reaches, and how it is read between points.

A table says for every crossing of a few ratios how a joint differs from the two-ring formula of
`specdb.physics.rings`. Each axis is read in the measure in which the factors run straightest.
Nothing is read beyond the table; an axis may say that what lies beyond one of its ends counts as
endless.

A pressure ratio is not interpolated itself but the give of the head, which hardly depends on the
ring: with q = ring bore / joint, Q = joint / head outside, m = ring over head
modulus, and the Poisson ratios of the tables' metals::

    c_r = ((1 + q^2) / (1 - q^2) - nu_r) / m      give of the ring, by the formula
    c_h = (1 + Q^2) / (1 - Q^2) + nu_h            give of the head, by the formula
    ratio = (c_r + c_h) / (c_r + g c_h)           g, or g c_h, is interpolated

`pocket` and `bridge` declare a table each. The figures are a release's (the answers read them from
the database) or, where none are handed over, those of `bundled`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from specdb.errors import BadRequest
from specdb.physics.grid import Grid, between
from specdb.physics.kinds import is_number
from specdb.physics.lame import beta

RING_POISSON, HEAD_POISSON = 0.29, 0.33
"""Poisson ratios the tables were computed with."""

Table = Mapping[str, Grid]
"""What `FactorTable.key` may be -> its grid, with the values of `FactorTable.factors`."""


def log(at: Any) -> Any:
    """The natural logarithm of a float or an array."""
    if is_number(at):
        return math.log(at)
    import numpy as np

    return np.log(at)


def exp(at: Any) -> Any:
    """The exponential of a float or an array."""
    if is_number(at):
        return math.exp(at)
    import numpy as np

    return np.exp(at)


class Axis(NamedTuple):
    """A ratio a table runs over: its name, in words, and the measure it is read in.

    `endless` says which end stands for everything beyond it: `low` the first (head metal wider than
    the widest), `high` the last (deeper or thicker metal than the most).
    """

    name: str
    said: str
    measure: Callable[[Any], Any] = log
    endless: Literal["", "low", "high"] = ""


class Factor(NamedTuple):
    """A figure of a table: its name, its column in the data, and the half-band of its error.

    The error is relative, or `absolute`: then in units of what the factor multiplies.
    """

    name: str
    column: str
    error: float
    absolute: bool = False


@dataclass(frozen=True, slots=True)
class FactorTable:
    """What a table is about, its axes and its factors, each in order.

    `subject` is what one shape is called; `key` what tells the grids of the table apart.
    """

    subject: str
    key: str
    axes: tuple[Axis, ...]
    factors: tuple[Factor, ...]

    @property
    def data(self) -> str:
        """The table of the data that holds the figures."""
        return f"{self.subject}_factors"

    @property
    def ratios(self) -> tuple[str, ...]:
        """The columns of the axes, in order."""
        return tuple(f"{axis.name}_ratio" for axis in self.axes)

    def grid(self, key: str, table: Table | None) -> Grid:
        """The grid `key` of `table`, or where that is None of the figures of this version.

        Raises BadRequest for a key the table does not have.
        """
        if table is None:
            from specdb.physics.bundled import grids

            table = grids(self)
        if key not in table:
            raise BadRequest(
                f"{self.key}: no {self.subject} is called {key!r}.",
                hint=f"Accepted: {', '.join(table)}.",
                field=self.key,
            )
        return table[key]

    def half_band(self, name: str, value: float) -> float:
        """How far the factor `name`, found to be `value`, may be off either way."""
        found = next(factor for factor in self.factors if factor.name == name)
        return found.error if found.absolute else found.error * abs(value)

    def outside(self, axes: Sequence[Sequence[float]], shape: Sequence[Any]) -> tuple[str, Any]:
        """Why a shape is outside `axes`, in words, or ""; and a bool, or an array of them."""
        why, out = "", False
        for axis, lines, at in zip(self.axes, axes, shape, strict=True):
            low = -math.inf if axis.endless == "low" else lines[0]
            high = math.inf if axis.endless == "high" else lines[-1]
            wrong = not low <= at <= high if is_number(at) else (at < low) | (at > high)
            if wrong is False or (wrong is not True and not wrong.any()):
                continue
            shown = at if is_number(at) else float(at[wrong].flat[0])
            why = why or f"{axis.said} is {shown:.3g}, the table runs from {lines[0]:g} to " + (
                f"{lines[-1]:g}"
            )
            out = out | wrong
        return why, out

    def inside(self, axes: Sequence[Sequence[float]], shape: Sequence[Any]) -> list[Any]:
        """The shape brought to the nearest `axes` have.

        But for an axis endless at its low end: there the formula goes on, and only the table's
        share stays that of the end (see `place`).
        """
        held = []
        for axis, lines, at in zip(self.axes, axes, shape, strict=True):
            low = 0.0 if axis.endless == "low" else lines[0]
            held.append(_clipped(at, low, lines[-1]))
        return held

    def lines(self, axes: Sequence[Sequence[float]]) -> list[list[float]]:
        """The lines of a grid in the measures of its axes; one alone has no say and stays."""
        return [
            [axis.measure(at) for at in lines] if len(lines) > 1 else list(lines)
            for axis, lines in zip(self.axes, axes, strict=True)
        ]

    def place(self, axes: Sequence[Sequence[float]], shape: Sequence[Any]) -> list[Any]:
        """The coordinates of a shape among `lines`."""
        return [
            axis.measure(_clipped(at, lines[0], math.inf)) if len(lines) > 1 else lines[0]
            for axis, lines, at in zip(self.axes, axes, shape, strict=True)
        ]

    def read(self, grid: Grid, values: Sequence[float], shape: Sequence[Any]) -> Any:
        """`values`, one for each point of `grid`, at a shape inside it."""
        return between(self.lines(grid.axes), values, self.place(grid.axes, shape))


def _clipped(at: Any, low: float, high: float) -> Any:
    return min(max(float(at), low), high) if is_number(at) else at.clip(low, high)


def ring_give(wall: Any, modulus: Any) -> Any:
    """Give of a ring by the formula, in head compliances [-]; inside over outside, ring over head
    modulus."""
    return (beta(wall, 1.0) - RING_POISSON) / modulus


def head_give(hub: Any) -> Any:
    """Give of the head by the formula, in head compliances [-]; joint over outside of the metal."""
    return beta(hub, 1.0) + HEAD_POISSON


def head_give_there(ring: Any, head: Any, ratio: Any) -> Any:
    """Give of the head where it lies, if the pressure there is `ratio` times that of the formula.

    ring, head   give by the formula; `pressure_ratio` goes the other way
    """
    return (ring + head) / ratio - ring


def pressure_ratio(ring: Any, head: Any, there: Any) -> Any:
    """Pressure over that of the formula, where the head gives `there`; see `head_give_there`."""
    return (ring + head) / (ring + there)
