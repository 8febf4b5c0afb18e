"""How far a mean expansion between two temperatures may be off.

The band of a curve says how far the strain from 20 degC may be off at each temperature. Two
strains of one curve are not off independently: a material that expands more than the curve by
100 degC does so by 200 degC too. So the half-band of a difference is, on opposite sides of
20 degC, the sum of the half-bands, and on one side their difference, but there never less than
the share the stretch has of the wider of the two: no mean over a short stretch is known better
than the means from 20 degC it lies between.
"""

from __future__ import annotations

from specdb.physics.curves import Curve, property_at

ROOM_C = 20.0
NEAR = 30.0
"""Closer to 20 degC than this a mean from there is mostly reading error [K]."""


def half_between(curve: Curve, start_c: float, end_c: float) -> float:
    """Half-band of the strain gained from `start_c` to `end_c` [degC], dimensionless.

    From 20 degC it is the curve's own at its points. Symmetric in its ends; zero where they are
    the same. Raises OutOfRange outside the curve.
    """
    start, end = _signed(curve, start_c), _signed(curve, end_c)
    if min(start_c, end_c) <= ROOM_C <= max(start_c, end_c):
        return abs(end - start)
    share = max(_per_kelvin(curve, start_c), _per_kelvin(curve, end_c))
    return max(abs(end - start), share * abs(end_c - start_c))


def half_at(curve: Curve, at_c: float) -> float:
    """Half-band of the strain from 20 degC to `at_c` [degC], dimensionless.

    The wider side at the points of the curve, straight between them: near 20 degC, where the band
    is shut, three separate cubics would cross. Raises OutOfRange outside the curve.
    """
    points = zip(curve.low_points, curve.strain_points, curve.high_points, strict=True)
    halves = [max(value - low, high - value) for low, value, high in points]
    return property_at(curve.temperatures_c, halves, at_c, curve.label)


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
