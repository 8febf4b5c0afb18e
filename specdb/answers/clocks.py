"""The two clocks of a shrink fit: in the air, and once in the bore, until the ring would touch.

Each is shown between two ways of working. Air: `low` is a frosted ring carried through the shop,
`high` a dry, bare one in still air. Bore: `low` is with the floor of the counterbore touching one
face, `high` without. Stated tolerances of the diameters widen both ends; the value is the
geometric mean of the ends at the diameters given.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

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


class Sums(Protocol):
    """What adds up the seconds of a ring: `specdb.physics.heat`, or what did so ahead."""

    def air(self, ring: heat.Ring, way: heat.InAir) -> float | None:
        """Seconds in the air."""
        ...

    def bore(self, ring: heat.Ring, way: heat.InBore) -> float | None:
        """Seconds in the bore."""
        ...


class OneByOne:
    """Every clock as it is asked for."""

    def air(self, ring: heat.Ring, way: heat.InAir) -> float | None:
        """Seconds in the air."""
        return heat.air_seconds(ring, **way._asdict())

    def bore(self, ring: heat.Ring, way: heat.InBore) -> float | None:
        """Seconds in the bore."""
        return heat.bore_seconds(ring, **way._asdict())


ONE_BY_ONE = OneByOne()


class Ahead:
    """Every clock of one ring at once, for work of many seats: what is asked before `add_up` is
    only noted and answered by a second; asked again, it is there. The same sums to the last bit.
    """

    def __init__(self, ring: heat.Ring) -> None:
        self._ring = ring
        self._air: set[heat.InAir] = set()
        self._bore: set[heat.InBore] = set()
        self._found: Mapping[heat.InAir | heat.InBore, float | None] | None = None

    def add_up(self) -> None:
        """Sum what was noted."""
        from specdb.physics import heat_many

        in_air = heat_many.air_seconds(self._ring, self._air)
        self._found = in_air | heat_many.bore_seconds(self._ring, self._bore)

    def air(self, ring: heat.Ring, way: heat.InAir) -> float | None:
        """Seconds in the air."""
        if self._found is None:
            self._air.add(way)
            return 1.0
        return self._found[way] if way in self._found else ONE_BY_ONE.air(ring, way)

    def bore(self, ring: heat.Ring, way: heat.InBore) -> float | None:
        """Seconds in the bore."""
        if self._found is None:
            self._bore.add(way)
            return 1.0
        return self._found[way] if way in self._found else ONE_BY_ONE.bore(ring, way)


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
    sums: Sums = ONE_BY_ONE,
) -> Estimate | None:
    """Seconds from the cold until the ring would touch the bore, or (`press_mm`) until so much
    press is there again; None where it never comes to that.
    """

    def seconds(
        outside: float, bore: float, way: tuple[float, float], humid: float
    ) -> float | None:
        until = (bore * (1 + head_strain) + press_mm) / outside - 1
        return sums.air(ring, heat.InAir(start_c, until, shop.air_c, *way, humid, STEPS))

    return _between(
        joint,
        lambda outside, bore: seconds(outside, bore, CARRIED, shop.humidity),
        lambda outside, bore: seconds(outside, bore, STILL, 0.0),
        ROWS["air"],
    )


def in_bore(
    ring: heat.Ring,
    joint: Joint,
    *,
    start_c: float,
    head_c: float,
    head_strain: float,
    sums: Sums = ONE_BY_ONE,
) -> Estimate | None:
    """Seconds in the bore until no clearance is left; None where some is left for good."""

    def seconds(outside: float, bore: float, floor: float) -> float | None:
        # The tightest ring differs from the one in hand by its clearance, not by its mass.
        at = bore * (1 + head_strain) * ring.outer_mm / outside
        return sums.bore(ring, heat.InBore(start_c, at, head_c, ROUGHNESS_MM, floor, STEPS))

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
