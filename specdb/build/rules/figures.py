"""Rules about single figures: units of the right kind, ends in order, within what nature allows."""

from __future__ import annotations

import math
from collections.abc import Iterator

from specdb import units
from specdb.build.rules.data import Data
from specdb.errors import BadCell, SpecdbError

UNIT_COLUMNS = {
    "temperature_unit": "degC",
    "diameter_unit": "mm",
    "valve_unit": "mm",
    "size_unit": "mm",
    "time_unit": "h",
}
"""Column of a unit -> a unit of the kind it must be of."""

POSSIBLE = {
    "mean_linear_expansion": (-1.0, 40.0),
    "instantaneous_linear_expansion": (-5.0, 60.0),
    "expansion_strain": (-10_000.0, 40_000.0),
    "youngs_modulus": (1.0, 700.0),
    "poissons_ratio": (0.0, 0.5),
    "density": (1000.0, 23_000.0),
    "specific_heat": (0.1, 3000.0),
    "thermal_conductivity": (0.05, 3000.0),
    "proof_strength": (5.0, 4000.0),
    "tensile_strength": (5.0, 4000.0),
    "compressive_yield": (5.0, 6000.0),
    "max_exposure_temperature": (-50.0, 1500.0),
}
"""Property -> what a metal can have, in the house unit: wide, to catch slips of unit and comma.

Elastic theory bounds Poisson's ratio of a stable isotropic solid at 0.5; the rest is set wide of
any metal (magnesium 1700 and osmium 22600 kg/m3, lead 16 GPa, ...).
"""

ENDS = (
    ("minimum", "maximum"),
    ("low", "typical"),
    ("typical", "high"),
    ("low", "high"),
    ("diameter_from", "diameter_to"),
    ("valve_from", "valve_to"),
    ("valid_low", "valid_high"),
    ("outer_from", "outer_to"),
    ("above", "up_to"),
    ("interference_min", "interference_max"),
    ("hole_lower", "hole_upper"),
    ("shaft_lower", "shaft_upper"),
    ("compressive_yield_min", "compressive_yield_max"),
)


def properties_have_a_unit(data: Data) -> Iterator[BadCell]:
    """The vocabulary gives every property the unit its values are converted to."""
    for one in data.tables["vocabulary"]:
        if one.cell("list") == "property" and one.cell("unit") is None:
            yield one.bad("unit", f"the property {one.cell('word')!r} has no house unit")


def units_are_of_their_kind(data: Data) -> Iterator[BadCell]:
    """A column for a temperature's unit holds one of temperature, and so on."""
    for column, kind in UNIT_COLUMNS.items():
        for one in data.having(column):
            unit = one.cell(column)
            if unit is None:
                continue
            try:
                units.convert(1.0, unit, kind)
            except SpecdbError:
                yield one.bad(column, f"{unit!r} is not a unit like {kind}")


def ends_are_in_order(data: Data) -> Iterator[BadCell]:
    """The lower end of a range is no higher than its upper end."""
    for lower, upper in ENDS:
        for one in data.having(lower, upper):
            low, high = one.cell(lower), one.cell(upper)
            if low is not None and high is not None and float(low) > float(high):
                yield one.bad(lower, f"{lower} {low} is above {upper} {high}")


def properties_are_possible(data: Data) -> Iterator[BadCell]:
    """A property lies where a metal's can lie."""
    for one in data.tables["material_properties"]:
        name, value = one.cell("property"), data.by_id[one.id]["value_house"]
        if name in POSSIBLE and value is not None:
            low, high = POSSIBLE[name]
            if not low <= value <= high:
                yield one.bad("value", f"{name} of {value:g} is outside {low:g} to {high:g}")


def uncertainties_are_not_negative(data: Data) -> Iterator[BadCell]:
    """Half a band has a width."""
    for column in ("uncertainty", "fit_error", "tolerance", "extra_percent"):
        for one in data.having(column):
            if float(one.cell(column) or 0) < 0:
                yield one.bad(column, "is negative")


def temperatures_are_possible(data: Data) -> Iterator[BadCell]:
    """Nothing is colder than absolute zero or hotter than steel boils."""
    for table, model in data.walk():
        for name, how in model.CONVERTED.items():
            if how.house != "degC" or how.difference:
                continue
            for one in data.tables[table]:
                value = data.by_id[one.id].get(name)
                if value is not None and not -273.15 <= value <= 3000.0:
                    yield one.bad(how.cell, f"{value:g} degC cannot be")


def interferences_are_possible(data: Data) -> Iterator[BadCell]:
    """A press is a small part of the diameter; a rule per unit of diameter is in mm per mm."""
    for one in data.tables["interference_ranges"]:
        row = data.by_id[one.id]
        most = 0.02 if one.cell("form") == "per-mm" else 1.0
        if one.cell("form") == "per-mm" and one.cell("unit") not in ("mm", "mm/mm"):
            yield one.bad("unit", "a rule per unit of diameter is written in mm per mm")
        for column in ("minimum", "maximum"):
            value = row[f"{column}_mm"]
            if value is not None and abs(value) > most:
                yield one.bad(column, f"{value:g} mm is no press; at most {most:g}")


def every_property_says_its_temperature(data: Data) -> Iterator[BadCell]:
    """A mean expansion and a strain run from one temperature to another; both are given."""
    spans = ("mean_linear_expansion", "expansion_strain")
    for one in data.tables["material_properties"]:
        if one.cell("property") not in spans:
            continue
        for column in ("temperature", "temperature_from"):
            if one.cell(column) is None:
                yield one.bad(column, f"{one.cell('property')} needs it")


def fits_are_finite(data: Data) -> Iterator[BadCell]:
    """The coefficients of a fit are `name=number` parts joined by ';'."""
    for one in data.tables["expansion_fits"]:
        for part in str(one.cell("coefficients")).split(";"):
            name, equals, number = part.partition("=")
            try:
                fine = bool(name and equals) and math.isfinite(float(number))
            except ValueError:
                fine = False
            if not fine:
                yield one.bad("coefficients", f"{part!r} is not name=number")
