"""How far a mean expansion between two temperatures may be off.

The band of a curve says how far the strain from 20 degC may be off at each temperature. Two
strains of one curve are not off independently: a material that expands more than the curve by
100 degC does so by 200 degC too. So the half-band of a difference is the difference of the
half-bands (on opposite sides of 20 degC, their sum), but never less than the share the stretch
has of the wider of the two: no mean over a short stretch is known better than the means from
20 degC it lies between.
"""

from __future__ import annotations

from specdb.physics.curves import Curve

ROOM_C = 20.0
NEAR = 30.0
"""Closer to 20 degC than this a mean from there is mostly reading error [K]."""


def half_between(curve: Curve, start_c: float, end_c: float) -> float:
    """Half-band of the strain gained from `start_c` to `end_c` [degC], dimensionless.

    From 20 degC it is the curve's own. Symmetric in its ends; zero where they are the same.
    Raises OutOfRange outside the curve.
    """
    start, end = _signed(curve, start_c), _signed(curve, end_c)
    share = max(_per_kelvin(curve, start_c), _per_kelvin(curve, end_c))
    if ROOM_C in (start_c, end_c):
        return abs(end - start)
    return max(abs(end - start), share * abs(end_c - start_c))


def half_at(curve: Curve, at_c: float) -> float:
    """Half-band of the strain from 20 degC to `at_c` [degC]: the wider side, dimensionless."""
    value = curve.strain(at_c)
    return max(curve.high(at_c) - value, value - curve.low(at_c))


def _signed(curve: Curve, at_c: float) -> float:
    return half_at(curve, at_c) if at_c >= ROOM_C else -half_at(curve, at_c)


def _per_kelvin(curve: Curve, at_c: float) -> float:
    """Half-band of the mean expansion from 20 degC to `at_c`; near 20 degC, of the nearest
    stretch long enough [1/K]."""
    if abs(at_c - ROOM_C) < NEAR:
        step = NEAR if at_c >= ROOM_C else -NEAR
        at_c = ROOM_C + (step if curve.start_c <= ROOM_C + step <= curve.end_c else -step)
    if not curve.start_c <= at_c <= curve.end_c or at_c == ROOM_C:
        return 0.0
    return half_at(curve, at_c) / abs(at_c - ROOM_C)
