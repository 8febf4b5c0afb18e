"""Heat and chill in pairs, over plain figures: clearance, press left, verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace

from specdb.answers.joint import Joint
from specdb.estimate import Estimate, propagate
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

    def outcome(**at: float) -> dict[str, float]:
        bore = at["bore"] * (1 + at["head"] + at["head_scatter"])
        clearance = bore - at["insert_diameter"] * (1 + at["ring"] + at["ring_scatter"])
        left = max(0.0, -clearance)
        return {
            "clearance": clearance,
            "left": left,
            "force": at["friction"] * newton_per_mm * left,
        }

    found = propagate(
        outcome,
        units={"clearance": "mm", "left": "mm", "force": "N"},
        limits={
            "insert_diameter": joint.insert_diameter,
            "bore": joint.bore,
            "ring": ring.reached,
            "head": head.reached,
        },
        spreads={
            "ring_scatter": ring.scatter,
            "head_scatter": head.scatter,
            "friction": friction,
        },
    )
    steps = (joint.insert_diameter, joint.bore, ring.reached, head.reached)
    rows = tuple(row for each in (*steps, ring.scatter, head.scatter) for row in each.sources)
    clearance = replace(found["clearance"], sources=rows)
    tightest = clearance.low
    left = replace(_between(found["left"], -clearance.high, -tightest), sources=rows)
    most = friction.high * newton_per_mm * left.high
    force = _between(found["force"], friction.low * newton_per_mm * left.low, most)
    return Entry(
        clearance, left, force, _verdict(tightest, light_share * joint.cold().high, wanted)
    )


def _between(figure: Estimate, low: float, high: float) -> Estimate:
    """What is left of a press has a kink at zero, where one-at-a-time bands fall short: its band
    is that of the clearance, turned round, and never below zero."""
    low = min(figure.value, max(0.0, low))
    return Estimate(figure.value, low, max(figure.value, high, 0.0), figure.unit, figure.sources)


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
