"""The two clocks of a shrink fit: in the air, and once in the bore, until the ring would touch.

Each is shown between two ways of working. Air: `low` is a frosted ring carried through the shop,
`high` a dry, bare one in still air. Bore: `low` is with the floor of the counterbore touching one
face, `high` without. Stated tolerances of the diameters widen both ends; the value is the
geometric mean of the ends at the diameters given.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from specdb.answers.joint import Joint
from specdb.estimate import Estimate
from specdb.physics import heat

CARRIED = (25.0, 0.95)
"""Convection, W/(m2 K), and emissivity of a frosted ring carried through the shop."""
STILL = (10.0, 0.3)
"""The same for a bare, dry ring in still air."""
FLOOR_W_M2K = 500.0
ROUGHNESS_MM = 0.003
STEPS = 32
"""Of the integrals: within half a per cent, far inside the band."""
ROWS = {
    "air": (
        "heat.h-free-convection-gas",
        "heat.h-forced-convection-gas",
        "heat.emissivity-frost",
        "heat.emissivity-steel-worked",
        "heat.frost-latent-equivalent",
    ),
    "bore": ("heat.h-contact-dry-moderate", "heat.h-gap-air"),
}
"""The rows these figures were chosen from."""


@dataclass(frozen=True, slots=True)
class Shop:
    """Air of the shop: degC, and relative humidity from 0 to 1."""

    air_c: float
    humidity: float


def in_air(
    ring: heat.Ring,
    joint: Joint,
    *,
    start_c: float,
    head_strain: float,
    shop: Shop,
    press_mm: float = 0.0,
) -> Estimate | None:
    """Seconds from the cold until the ring would touch the bore, or (`press_mm`) until so much
    press is there again; None where it never comes to that.
    """

    def seconds(
        outside: float, bore: float, way: tuple[float, float], humid: float
    ) -> float | None:
        return heat.air_seconds(
            ring,
            start_c=start_c,
            until_strain=(bore * (1 + head_strain) + press_mm) / outside - 1,
            air_c=shop.air_c,
            coefficient_w_m2k=way[0],
            emissivity=way[1],
            humidity=humid,
            steps=STEPS,
        )

    return _between(
        joint,
        lambda outside, bore: seconds(outside, bore, CARRIED, shop.humidity),
        lambda outside, bore: seconds(outside, bore, STILL, 0.0),
        ROWS["air"],
    )


def in_bore(
    ring: heat.Ring, joint: Joint, *, start_c: float, head_c: float, head_strain: float
) -> Estimate | None:
    """Seconds in the bore until no clearance is left; None where some is left for good."""

    def seconds(outside: float, bore: float, floor: float) -> float | None:
        # The tightest ring differs from the one in hand by its clearance, not by its mass.
        at = bore * (1 + head_strain) * ring.outer_mm / outside
        return heat.bore_seconds(
            ring,
            start_c=start_c,
            bore_mm=at,
            head_c=head_c,
            roughness_mm=ROUGHNESS_MM,
            floor_w_m2k=floor,
            steps=STEPS,
        )

    return _between(
        joint,
        lambda outside, bore: seconds(outside, bore, FLOOR_W_M2K),
        lambda outside, bore: seconds(outside, bore, 0.0),
        ROWS["bore"],
    )


Clock = Callable[[float, float], float | None]
"""Seconds for an outside and a bore diameter, mm."""


def _between(joint: Joint, hurried: Clock, calm: Clock, rows: tuple[str, ...]) -> Estimate | None:
    """`hurried` at the tightest diameters to `calm` at the loosest."""
    ring, bore = joint.insert_diameter, joint.bore
    soon, late = hurried(ring.value, bore.value), calm(ring.value, bore.value)
    if soon is None or late is None:
        return None
    first, last = soon, late
    if joint.cold().low < joint.cold().high:
        tight, loose = hurried(ring.high, bore.low), calm(ring.low, bore.high)
        first = soon if tight is None else min(soon, tight)
        last = late if loose is None else max(late, loose)
    return Estimate(math.sqrt(soon * late), first, last, "s", rows)
