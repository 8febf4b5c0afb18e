"""Curves of a material over temperature: expansion strain, and properties read from a table.

An expansion curve is a monotone piecewise cubic through its points (slopes by the weighted
harmonic mean of the neighbouring secants), so that it can be differentiated and never
shrinks on heating between two points. A table is straight between its points. Both are known
between their ends only: outside, `OutOfRange`, never a guess.

A single temperature is answered in plain Python; NumPy is imported only for arrays.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any, overload

from specdb.errors import BadRequest, OutOfRange
from specdb.physics.kinds import is_number

if TYPE_CHECKING:
    from specdb.physics.kinds import Array

Points = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Curve:
    """Expansion strain from 20 degC against temperature, with its band.

    temperatures_c   rising [degC], two or more
    strain           dimensionless, zero at the reference temperature, nowhere falling
    low, high        ends of the band at the same temperatures
    label            what the curve is of, for messages
    """

    temperatures_c: Points
    strain_points: Points
    low_points: Points
    high_points: Points
    label: str = "this curve"
    _slopes: tuple[Points, Points, Points] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        for name in ("temperatures_c", "strain_points", "low_points", "high_points"):
            object.__setattr__(self, name, tuple(float(v) for v in getattr(self, name)))
        self._check()
        rows = (self.strain_points, self.low_points, self.high_points)
        slopes = tuple(monotone_slopes(self.temperatures_c, row) for row in rows)
        object.__setattr__(self, "_slopes", slopes)

    @property
    def start_c(self) -> float:
        """Coldest known temperature [degC]."""
        return self.temperatures_c[0]

    @property
    def end_c(self) -> float:
        """Hottest known temperature [degC]."""
        return self.temperatures_c[-1]

    @overload
    def strain(self, temperature_c: float) -> float: ...
    @overload
    def strain(self, temperature_c: Array) -> Array: ...
    def strain(self, temperature_c: Any) -> Any:
        """Strain at a temperature [degC], float or array. Raises OutOfRange outside."""
        return self._cubic(temperature_c, self.strain_points, 0)

    @overload
    def low(self, temperature_c: float) -> float: ...
    @overload
    def low(self, temperature_c: Array) -> Array: ...
    def low(self, temperature_c: Any) -> Any:
        """Lower end of the strain's band at a temperature [degC]."""
        return self._cubic(temperature_c, self.low_points, 1)

    @overload
    def high(self, temperature_c: float) -> float: ...
    @overload
    def high(self, temperature_c: Array) -> Array: ...
    def high(self, temperature_c: Any) -> Any:
        """Upper end of the strain's band at a temperature [degC]."""
        return self._cubic(temperature_c, self.high_points, 2)

    @overload
    def instantaneous(self, temperature_c: float) -> float: ...
    @overload
    def instantaneous(self, temperature_c: Array) -> Array: ...
    def instantaneous(self, temperature_c: Any) -> Any:
        """Slope of the strain at a temperature [degC]: the instantaneous coefficient [1/K]."""
        return self._cubic(temperature_c, self.strain_points, 0, slope=True)

    def mean(self, start_c: float, end_c: float) -> float:
        """Mean coefficient between two temperatures [degC], on the length at 20 degC [1/K].

        At one and the same temperature it is the instantaneous coefficient.
        """
        if start_c == end_c:
            return self.instantaneous(start_c)
        return (self.strain(end_c) - self.strain(start_c)) / (end_c - start_c)

    def temperature_at(self, strain: float) -> float:
        """The temperature [degC] at which the strain is reached, to 1e-9 K.

        Where the curve is level, the coldest. Raises OutOfRange where it never gets there.
        """
        points = self.strain_points
        if not points[0] <= strain <= points[-1]:
            raise OutOfRange(
                f"{self.label}: a strain of {strain * 1e6:.0f}e-6 is not reached; known from "
                f"{points[0] * 1e6:.0f}e-6 at {self.start_c:g} degC to {points[-1] * 1e6:.0f}e-6 "
                f"at {self.end_c:g} degC only."
            )
        cold, hot = self.start_c, self.end_c
        while hot - cold > 1e-9:
            middle = 0.5 * (cold + hot)
            if middle in (cold, hot):
                break
            cold, hot = (middle, hot) if self.strain(middle) < strain else (cold, middle)
        return hot

    def _cubic(self, temperature_c: Any, values: Points, which: int, slope: bool = False) -> Any:
        slopes = self._slopes[which]
        if not is_number(temperature_c):
            return _cubic_array(self, temperature_c, values, slopes, slope)
        t = float(temperature_c)
        i = _piece(self.temperatures_c, t, self.label)
        left = self.temperatures_c[i]
        width = self.temperatures_c[i + 1] - left
        return _hermite(
            (t - left) / width, width, values[i], values[i + 1], slopes[i], slopes[i + 1], slope
        )

    def _check(self) -> None:
        check_points(self.temperatures_c, self.strain_points, self.label)
        check_points(self.temperatures_c, self.low_points, self.label)
        check_points(self.temperatures_c, self.high_points, self.label)
        steps = zip(self.strain_points, self.strain_points[1:], strict=False)
        for t, (before, after) in zip(self.temperatures_c, steps, strict=False):
            if after < before:
                raise BadRequest(
                    f"{self.label}: the strain falls on heating above {t:g} degC.",
                    hint="Accepted: a strain that rises, or stays, with temperature.",
                )
        bands = zip(self.low_points, self.strain_points, self.high_points, strict=True)
        if not all(low <= value <= high for low, value, high in bands):
            raise BadRequest(
                f"{self.label}: a strain lies outside its own band.",
                hint="Accepted: low <= strain <= high at every temperature.",
            )


@dataclass(frozen=True, slots=True)
class Table:
    """A property against temperature, straight between its points.

    temperatures_c   rising [degC], one or more; with one the table is known there only
    values           in the property's own unit
    label            what the table is of, for messages
    """

    temperatures_c: Points
    values: Points
    label: str = "this table"

    def __post_init__(self) -> None:
        for name in ("temperatures_c", "values"):
            object.__setattr__(self, name, tuple(float(v) for v in getattr(self, name)))
        check_points(self.temperatures_c, self.values, self.label, least=1)

    def at(self, temperature_c: float) -> float:
        """The property at one temperature [degC]. Raises OutOfRange outside the table."""
        return property_at(self.temperatures_c, self.values, temperature_c, self.label)


def property_at(
    temperatures_c: Sequence[float],
    values: Sequence[float],
    temperature_c: float,
    label: str = "this table",
) -> float:
    """Straight-line interpolation at one temperature [degC] between tabulated `values`.

    temperatures_c   rising [degC], as many as `values`. Raises OutOfRange outside them.
    """
    if len(temperatures_c) == 1 and temperature_c == temperatures_c[0]:
        return float(values[0])
    i = _piece(temperatures_c, temperature_c, label)
    share = (temperature_c - temperatures_c[i]) / (temperatures_c[i + 1] - temperatures_c[i])
    return float(values[i] + share * (values[i + 1] - values[i]))


def check_points(
    temperatures_c: Sequence[float], values: Sequence[float], label: str, least: int = 2
) -> None:
    """Refuse points that are too few, not finite, or not in order of rising temperature."""
    if len(temperatures_c) != len(values) or len(values) < least:
        raise BadRequest(
            f"{label}: {len(temperatures_c)} temperatures and {len(values)} values.",
            hint=f"Accepted: as many values as temperatures, {least} or more.",
        )
    if not all(map(math.isfinite, (*temperatures_c, *values))):
        raise BadRequest(f"{label}: a point is not finite.", hint="Accepted: finite numbers.")
    if any(a >= b for a, b in pairwise(temperatures_c)):
        raise BadRequest(
            f"{label}: the temperatures do not rise.",
            hint="Accepted: each temperature once, the coldest first.",
        )


def monotone_slopes(x: Sequence[float], y: Sequence[float]) -> Points:
    """Slopes at the points (x, y) that keep the cubic between them monotone.

    Inside, the weighted harmonic mean of the neighbouring secants, zero where they change sign;
    at the ends the three-point formula, held to the sign and to three times the secant.
    The usual shape-preserving cubic; the tests compare it with SciPy's.
    """
    widths = [b - a for a, b in pairwise(x)]
    secants = [(b - a) / h for a, b, h in zip(y, y[1:], widths, strict=False)]
    if len(secants) == 1:
        return (secants[0], secants[0])
    inner = [_inner_slope(*pair) for pair in _pairs(widths, secants)]
    first = _end_slope(widths[0], widths[1], secants[0], secants[1])
    last = _end_slope(widths[-1], widths[-2], secants[-1], secants[-2])
    return (first, *inner, last)


def _pairs(widths: list[float], secants: list[float]) -> list[tuple[float, float, float, float]]:
    return list(zip(widths, widths[1:], secants, secants[1:], strict=False))


def _inner_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    if d0 * d1 <= 0.0:
        return 0.0
    w0, w1 = 2.0 * h1 + h0, h1 + 2.0 * h0
    return (w0 + w1) / (w0 / d0 + w1 / d1)


def _end_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if slope * d0 <= 0.0:
        return 0.0
    if d0 * d1 <= 0.0 and abs(slope) > 3.0 * abs(d0):
        return 3.0 * d0
    return slope


def _piece(x: Sequence[float], t: float, label: str) -> int:
    """Index of the piece `t` lies in; OutOfRange where there is none."""
    if not x[0] <= t <= x[-1]:
        raise _outside(x, t, label)
    return min(bisect_right(x, t), len(x) - 1) - 1


def _outside(x: Sequence[float], t: float, label: str) -> OutOfRange:
    end = x[0] if t < x[0] else x[-1]
    return OutOfRange(
        f"{label}: known from {x[0]:g} to {x[-1]:g} degC only; {t:g} degC was asked.",
        hint=f"The nearest temperature it is known at is {end:g} degC.",
    )


def _hermite(s: Any, width: Any, y0: Any, y1: Any, m0: Any, m1: Any, slope: bool) -> Any:
    """The cubic at the share `s` of its piece, or its slope; floats and arrays alike."""
    rise = y1 - y0
    a = width * m0
    b = 3.0 * rise - width * (2.0 * m0 + m1)
    c = width * (m0 + m1) - 2.0 * rise
    if slope:
        return (a + s * (2.0 * b + s * 3.0 * c)) / width
    return y0 + s * (a + s * (b + s * c))


def _cubic_array(
    curve: Curve, temperature_c: Any, values: Points, slopes: Points, slope: bool
) -> Array:
    import numpy as np

    t = np.asarray(temperature_c, dtype=np.float64)
    x, y, m = np.array(curve.temperatures_c), np.array(values), np.array(slopes)
    outside = ~((t >= x[0]) & (t <= x[-1]))
    if outside.any():
        raise _outside(curve.temperatures_c, float(t[outside].flat[0]), curve.label)
    i = np.clip(np.searchsorted(x, t, side="right"), 1, len(x) - 1) - 1
    width = x[i + 1] - x[i]
    share = (t - x[i]) / width
    result: Array = _hermite(share, width, y[i], y[i + 1], m[i], m[i + 1], slope)
    return result
