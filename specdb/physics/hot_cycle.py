"""A press fit that yields, and what is left of it after it has been hot and cold.

Interference over diameter, at temperature, is what the pressure holds elastically plus what ring
and hub have lost for good (`specdb.physics.yielding`)::

    U / d = p (compliance / factor) + set of ring + set of hub

`factor` is how much stiffer the pocket is than the two plain rings. A set never shrinks: through
a list of states each part keeps the larger of what it had lost and of what it loses now. With one
strength this is exact; where strength changes with temperature it is first order (the tests say
how good). A part at its ceiling gives way by the whole of what is too much.

Not in it: hardening, creep and relaxation under heat, growth of an alloy by ageing, temperature
differences inside a part.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from specdb.physics import rings, yielding

_STEPS = 100
_FINE = 1e-12


@dataclass(frozen=True, slots=True)
class Sizes:
    """Diameters of a joint at the reference temperature [mm]; `hub_outer_mm` may be inf."""

    joint_mm: float
    ring_bore_mm: float
    hub_outer_mm: float


@dataclass(frozen=True, slots=True)
class State:
    """Ring and hub at their temperatures: strain from the reference [-], modulus, strength [MPa].

    A strength of `inf` is that of a part that never yields. `factor`: see the module.
    """

    ring_strain: float
    ring_modulus_mpa: float
    ring_poisson: float
    ring_yield_mpa: float
    hub_strain: float
    hub_modulus_mpa: float
    hub_poisson: float
    hub_yield_mpa: float
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Held:
    """What is left in a state: interference at temperature with the sets taken off, and pressure.

    `interference_mm` below 0 is clearance. `ring_set_mm` and `hub_set_mm` are all that was lost so
    far, on diameter.
    """

    interference_mm: float
    pressure_mpa: float
    ring_set_mm: float
    hub_set_mm: float


def press_left_after_cycle(
    sizes: Sizes, interference_mm: float, states: Iterable[State]
) -> list[Held]:
    """The fit in each state, in order, each with the sets of those before it.

    interference_mm   diametral, at the reference temperature, before anything yielded [mm]
    Raises BadRequest for sizes or constants that cannot be.
    """
    found: list[Held] = []
    ring = hub = 0.0
    for state in states:
        change = sizes.joint_mm * (state.ring_strain - state.hub_strain)
        held = held_at(sizes, state, interference_mm + change, ring_set_mm=ring, hub_set_mm=hub)
        ring, hub = held.ring_set_mm, held.hub_set_mm
        found.append(held)
    return found


def held_at(
    sizes: Sizes,
    state: State,
    interference_mm: float,
    *,
    ring_set_mm: float = 0.0,
    hub_set_mm: float = 0.0,
) -> Held:
    """Pressure and sets for an interference that is already that of the temperature [mm].

    ring_set_mm, hub_set_mm   lost before, on diameter [mm]
    """
    joint = _Joint(sizes, state, ring_set_mm / sizes.joint_mm, hub_set_mm / sizes.joint_mm)
    wanted = interference_mm / sizes.joint_mm
    pressure, ring, hub = joint.solved(wanted)
    d = sizes.joint_mm
    return Held(interference_mm - (ring + hub) * d, pressure, ring * d, hub * d)


def nearness(sizes: Sizes, state: State, interference_mm: float) -> tuple[float, float]:
    """How near ring and hub are to their first yield in a state, were they elastic [-]; 1 is there.

    interference_mm   diametral, at the reference temperature [mm]
    """
    joint = _Joint(sizes, state, 0.0, 0.0)
    change = state.ring_strain - state.hub_strain
    pressure = (interference_mm / sizes.joint_mm + change) / joint.compliance
    ring, hub = joint.begins
    return max(pressure, 0.0) / ring, max(pressure, 0.0) / hub


class _Joint:
    """One state of a joint: what a pressure takes, as interference over diameter."""

    def __init__(self, sizes: Sizes, state: State, ring_lost: float, hub_lost: float) -> None:
        self.sizes, self.state = sizes, state
        self.ring_lost, self.hub_lost = ring_lost, hub_lost
        self.compliance = compliance(sizes, state)
        self.ring_ceiling, self.hub_ceiling = ceilings(sizes, state)
        self.ring_share = sizes.ring_bore_mm / sizes.joint_mm
        self.hub_share = sizes.joint_mm / sizes.hub_outer_mm
        given = (state.ring_yield_mpa, state.hub_yield_mpa)
        self.strengths = tuple(min(strength, yielding.NEVER) for strength in given)
        shares = (self.ring_share, self.hub_share)
        self.begins = tuple(
            strength * (1.0 - share * share) / 2.0
            for strength, share in zip(self.strengths, shares, strict=True)
        )
        self.elastic = min(self.begins)

    def sets(self, pressure: float) -> tuple[float, float]:
        """What ring and hub have lost at a pressure, with what they had lost before."""
        at, (ring_yield, hub_yield) = self.state, self.strengths
        ring, hub = self.ring_lost, self.hub_lost
        if pressure > self.begins[0]:
            lost = yielding.ring_loss(pressure / ring_yield, self.ring_share)
            ring = max(ring, lost * ring_yield / at.ring_modulus_mpa)
        if pressure > self.begins[1]:
            lost = yielding.hub_loss(pressure / hub_yield, self.hub_share)
            hub = max(hub, lost * hub_yield / at.hub_modulus_mpa)
        return ring, hub

    def taken(self, pressure: float) -> float:
        """Interference over diameter that a pressure takes."""
        return pressure * self.compliance + sum(self.sets(pressure))

    def solved(self, wanted: float) -> tuple[float, float, float]:
        """Pressure, and the sets of ring and hub, that use up the interference wanted."""
        free = wanted - self.ring_lost - self.hub_lost
        most = min(self.ring_ceiling, self.hub_ceiling)
        pressure = max(0.0, free / self.compliance)
        if pressure > min(self.elastic, most):
            least = min(self.elastic, most)
            top = min(pressure, most)
            pressure = _root(lambda p: self.taken(p) - wanted, least, top)
        ring, hub = self.sets(pressure)
        # What is too much even at the ceiling goes into the part that gives way.
        over = wanted - pressure * self.compliance - ring - hub
        if pressure >= most and over > 0.0:
            if self.ring_ceiling <= self.hub_ceiling:
                ring += over
            else:
                hub += over
        return pressure, ring, hub


def compliance(sizes: Sizes, state: State) -> float:
    """Interference over diameter per MPa of pressure, in the pocket [1/MPa]."""
    plain = rings.joint_compliance(
        sizes.joint_mm,
        sizes.ring_bore_mm,
        sizes.hub_outer_mm,
        state.ring_modulus_mpa,
        state.ring_poisson,
        state.hub_modulus_mpa,
        state.hub_poisson,
    )
    return plain / state.factor


def ceilings(sizes: Sizes, state: State) -> tuple[float, float]:
    """The greatest pressures ring and hub can carry [MPa]."""
    strength = min(state.ring_yield_mpa, yielding.NEVER)
    return (
        rings.pressure_ceiling_ring(strength, sizes.ring_bore_mm, sizes.joint_mm),
        yielding.ceiling_hub(state.hub_yield_mpa, sizes.joint_mm, sizes.hub_outer_mm),
    )


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function is zero: false position that drops a stuck end's weight by half.

    At an end of the range where the function does not change sign.
    """
    at_low, at_high = function(low), function(high)
    if at_low >= 0.0:
        return low
    if at_high <= 0.0:
        return high
    side = 0
    for _ in range(_STEPS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        value = function(middle)
        if abs(value) <= _FINE * 1e-3 or high - low <= _FINE * high:
            return middle
        if value > 0.0:
            high, at_high = middle, value
            at_low *= 0.5 if side > 0 else 1.0
            side = 1
        else:
            low, at_low = middle, value
            at_high *= 0.5 if side < 0 else 1.0
            side = -1
    return 0.5 * (low + high)
