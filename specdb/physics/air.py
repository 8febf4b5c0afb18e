"""Air round a cold ring: conductivity and moisture, as short formulas with their error.

Temperatures in degC. Scalars; the formulas hold between the limits stated, no further.
"""

from __future__ import annotations

import math

ZERO_C = 273.15
"""0 degC on the absolute scale [K]."""

_GAS_VAPOUR = 461.5  # J/(kg K), water vapour
_GAS_AIR = 287.05  # J/(kg K), dry air
_HEAT_AIR = 1005.0  # J/(kg K), dry air at constant pressure
_ATMOSPHERE = 101325.0  # Pa


def conductivity_w_mk(temperature_c: float) -> float:
    """Thermal conductivity of air at a temperature [degC], W/(m K).

    0.02603 (T/293.15)^1.5 (293.15 + 149.4) / (T + 149.4), T in K: the kinetic-theory form, its two
    constants fitted (derived) to the reference equation of state of air at 1 atm. Within 1.6 % from
    -153 to 227 degC, 3.2 % from -183 to 347 degC.
    """
    kelvin = temperature_c + ZERO_C
    return float(0.02603 * (kelvin / 293.15) ** 1.5 * (293.15 + 149.4) / (kelvin + 149.4))


def heat_per_volume_j_m3k(temperature_c: float) -> float:
    """Density times specific heat of air at 1 atm and a temperature [degC], J/(m3 K)."""
    return _ATMOSPHERE / (_GAS_AIR * (temperature_c + ZERO_C)) * _HEAT_AIR


def vapour_pressure_pa(temperature_c: float) -> float:
    """Pressure of saturated water vapour at a temperature [degC], Pa: over ice below 0 degC.

    611.2 exp(a t / (b + t)); a, b = 22.46, 272.62 over ice, 17.62, 243.12 over water: the formula
    of the meteorological guides, recalled; compared by a test with a reference equation. Within
    1 % from -60 to 40 degC; colder the pressure is next to nothing.
    """
    a, b = (22.46, 272.62) if temperature_c < 0.0 else (17.62, 243.12)
    if temperature_c <= -200.0:
        return 0.0
    return 611.2 * math.exp(a * temperature_c / (b + temperature_c))


def vapour_density_kg_m3(temperature_c: float, humidity: float = 1.0) -> float:
    """Water vapour in air at a temperature [degC] and a relative humidity [0 to 1], kg/m3."""
    pressure = humidity * vapour_pressure_pa(temperature_c)
    return pressure / (_GAS_VAPOUR * (temperature_c + ZERO_C))
