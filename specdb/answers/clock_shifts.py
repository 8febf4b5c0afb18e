"""What the seconds of a shrink fit hang on most: each condition changed alone.

The hurried end of each clock is taken (what a plan shows) and one condition changed within what
rows give; the rest stays. The definitions of the clocks' low and high are in `answers.clocks`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from specdb.answers import clocks
from specdb.answers.metals import Metal
from specdb.answers.steps import NONE
from specdb.answers.timing import Start
from specdb.errors import NoAnswer
from specdb.physics import heat
from specdb.records.shrink import ClockShift

RECKONED = "as reckoned: "
TOLD = 0.9
"""A change that leaves more than this of the seconds is not worth a word."""


@dataclass(frozen=True, slots=True)
class _Way:
    """The conditions of both clocks, as the hurried end has them."""

    convection: float = clocks.CARRIED[0]
    emissivity: float = clocks.CARRIED[1]
    humidity: float = 0.5
    roughness: float = clocks.ROUGHNESS_MM
    floor: float = clocks.FLOOR_W_M2K
    off_centre: float = 0.0
    skin_k: float = 0.0

    def air(self, start: Start) -> float | None:
        """Seconds in the hand before the ring no longer goes in."""
        ring, bore = start.ring.outer_mm, start.joint.bore.value
        return heat.air_seconds(
            start.ring,
            start_c=start.chill.at,
            until_strain=bore * (1 + start.head_strain) / ring - 1,
            air_c=start.shop.air_c,
            coefficient_w_m2k=self.convection,
            emissivity=self.emissivity,
            humidity=self.humidity,
            steps=clocks.STEPS,
        )

    def bore(self, start: Start) -> float | None:
        """Seconds in the bore before the ring seizes."""
        return heat.bore_seconds(
            start.ring,
            start_c=start.chill.at,
            bore_mm=start.joint.bore.value * (1 + start.head_strain),
            head_c=start.warm.at - self.skin_k,
            roughness_mm=self.roughness,
            floor_w_m2k=self.floor,
            off_centre=self.off_centre,
            steps=clocks.STEPS,
        )


def shifts(start: Start, head: Metal) -> tuple[ClockShift, ...]:
    """The seconds at the hurried end, and after each change of a clock that can be told."""
    usual = _Way(humidity=start.shop.humidity)
    try:
        air, bore = usual.air(start), usual.bore(start)
    except NoAnswer:
        return ()
    if not air and not bore:
        return ()
    found = [_shift(f"{RECKONED}{_pair(start)}", usual, start, "both")]
    if air:
        found += [_shift(text, replace(usual, **way), start, "air") for text, way in _of_air()]
    if not bore:
        return tuple(found)
    found += [_shift(text, replace(usual, **way), start, "bore") for text, way in _of_bore()]
    skin = _skin_k(start, head, bore)
    if skin is not None:
        text = f"skin of the counterbore cools, by {skin:.0f} K at the end; its size stays"
        found.append(_shift(text, replace(usual, skin_k=skin * 2 / 3), start, "bore"))
    return tuple(found)


def matters_most(found: tuple[ClockShift, ...]) -> str | None:
    """The change that shortens each clock most, in words."""
    if not found:
        return None
    said = []
    for name, where in (("air_seconds", "in the hand"), ("bore_seconds", "in the bore")):
        usual = getattr(found[0], name)
        told = [each for each in found[1:] if getattr(each, name) is not None]
        worst = min(told, key=lambda each: getattr(each, name), default=None)
        if worst is not None and getattr(worst, name) < TOLD * usual:
            now = getattr(worst, name)
            said.append(f"{where}: {worst.change} ({usual:.1f} s become {now:.1f} s)")
    pair = found[0].change.removeprefix(RECKONED)
    return f"{pair}: {'; '.join(said)}" if said else None


def _pair(start: Start) -> str:
    chill = "no chill" if start.chill.key == NONE else start.chill.key.replace("-", " ")
    return f"{chill}, head at {start.warm.at:g} degC"


def _of_air() -> Iterator[tuple[str, dict[str, Any]]]:
    yield "waved about or in a draught (60 W/(m2 K))", {"convection": 60.0}
    yield "held still (10 W/(m2 K))", {"convection": clocks.STILL[0]}
    yield "bare, not frosted (emissivity 0.3)", {"emissivity": clocks.STILL[1]}
    yield "air full of moisture (100 %)", {"humidity": 1.0}
    yield "dry air (0 %)", {"humidity": 0.0}


def _of_bore() -> Iterator[tuple[str, dict[str, Any]]]:
    yield "off centre, touching one side", {"off_centre": 1.0}
    yield "rough walls (0.006 mm of air when they touch)", {"roughness": 0.006}
    yield "smooth walls (0.0015 mm)", {"roughness": 0.0015}
    yield "seated hard on the floor (1000 W/(m2 K))", {"floor": 1000.0}
    yield "not yet on the floor", {"floor": 0.0}


def _shift(text: str, way: _Way, start: Start, which: str) -> ClockShift:
    air = way.air(start) if which in ("air", "both") else None
    bore = way.bore(start) if which in ("bore", "both") else None
    rows = (*(clocks.ROWS["air"] if air else ()), *(clocks.ROWS["bore"] if bore else ()))
    return ClockShift(air_seconds=air, bore_seconds=bore, sources=rows, change=text)


def _skin_k(start: Start, head: Metal, seconds: float) -> float | None:
    """How far the skin of the counterbore has cooled when the ring touches, or None where the
    metal's figures are not known."""
    names = ("thermal_conductivity", "density", "specific_heat")
    figures = [_near(head, name, start.warm.at) for name in names]
    if None in figures:
        return None
    ring = start.ring
    end = start.joint.bore.value * (1 + start.head_strain) / ring.outer_mm - 1
    warmed = ring.expansion.temperature_at(end) - start.chill.at
    middle = ring.specific_heat.at(start.chill.at + warmed / 2)
    wall = math.pi * ring.outer_mm * ring.height_mm
    given = [figure for figure in figures if figure is not None]
    return heat.skin_cooling_k(ring.mass_kg * middle * warmed, wall, seconds, *given)


def _near(head: Metal, name: str, at_c: float) -> float | None:
    """A property at a temperature, else at a milder one: it enters by its square root only."""
    for each in (at_c, 100.0, 20.0):
        try:
            return head.material.value(name, each).value
        except NoAnswer:
            continue
    return None
