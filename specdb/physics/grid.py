"""Straight-line interpolation in a table over a grid of several axes, for floats and arrays.

A value between grid lines is the mean of the corners of its cell, each weighted by how near it is
along every axis (multilinear). Nothing here goes beyond the grid: whoever asks looks first.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from specdb.physics.kinds import is_number

if TYPE_CHECKING:
    from specdb.physics.kinds import Array

# As many at a time as stay in the cache of one core.
_BLOCK = 16384


@dataclass(frozen=True, slots=True)
class Grid:
    """`values[name]` at every crossing of `axes`, the last axis running fastest.

    Each axis rises; one of a single value has no say.
    """

    axes: tuple[tuple[float, ...], ...]
    values: Mapping[str, Sequence[float]]

    def points(self) -> list[tuple[float, ...]]:
        """The crossings, in the order of the values."""
        return list(itertools.product(*self.axes))


def cell(axis: Sequence[float], at: float) -> tuple[float, ...]:
    """The one or two values of a rising `axis` that `at`, inside it, lies between."""
    after = bisect_right(axis, at)
    if after and axis[after - 1] == at:
        return (axis[after - 1],)
    return tuple(axis[max(after - 1, 0) : after + 1])


def cut(grid: Grid, point: Sequence[Any]) -> Grid:
    """The cell of `grid` that a point of floats lies in or next to; the grid itself for arrays."""
    if not all(isinstance(at, float) for at in point):
        return grid
    axes = tuple(
        cell(axis, min(max(at, axis[0]), axis[-1]))
        for axis, at in zip(grid.axes, point, strict=True)
    )
    places = [0]
    for axis, held in zip(grid.axes, axes, strict=True):
        places = [start * len(axis) + axis.index(at) for start in places for at in held]
    return Grid(axes, {name: [each[at] for at in places] for name, each in grid.values.items()})


def between(axes: Sequence[Sequence[float]], values: Any, point: Sequence[Any]) -> Any:
    """`values` (flat, as in `Grid`) at `point`, one coordinate an axis, inside the axes.

    Floats give a float; arrays of one shape (or floats) give an array. Axes, point and values may
    be in any measure in which the values run straight between the grid lines.
    """
    if all(isinstance(at, float) for at in point):
        return _scalar(axes, values, point)
    return _arrays(axes, values, point)


def _scalar(
    axes: Sequence[Sequence[float]], values: Sequence[float], point: Sequence[float]
) -> float:
    corners = [(0, 1.0)]
    for axis, at in zip(axes, point, strict=True):
        low, share = _place(axis, at)
        steps = ((low, 1.0 - share), (low + 1, share))
        corners = [
            (start * len(axis) + step, weight * part)
            for start, weight in corners
            for step, part in steps
            if part
        ]
    return sum(values[place] * weight for place, weight in corners)


def _place(axis: Sequence[float], at: float) -> tuple[int, float]:
    """The grid line below `at` and how far `at` is from it to the next, 0 to 1."""
    if len(axis) == 1:
        return 0, 0.0
    low = min(max(bisect_right(axis, at) - 1, 0), len(axis) - 2)
    return low, (at - axis[low]) / (axis[low + 1] - axis[low])


def _arrays(axes: Sequence[Sequence[float]], values: Any, point: Sequence[Any]) -> Array:
    import numpy as np

    shape = np.broadcast_shapes(*(np.shape(at) for at in point))
    flat = [at if is_number(at) else np.broadcast_to(at, shape).reshape(-1) for at in point]
    table = np.asarray(values, dtype=np.float64)
    found = np.empty(math.prod(shape))
    for start in range(0, found.size, _BLOCK):
        part = slice(start, start + _BLOCK)
        block = [at if is_number(at) else at[part] for at in flat]
        found[part] = _block(axes, table, block)
    return found.reshape(shape)


def _block(axes: Sequence[Sequence[float]], table: Array, point: Sequence[Any]) -> Any:
    import numpy as np

    first: Any = 0
    shares, strides = [], []
    stride = len(table)
    for axis, at in zip(axes, point, strict=True):
        stride //= len(axis)
        if len(axis) == 1:
            continue
        lines = np.asarray(axis)
        low = np.searchsorted(lines[1:-1], at, side="right")
        shares.append((at - lines[low]) / (lines[low + 1] - lines[low]))
        strides.append(stride)
        first = first + low * stride
    return _corners(table, first, shares, strides)


def _corners(table: Array, first: Any, shares: list[Any], strides: list[int]) -> Any:
    """The weighted mean of the corners of the cell that begins at `first`, axis by axis."""
    if not shares:
        return table[first]
    low = _corners(table, first, shares[1:], strides[1:])
    high = _corners(table, first + strides[0], shares[1:], strides[1:])
    high = high - low
    high *= shares[0]
    high += low
    return high
