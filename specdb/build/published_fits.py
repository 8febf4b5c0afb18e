"""Published fits read off at points, in house units.

A fit stays what its source printed: a form, coefficients, the range it is valid in, how well it
fits. The forms (vocabulary list `fit-form`), T in kelvin:

- `strain-polynomial`: y = a + b T + c T^2 + d T^3 + e T^4 at or above `T_low`, y = f below it;
- `log-polynomial`: log10 y = a + b x + c x^2 + ... with x = log10 T;
- `lattice-heat`: y = (3 R D(theta/T) + gamma T + b2 T^2) / M, D the Debye heat-capacity function;
- `shomate`: y = (A + B t + C t^2 + D t^3 + E / t^2) / M with t = T / 1000.

`M` is the coefficient `molar_mass`, kg/mol. Strains of fits count from 293 K, 0.15 K below 20 degC;
the curve through them is put to zero at 20 degC.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

ZERO_K = 273.15
STRAIN_ZERO_C = 293.0 - ZERO_K
GAS_CONSTANT = 8.314463
NO_ERROR_STATED_PERCENT = 3.0
"""Taken where a fit does not say how well it fits."""


def coefficients(text: str) -> dict[str, float]:
    """`a=1;b=2` as a mapping."""
    pairs = (part.split("=", 1) for part in text.split(";"))
    return {name.strip(): float(number) for name, number in pairs}


def _polynomial(c: Mapping[str, float], kelvin: float) -> float:
    if kelvin < c.get("T_low", -math.inf):
        return c["f"]
    return sum(c.get(name, 0.0) * kelvin**power for power, name in enumerate("abcde"))


def _log_polynomial(c: Mapping[str, float], kelvin: float) -> float:
    x = math.log10(kelvin)
    return float(10.0 ** sum(c.get(name, 0.0) * x**power for power, name in enumerate("abcdefghi")))


def _debye(ratio: float) -> float:
    """The Debye function 3/r^3 * integral of x^4 e^x/(e^x-1)^2 from 0 to r (Simpson's rule)."""
    steps = 400
    total = 0.0
    for k in range(steps + 1):
        x = ratio * k / steps
        inner = 0.0 if x == 0.0 else x**4 * math.exp(x) / math.expm1(x) ** 2
        total += inner * (1 if k in (0, steps) else 4 if k % 2 else 2)
    return 3.0 / ratio**3 * total * ratio / steps / 3.0


def _lattice_heat(c: Mapping[str, float], kelvin: float) -> float:
    lattice = 3.0 * GAS_CONSTANT * _debye(c["theta"] / kelvin)
    return (lattice + c["gamma"] * kelvin + c["b2"] * kelvin**2) / c["molar_mass"]


def _shomate(c: Mapping[str, float], kelvin: float) -> float:
    t = kelvin / 1000.0
    molar = c["A"] + c["B"] * t + c["C"] * t**2 + c["D"] * t**3 + c["E"] / t**2
    return molar / c["molar_mass"]


FORMS: dict[str, Callable[[Mapping[str, float], float], float]] = {
    "strain-polynomial": _polynomial,
    "log-polynomial": _log_polynomial,
    "lattice-heat": _lattice_heat,
    "shomate": _shomate,
}


def evaluate(fit: Mapping[str, Any], at: float) -> float:
    """The fitted quantity at `at` degC, in the fit's own unit."""
    return FORMS[fit["form"]](coefficients(fit["coefficients"]), at + ZERO_K)


def points(fit: Mapping[str, Any]) -> list[float]:
    """Where a fit is read off: its ends and every 10 K between, 5 K below 110 K, degC."""
    low, high = fit["valid_low_c"], fit["valid_high_c"]
    found, at = [], low
    while at < high - 1.0:
        found.append(round(at, 3))
        at += 5.0 if at < 110.0 - ZERO_K else 10.0
    return [*found, high]


def error_of(fit: Mapping[str, Any]) -> float:
    """The stated error of a fit as a fraction of the value."""
    stated = fit["fit_error"]
    return float(stated if stated else NO_ERROR_STATED_PERCENT) / 100.0


def fit_points(fit: Mapping[str, Any]) -> Iterator[tuple[float, float, float]]:
    """(degC, strain from 293 K, half-band), strains in 1e-6, of a strain or slope fit."""
    scale = float(fit["unit"].removesuffix("/K")) / 1e-6
    share = error_of(fit)
    where = points(fit)
    if fit["property"] == "expansion_strain":
        zero = evaluate(fit, STRAIN_ZERO_C) if where[-1] >= STRAIN_ZERO_C else 0.0
        for at in where:
            strain = (evaluate(fit, at) - zero) * scale
            yield at, strain, max(share * abs(strain), 1.0)
        return
    for at in where:
        strain = _grown(fit, at) * scale
        yield at, strain, max(share * abs(strain), 1.0)


def _grown(fit: Mapping[str, Any], at: float) -> float:
    """The integral of a slope fit from 293 K to `at` (Simpson's rule, 100 steps)."""
    steps = 100
    step = (at - STRAIN_ZERO_C) / steps
    total = 0.0
    for k in range(steps + 1):
        weight = 1 if k in (0, steps) else 4 if k % 2 else 2
        total += weight * evaluate(fit, STRAIN_ZERO_C + k * step)
    return total * step / 3.0
