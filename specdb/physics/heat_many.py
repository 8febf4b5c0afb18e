"""The clocks of `specdb.physics.heat` for many ways at once, for one ring: the same sums, to the
last bit, in arrays.

A way that cannot be summed like the others (outside a curve or a table) has no answer here; the
caller asks `heat` about it, which says why. What a processor may round its own way as soon as it
works on arrays (exponentials, powers) is taken one by one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from specdb.physics import air, geometry, heat
from specdb.physics.curves import Curve, Table
from specdb.physics.heat import InAir, InBore, Ring

if TYPE_CHECKING:
    from specdb.physics.kinds import Array

TO_K = 1e-9
"""How closely `Curve.temperature_at` finds a temperature."""


Way = InAir | InBore
Seconds = dict[Way, float | None]
"""Seconds of each way that could be summed; None where the ring never touches."""


def air_seconds(ring: Ring, ways: Iterable[InAir]) -> Seconds:
    """`heat.air_seconds` of every way it answers."""
    asked = list(ways)
    ends = _touching(ring, [(way.start_c, way.until_strain, way.air_c) for way in asked])
    alike: dict[tuple[float, ...], list[int]] = {}
    for at, way in enumerate(asked):
        alike.setdefault(way[2:], []).append(at)
    found: Seconds = {}
    for group in alike.values():
        same = [asked[at] for at in group]
        air_c = [way.air_c for way in same]
        gain = _gain_in_air(ring, same[0])
        found |= _summed(ring, same, [ends[at] for at in group], air_c, same[0].steps, gain)
    return found


def bore_seconds(ring: Ring, ways: Iterable[InBore]) -> Seconds:
    """`heat.bore_seconds` of every way it answers."""
    asked = list(ways)
    touch = [(way.start_c, way.bore_mm / ring.outer_mm - 1.0, way.head_c) for way in asked]
    ends = _touching(ring, touch)
    found: Seconds = {}
    for steps in {way.steps for way in asked}:
        group = [at for at, way in enumerate(asked) if way.steps == steps]
        same = [asked[at] for at in group]
        heads = [way.head_c for way in same]
        gain = _gain_in_bore(ring, same)
        found |= _summed(ring, same, [ends[at] for at in group], heads, steps, gain)
    return found


Gain: TypeAlias = "Callable[[Array, Sequence[int]], Array]"
"""Watts a ring takes up at temperatures [degC] of some ways, one a column, told by their place."""


def _gain_in_air(ring: Ring, way: InAir) -> Gain:
    surface = ring.surface_mm2 * heat.M2
    moisture = air.vapour_density_kg_m3(way.air_c, way.humidity)
    per_moisture = heat.frost_factor(way.coefficient_w_m2k, way.air_c)
    hot = (way.air_c + air.ZERO_C) ** 4

    def gain_w(at: Array, columns: Sequence[int]) -> Array:
        flux = way.coefficient_w_m2k * (way.air_c - at)
        flux += way.emissivity * heat.RADIATION * (hot - _each(_to_fourth, at + air.ZERO_C))
        if way.humidity > 0.0:
            flux += per_moisture * np.maximum(0.0, moisture - _each(air.vapour_density_kg_m3, at))
        gain: Array = surface * flux
        return gain

    return gain_w


def _gain_in_bore(ring: Ring, ways: Sequence[InBore]) -> Gain:
    wall = math.pi * ring.outer_mm * ring.height_mm * heat.M2
    face = geometry.ring_face_mm2(ring.outer_mm, ring.inner_mm) * heat.M2
    bores, heads, roughness, floors = (
        np.array([getattr(way, name) for way in ways])
        for name in ("bore_mm", "head_c", "roughness_mm", "floor_w_m2k")
    )

    def gain_w(at: Array, columns: Sequence[int]) -> Array:
        head_c = heads[columns]
        clearance = bores[columns] - ring.outer_mm * (1.0 + ring.expansion.strain(at))
        half = np.maximum(0.0, clearance) * 0.5
        film_mm = np.sqrt(_each(_squared, half + roughness[columns]))
        conductivity = _each(air.conductivity_w_mk, 0.5 * (at + head_c))
        across = wall * conductivity / (film_mm * 1e-3)
        gain: Array = (across + face * floors[columns]) * (head_c - at)
        return gain

    return gain_w


def _to_fourth(value: float) -> float:
    return float(value**4)


def _squared(value: float) -> float:
    return float(value**2)


def _each(function: Callable[[float], float], values: Array) -> Array:
    """The function at every value, one by one."""
    flat = np.fromiter(map(function, values.ravel().tolist()), np.float64, values.size)
    return flat.reshape(values.shape)


def _touching(ring: Ring, asked: Sequence[tuple[float, float, float]]) -> list[float | None]:
    """The ring's temperature as it touches, for start, strain and surroundings; None where it never
    does, not a number where `heat` has to say why that cannot be told."""
    curve = ring.expansion
    strains: dict[float, float] = {}

    def strain(at: float) -> float:
        if at not in strains:
            strains[at] = curve.strain(at)
        return strains[at]

    ends: list[float | None] = [math.nan] * len(asked)
    open_ = []
    for at, (start, until, around) in enumerate(asked):
        if not curve.start_c <= start <= curve.end_c:
            continue
        if strain(start) >= until:
            ends[at] = start
        elif curve.end_c >= around and (start >= around or strain(around) <= until):
            ends[at] = None
        elif curve.strain_points[0] <= until <= curve.strain_points[-1]:
            open_.append(at)
    if open_:
        touching = _temperatures(curve, np.array([asked[at][1] for at in open_])).tolist()
        for at, end in zip(open_, touching, strict=True):
            ends[at] = end if end < asked[at][2] else None
    return ends


def _temperatures(curve: Curve, strains: Array) -> Array:
    """`Curve.temperature_at` of strains inside the curve."""
    cold, hot = np.full_like(strains, curve.start_c), np.full_like(strains, curve.end_c)
    while (wide := hot - cold > TO_K).any():
        middle = 0.5 * (cold + hot)
        below = curve.strain(middle) < strains
        cold = np.where(wide & below, middle, cold)
        hot = np.where(wide & ~below, middle, hot)
    return hot


def _summed(
    ring: Ring,
    ways: Sequence[Way],
    ends: Sequence[float | None],
    around_c: Sequence[float],
    steps: int,
    gain_w: Gain,
) -> Seconds:
    """Seconds of the ways whose end is known, by the rule of `heat`."""
    found: Seconds = {}
    columns, spans = [], []
    for at, (way, end, around) in enumerate(zip(ways, ends, around_c, strict=True)):
        if end is None:
            found[way] = None
        elif end == way.start_c:
            found[way] = 0.0
        elif _inside(ring.specific_heat, way.start_c, end) and around != way.start_c:
            columns.append(at)
            spans.append((way.start_c, end, around))
    if columns:
        span = tuple(np.array(each) for each in zip(*spans, strict=True))
        seconds = _simpson(ring, span, steps, lambda at: gain_w(at, columns))
        found.update(zip((ways[at] for at in columns), seconds, strict=True))
    return found


def _inside(table: Table, start_c: float, end_c: float) -> bool:
    if math.isnan(end_c):
        return False
    low, high = table.temperatures_c[0], table.temperatures_c[-1]
    return low < high and low <= min(start_c, end_c) and max(start_c, end_c) <= high


def _simpson(
    ring: Ring, span: tuple[Array, ...], steps: int, gain_w: Callable[[Array], Array]
) -> list[float]:
    """Integral of m c(T) / q(T) dT over each column, as `heat` takes it; see there.

    span   start, end and surroundings of each column [degC]
    """
    starts, stops, around_c = span
    far = _each(math.log, np.abs(around_c - starts))
    near = _each(math.log, np.abs(around_c - stops))
    left = _each(math.exp, far + (near - far) * np.arange(steps + 1.0)[:, None] / steps)
    at = around_c - np.copysign(1.0, around_c - starts) * left
    at = np.minimum(np.maximum(at, np.minimum(starts, stops)), np.maximum(starts, stops))
    capacity, gain = _read(ring.specific_heat, at), np.abs(gain_w(at))
    total = np.zeros_like(starts)
    for i in range(steps + 1):
        weight = 1.0 if i in (0, steps) else 4.0 if i % 2 else 2.0
        total += weight * capacity[i] * left[i] / gain[i]
    seconds: list[float] = (ring.mass_kg * total * (far - near) / (3.0 * steps)).tolist()
    return seconds


def _read(table: Table, at: Array) -> Array:
    """`Table.at` inside the table."""
    known, values = np.array(table.temperatures_c), np.array(table.values)
    i = np.minimum(np.searchsorted(known, at, side="right"), len(known) - 1) - 1
    share = (at - known[i]) / (known[i + 1] - known[i])
    read: Array = values[i] + share * (values[i + 1] - values[i])
    return read
