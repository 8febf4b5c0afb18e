"""Sizes of rings, counterbores and settings, and figures rounded for people at a machine.

Lengths in mm, diameters unless said otherwise. Nothing here needs a material.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from specdb.errors import BadRequest
from specdb.physics.kinds import V, plain

BORE_STEP_MM = 0.005
"""What a bore is asked for in [mm]."""

BORE_STEP_IN = 0.00508
"""The same for an inch micrometer, 0.0002 in [mm]."""


def ring_face_mm2(outer_mm: V, inner_mm: V) -> V:
    """Area of one flat face of a ring [mm2]; outer_mm, inner_mm [mm]."""
    outer, inner = plain(outer_mm), plain(inner_mm)
    face: V = math.pi / 4.0 * (outer - inner) * (outer + inner)
    return face


def ring_volume_mm3(outer_mm: V, inner_mm: V, height_mm: V) -> V:
    """Volume of a ring [mm3]; outer_mm, inner_mm, height_mm [mm]."""
    volume: V = ring_face_mm2(outer_mm, inner_mm) * plain(height_mm)
    return volume


def ring_surface_mm2(outer_mm: V, inner_mm: V, height_mm: V) -> V:
    """Whole surface of a ring, both walls and both faces [mm2]; all lengths [mm]."""
    walls = math.pi * (plain(outer_mm) + plain(inner_mm)) * plain(height_mm)
    surface: V = walls + 2.0 * ring_face_mm2(outer_mm, inner_mm)
    return surface


def check_ring(outer_mm: float, inner_mm: float, height_mm: float) -> None:
    """Refuse a ring that cannot be: outside, bore, height [mm]."""
    if not 0.0 < outer_mm < math.inf:
        _refuse("outer_mm", outer_mm, "an outside diameter above 0 mm")
    if not 0.0 <= inner_mm < outer_mm:
        _refuse("inner_mm", inner_mm, f"0 or more, and less than the outside ({outer_mm:g} mm)")
    if not 0.0 < height_mm < math.inf:
        _refuse("height_mm", height_mm, "a height above 0 mm")


def tip_over_pilot_mm(pilot_mm: V, bore_mm: V) -> V:
    """What a micrometer reads over the pilot and the tip of the tool [mm]: (pilot + bore) / 2.

    pilot_mm   diameter of the pilot where the micrometer rests, measured [mm]
    bore_mm    diameter the tool is to bore [mm]
    """
    reading: V = (plain(pilot_mm) + plain(bore_mm)) * 0.5
    return reading


def bridge_mm(
    first_xy_mm: tuple[float, float],
    first_mm: float,
    second_xy_mm: tuple[float, float],
    second_mm: float,
) -> float:
    """Metal between two round holes [mm]; negative where they overlap.

    first_xy_mm, second_xy_mm   their centres [mm]
    first_mm, second_mm         their diameters [mm]
    """
    apart = math.hypot(second_xy_mm[0] - first_xy_mm[0], second_xy_mm[1] - first_xy_mm[1])
    return apart - 0.5 * (first_mm + second_mm)


@dataclass(frozen=True, slots=True)
class Measured:
    """What the readings of a bore come to [mm]; `taper_mm` is None with readings at one depth."""

    mean_mm: float
    smallest_mm: float
    largest_mm: float
    ovality_mm: float
    taper_mm: float | None


def measured(*levels: Sequence[float]) -> Measured:
    """Mean, ends, ovality and taper of the readings of one bore, in whatever order they were taken.

    levels   readings [mm], one sequence for each depth measured at; one sequence alone is all the
             readings together, whose whole spread then counts as ovality

    Ovality is the greatest spread at one depth, taper the spread of the means of the depths.
    Raises BadRequest without a reading or with one that is no diameter.
    """
    readings = sorted(reading for level in levels for reading in level)
    if not readings or not all(level for level in levels):
        raise BadRequest("no bore reading was given.", hint="Accepted: one reading or more.")
    if not 0.0 < readings[0] <= readings[-1] < math.inf or any(map(math.isnan, readings)):
        _refuse("bore", readings[0], "readings above 0 mm")
    means = [_mean(level) for level in levels]
    return Measured(
        mean_mm=_mean(readings),
        smallest_mm=readings[0],
        largest_mm=readings[-1],
        ovality_mm=_tidy(max(max(level) - min(level) for level in levels)),
        taper_mm=_tidy(max(means) - min(means)) if len(levels) > 1 else None,
    )


def _mean(values: Sequence[float]) -> float:
    # fsum is exact before it rounds, so the order of the readings cannot show.
    return math.fsum(values) / len(values)


def inward(low_mm: float, high_mm: float, step_mm: float) -> tuple[float, float] | None:
    """Both limits [mm] moved inward to whole steps [mm]; None where no whole step lies between."""
    least, most = _up(low_mm / step_mm), _down(high_mm / step_mm)
    if least > most:
        return None
    return _tidy(least * step_mm), _tidy(most * step_mm)


def to_setting(length_mm: float) -> float:
    """A setting [mm] to the nearest 0.01 mm."""
    return _tidy(math.floor(length_mm / 0.01 + 0.5) * 0.01)


def to_temperature(temperature_c: float) -> float:
    """A temperature [degC] to the nearest 5 degC."""
    return 5.0 * math.floor(temperature_c / 5.0 + 0.5)


def _up(steps: float) -> int:
    # A limit that is a whole step but for the last bit of its quotient is that whole step.
    return math.ceil(steps - 1e-6)


def _down(steps: float) -> int:
    return math.floor(steps + 1e-6)


def _tidy(length_mm: float) -> float:
    """Without the binary tail of the last operation: a nanometre is finer than any figure here."""
    return round(length_mm, 6) + 0.0


def _refuse(field: str, value: float, accepted: str) -> None:
    raise BadRequest(
        f"{field}: {value:g} is not possible here.", hint=f"Accepted: {accepted}.", field=field
    )
