"""Unit to unit, for the data build: the words of the data files, figures as printed."""

from __future__ import annotations

import math
from typing import Final

from specdb.errors import BadQuantity
from specdb.units import foreign
from specdb.units.reading import to_celsius
from specdb.units.words import TABLES, UnitTable, unit_of

DATA_WORDS: Final[tuple[dict[str, float], ...]] = (
    {"1": 1.0, "ratio": 1.0, "%": 1e-2, "percent": 1e-2, "1e-3": 1e-3, "1e-6": 1e-6, "ppm": 1e-6},
    {"1e-6/K": 1.0, "ppm/K": 1.0, "um/(m K)": 1.0, "mm/(m K)": 1e3, "1/K": 1e6, "1e-6/degF": 1.8},
    {"kg/m3": 1.0, "g/cm3": 1e3, "lb/in3": 27679.904710191},
    {"J/(kg K)": 1.0, "J/(g K)": 1e3, "kJ/(kg K)": 1e3},
    {"W/(m K)": 1.0, "W/(cm K)": 1e2},
    {"kJ/mol": 1.0, "J/mol": 1e-3},
)
"""Words of the data beyond those of `words`: a dict a dimension, word -> factor to its first."""


def convert(value: float, unit: str, house: str, *, difference: bool = False) -> float:
    """`value` of `unit` in `house`, both as the data files write them.

    A temperature (K, degC, degF) moves its zero point unless `difference` says it is one.
    Raises BadQuantity for unknown words, units that do not measure the same, no finite result.
    """
    if unit == house and math.isfinite(value):
        return value
    result = _convert(value, unit, house, difference)
    if not math.isfinite(result):
        raise BadQuantity(value, understood="no finite number", accepted=f"a number in {unit}")
    return result + 0.0


def _convert(value: float, unit: str, house: str, difference: bool) -> float:
    for words in DATA_WORDS:
        if unit in words and house in words:
            return value * (words[unit] / words[house])
    if not difference and _both(unit, house, "temperature"):
        return _temperature(value, unit, house)
    for kind in TABLES:
        if units := _both(unit, house, kind):
            table: UnitTable = TABLES[kind]
            return value * (table[units[0]][0] / table[units[1]][0])
    try:
        return foreign.quantity(value, unit, house, difference=difference)
    except foreign.ForeignUnitError as refused:
        known = refused.known or "no unit we or pint know"
        raise BadQuantity(
            f"{value:g} {unit}",
            understood=f"{unit!r}, {known}",
            accepted=f"a unit that converts to {house}",
        ) from None


def _both(unit: str, house: str, kind: str) -> tuple[str, str] | None:
    here, there = unit_of(unit, kind), unit_of(house, kind)
    return (here, there) if here and there else None


def _temperature(value: float, unit: str, house: str) -> float:
    celsius = to_celsius(value, unit_of(unit, "temperature") or "")
    to = unit_of(house, "temperature")
    if to == "delta_degree_Celsius":
        return celsius
    if to == "kelvin":
        return celsius + 273.15
    return celsius * 1.8 + 32.0
