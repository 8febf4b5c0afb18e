"""Heat and chill in pairs, over plain figures: clearance, press left, verdict."""

from __future__ import annotations

import math
from dataclasses import dataclass

from specdb.answers.joint import Joint
from specdb.estimate import Estimate
from specdb.physics import rings


@dataclass(frozen=True, slots=True)
class Expansion:
    """Strain at a step (1): `reached` bands the step's temperature, `scatter` the metal."""

    reached: Estimate
    scatter: Estimate


@dataclass(frozen=True, slots=True)
class Entry:
    """A ring at the mouth of its counterbore, hot and cold as they are; mm, N."""

    clearance: Estimate
    left: Estimate
    force: Estimate
    verdict: str


def entry(
    joint: Joint,
    ring: Expansion,
    head: Expansion,
    *,
    wanted: float,
    light_share: float,
    friction: Estimate,
    newton_per_mm: float,
) -> Entry:
    """Clearance and press left for one pair.

    wanted          clearance asked of a drop-in, mm
    light_share     share of the fit that may be left for a light press
    newton_per_mm   axial force for a friction of 1 and an interference of 1 mm (`stiffness`)
    Diameters and the temperatures of the steps are limits, expansion and friction spreads.
    """

    steps = (joint.insert_diameter, joint.bore, ring.reached, head.reached)
    rows = tuple(row for each in (*steps, ring.scatter, head.scatter) for row in each.sources)
    clearance = _clearance(joint, ring, head, rows)
    tightest = clearance.low
    value = max(0.0, -clearance.value)
    left = _from_zero(value, -clearance.high, -tightest, "mm", rows)
    low, middle, high = (
        each * newton_per_mm for each in (friction.low, friction.value, friction.high)
    )
    behind = (*rows, *friction.sources)
    force = _from_zero(middle * left.value, low * left.low, high * left.high, "N", behind)
    return Entry(
        clearance, left, force, _verdict(tightest, light_share * joint.cold().high, wanted)
    )


def _clearance(joint: Joint, ring: Expansion, head: Expansion, rows: tuple[str, ...]) -> Estimate:
    """Bore less ring, by the method of `specdb.estimate`, which a test holds it to: it is written
    out since a head asks for it some seventy times at every seat. Both sizes and both steps are
    limits, the scatter of both metals is a spread."""
    bore, outside = joint.bore, joint.insert_diameter
    wide, thick = ring.reached, head.reached
    loose, soft = ring.scatter, head.scatter
    hole = bore.value * (1 + thick.value + soft.value)
    plug = outside.value * (1 + wide.value + loose.value)
    middle = hole - plug
    limits = [
        _shift(middle, *(hole - end * (1 + wide.value + loose.value) for end in _ends(outside))),
        _shift(middle, *(end * (1 + thick.value + soft.value) - plug for end in _ends(bore))),
        _shift(middle, *(hole - outside.value * (1 + end + loose.value) for end in _ends(wide))),
        _shift(middle, *(bore.value * (1 + end + soft.value) - plug for end in _ends(thick))),
    ]
    spreads = [
        _shift(middle, *(hole - outside.value * (1 + wide.value + end) for end in _ends(loose))),
        _shift(middle, *(bore.value * (1 + thick.value + end) - plug for end in _ends(soft))),
    ]
    fall, rise = (
        sum(each[side] for each in limits) + sign * math.hypot(*(each[side] for each in spreads))
        for side, sign in ((0, -1), (1, 1))
    )
    return Estimate(middle, min(middle + fall, middle), max(middle + rise, middle), "mm", rows)


def _ends(given: Estimate) -> tuple[float, float]:
    return given.low, given.high


def _shift(middle: float, one: float, other: float) -> tuple[float, float]:
    """How far the result falls and rises as one input goes to its two ends."""
    first, second = one - middle, other - middle
    return min(first, second, 0.0), max(first, second, 0.0)


def _from_zero(value: float, low: float, high: float, unit: str, rows: tuple[str, ...]) -> Estimate:
    """What is left of a press has a kink at zero, where one-at-a-time bands fall short: its band
    is that of the clearance, turned round, and never below zero."""
    low = min(value, max(0.0, low))
    return Estimate(value, low, max(value, high, 0.0), unit, rows)


def _verdict(tightest: float, light: float, wanted: float) -> str:
    """At the tightest end: clearance there, press a light press may have, clearance wanted; mm."""
    if tightest >= wanted:
        return "drop-in"
    return "light-press" if -tightest <= light else "no"


def stiffness(
    joint: Joint,
    *,
    ring_modulus: float,
    ring_poisson: float,
    head_modulus: float,
    head_poisson: float,
) -> float:
    """Axial force for a friction of 1 and 1 mm of interference, N/mm, in endless metal (MPa in)."""
    bore = joint.bore.value
    compliance = rings.joint_compliance(
        bore,
        joint.insert_inner,
        float("inf"),
        ring_modulus,
        ring_poisson,
        head_modulus,
        head_poisson,
    )
    return rings.axial_force(1.0 / (compliance * bore), 1.0, bore, joint.height)
