"""How long a chilled ring stays small, in the air and in the bore.

The ring is lumped: one temperature all through, good while its Biot number h (V / A) / k is below
0.1 (an insert in air is at 0.003). In the bore, where the film of air is thin, the skin warms first
and a few per cent of the time are missing: on the safe side. The surroundings keep their
temperature, so time is an integral over the ring's temperature, seconds = integral of m c(T) / q(T)
dT, taken with Simpson's rule over the logarithm of the difference to the surroundings; twice as
many steps change the result by less than 0.1 %.

Lengths in mm, temperatures in degC; surface coefficients come in W/(m2 K), densities in kg/m3 and
specific heats in J/(kg K), the units of their tables, and are converted here. Scalars only.
Unvalidated as a whole: no measured seizure time of a shrink fit is known. A ring that goes in
crooked or on a burr, and fingers or a bench it lies on, are faster than all of this.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from specdb.errors import BadRequest
from specdb.physics import air, geometry
from specdb.physics.curves import Curve, Table

STEPS = 64
"""Steps of the integrals over temperature; even."""

RADIATION = 5.670374419e-8  # W/(m2 K4), by definition of the SI
_SUBLIMATION = 2.84e6  # J/kg, water vapour to ice near -20 degC
_LEWIS = 0.89  # Lewis number of water vapour in air to the power 2/3
M2 = 1e-6  # square metres in a square millimetre


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring that warms up: its sizes [mm], density [kg/m3], specific heat [J/(kg K)], strain.

    Sizes at 20 degC, the reference of `expansion`. Raises BadRequest for sizes that cannot be.
    """

    outer_mm: float
    inner_mm: float
    height_mm: float
    density_kg_m3: float
    specific_heat: Table
    expansion: Curve

    def __post_init__(self) -> None:
        geometry.check_ring(self.outer_mm, self.inner_mm, self.height_mm)
        _positive("density_kg_m3", self.density_kg_m3)

    @property
    def mass_kg(self) -> float:
        """Mass [kg]."""
        volume = geometry.ring_volume_mm3(self.outer_mm, self.inner_mm, self.height_mm)
        return volume * 1e-9 * self.density_kg_m3

    @property
    def surface_mm2(self) -> float:
        """Whole surface: both walls and both faces [mm2]."""
        return geometry.ring_surface_mm2(self.outer_mm, self.inner_mm, self.height_mm)


class InAir(NamedTuple):
    """What `air_seconds` is asked, without the ring."""

    start_c: float
    until_strain: float
    air_c: float
    coefficient_w_m2k: float
    emissivity: float
    humidity: float
    steps: int


class InBore(NamedTuple):
    """What `bore_seconds` is asked of a ring in the middle, without the ring."""

    start_c: float
    bore_mm: float
    head_c: float
    roughness_mm: float
    floor_w_m2k: float
    steps: int


def air_seconds(
    ring: Ring,
    *,
    start_c: float,
    until_strain: float,
    air_c: float,
    coefficient_w_m2k: float,
    emissivity: float,
    humidity: float = 0.0,
    steps: int = STEPS,
) -> float | None:
    """Seconds in room air until the ring has grown to `until_strain`; None where it never does.

    start_c             temperature of the ring as it leaves the cold [degC]
    until_strain        strain from 20 degC at which it would touch: bore / outside - 1 [-]
    air_c               temperature of the room [degC]
    coefficient_w_m2k   convection [W/(m2 K)]: 10 for still air, 25 carried through the shop
    emissivity          0.3 bare, 0.95 frosted [-]
    humidity            relative, 0 to 1; above 0 frost gives up its latent heat to the ring

    Zero where it touches at once. Raises OutOfRange where a curve does not reach far enough.
    """
    _positive("coefficient_w_m2k", coefficient_w_m2k)
    _share("emissivity", emissivity)
    _share("humidity", humidity)
    end_c = _touching_c(ring, start_c, until_strain, air_c)
    if end_c is None:
        return None
    surface = ring.surface_mm2 * M2
    moisture = air.vapour_density_kg_m3(air_c, humidity)
    per_moisture = frost_factor(coefficient_w_m2k, air_c)
    hot = (air_c + air.ZERO_C) ** 4

    def gain_w(temperature_c: float) -> float:
        flux = coefficient_w_m2k * (air_c - temperature_c)
        flux += emissivity * RADIATION * (hot - (temperature_c + air.ZERO_C) ** 4)
        if humidity > 0.0:
            excess = moisture - air.vapour_density_kg_m3(temperature_c)
            flux += per_moisture * max(0.0, excess)
        return surface * flux

    return _seconds(ring.mass_kg, ring.specific_heat, gain_w, start_c, end_c, air_c, steps)


def frost_factor(coefficient_w_m2k: float, air_c: float) -> float:
    """Heat brought by frost per vapour density [W m/kg], by analogy of heat and mass transfer.

    An upper figure: less frost than this was measured on plates cooled by liquid nitrogen.
    """
    return coefficient_w_m2k * _SUBLIMATION / (air.heat_per_volume_j_m3k(air_c) * _LEWIS)


def bore_seconds(
    ring: Ring,
    *,
    start_c: float,
    bore_mm: float,
    head_c: float,
    roughness_mm: float,
    floor_w_m2k: float = 0.0,
    off_centre: float = 0.0,
    steps: int = STEPS,
) -> float | None:
    """Seconds in the bore until no clearance is left; None where some is left for good.

    start_c        temperature of the ring as it goes in [degC]
    bore_mm        diameter of the bore at the temperature of the head [mm]
    head_c         temperature of the head, which it is taken to keep [degC]
    roughness_mm   air left at zero clearance, both surfaces together [mm]: 0.003 usual
    floor_w_m2k    contact with the floor of the counterbore on one face [W/(m2 K)]: 0 or 100-1000
    off_centre     0 in the middle of the bore, 1 where it touches one side [-]

    Heat crosses the air film between the walls, half the clearance and the roughness thick. Off
    centre the film is thin on one side; the mean of its conductance round the ring is that of a
    film sqrt(f^2 - (off_centre x clearance / 2)^2), f the even one. Zero where the ring does not
    go in.
    """
    _positive("bore_mm", bore_mm)
    _positive("roughness_mm", roughness_mm)
    _positive("floor_w_m2k", floor_w_m2k, or_zero=True)
    _share("off_centre", off_centre)
    end_c = _touching_c(ring, start_c, bore_mm / ring.outer_mm - 1.0, head_c)
    if end_c is None:
        return None
    wall = math.pi * ring.outer_mm * ring.height_mm * M2
    floor = geometry.ring_face_mm2(ring.outer_mm, ring.inner_mm) * M2 * floor_w_m2k

    def gain_w(temperature_c: float) -> float:
        clearance = bore_mm - ring.outer_mm * (1.0 + ring.expansion.strain(temperature_c))
        half = max(0.0, clearance) * 0.5
        film_mm = math.sqrt((half + roughness_mm) ** 2 - (off_centre * half) ** 2)
        conductivity = air.conductivity_w_mk(0.5 * (temperature_c + head_c))
        across = wall * conductivity / (film_mm * 1e-3)
        return (across + floor) * (head_c - temperature_c)

    return _seconds(ring.mass_kg, ring.specific_heat, gain_w, start_c, end_c, head_c, steps)


def skin_cooling_k(
    heat_j: float,
    area_mm2: float,
    seconds: float,
    conductivity_w_mk: float,
    density_kg_m3: float,
    specific_heat_j_kgk: float,
) -> float:
    """How far the skin of a thick head has cooled after giving heat evenly for some seconds [K].

    2 q sqrt(t / (pi k rho c)), the half-space under a constant flux q = heat / (area x seconds);
    classical, recalled. heat_j [J], area_mm2 [mm2], seconds [s], conductivity_w_mk [W/(m K)],
    density_kg_m3 [kg/m3], specific_heat_j_kgk [J/(kg K)]. On the mean over the time, two thirds.

    The bore hardly closes by it: its size goes with the mean temperature of all the metal round it.
    """
    given = (area_mm2, seconds, conductivity_w_mk, density_kg_m3, specific_heat_j_kgk)
    names = ("area_mm2", "seconds", "conductivity_w_mk", "density_kg_m3", "specific_heat_j_kgk")
    for name, value in zip(names, given, strict=True):
        _positive(name, value)
    effusivity = math.sqrt(conductivity_w_mk * density_kg_m3 * specific_heat_j_kgk)
    return 2.0 * heat_j / (area_mm2 * M2 * math.sqrt(math.pi * seconds) * effusivity)


def _touching_c(ring: Ring, start_c: float, until_strain: float, around_c: float) -> float | None:
    """The ring's temperature at `until_strain`; None where its surroundings are too cold."""
    curve = ring.expansion
    if curve.strain(start_c) >= until_strain:
        return start_c
    if curve.end_c >= around_c and (start_c >= around_c or curve.strain(around_c) <= until_strain):
        return None
    touching = curve.temperature_at(until_strain)
    # Found to a billionth of a kelvin, so it may come out at the surroundings: never, too.
    return touching if touching < around_c else None


def _seconds(
    mass_kg: float,
    specific_heat: Table,
    gain_w: Callable[[float], float],
    start_c: float,
    end_c: float,
    around_c: float,
    steps: int,
) -> float:
    """Integral of m c(T) / q(T) dT from start to end, by Simpson's rule in ln |around - T|.

    In that variable the integrand is nearly level, since the flow of heat falls with the
    difference; in T it would run off to infinity as the part nears its surroundings.
    """
    if start_c == end_c:
        return 0.0
    far, near = math.log(abs(around_c - start_c)), math.log(abs(around_c - end_c))
    side = math.copysign(1.0, around_c - start_c)
    total = 0.0
    for i in range(steps + 1):
        left = math.exp(far + (near - far) * i / steps)
        t = min(max(around_c - side * left, min(start_c, end_c)), max(start_c, end_c))
        weight = 1.0 if i in (0, steps) else 4.0 if i % 2 else 2.0
        total += weight * specific_heat.at(t) * left / abs(gain_w(t))
    return mass_kg * total * (far - near) / (3.0 * steps)


def _positive(name: str, value: float, or_zero: bool = False) -> None:
    if not (0.0 < value < math.inf or (or_zero and value == 0.0)):
        raise BadRequest(
            f"{name}: {value:g} is not possible here.",
            hint=f"Accepted: a finite number {'from' if or_zero else 'above'} 0.",
            field=name,
        )


def _share(name: str, value: float) -> None:
    if not 0.0 <= value <= 1.0:
        raise BadRequest(
            f"{name}: {value:g} is not possible here.", hint="Accepted: 0 to 1.", field=name
        )
