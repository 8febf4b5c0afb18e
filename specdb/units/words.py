"""The kinds of quantity we read, and the usual words for their units.

Each unit stands under the name pint has for it, with the factor pint gives (compared to the last
bit by a test, so that a figure does not depend on which of the two read it), and every spelling
we take. A spelling is looked up without spaces, `^`, `**` and a closing full stop, so
`cm 2`, `cm^2` and `cm2` are one. `mil` is left out on purpose: said of 0.001 in and of 1 mm both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

INCH: Final = 25.4
"""An inch in mm, by definition."""
THOU: Final = 0.0254
"""A thousandth of an inch in mm."""

UnitTable = dict[str, tuple[float, str]]

LENGTH: Final[UnitTable] = {
    "millimeter": (1.0, "mm millimetre millimetres millimeter millimeters"),
    "centimeter": (10.0, "cm centimetre centimetres centimeter centimeters"),
    "meter": (1000.0, "m metre metres meter meters"),
    "micrometer": (0.001, "um µm micron microns micrometre micrometres micrometer micrometers"),
    "inch": (INCH, "in inch inches \" ''"),
    "thou": (THOU, "thou thous thousandth thousandths"),
    "foot": (304.79999999999995, "ft foot feet '"),
}
AREA: Final[UnitTable] = {
    "millimeter**2": (1.0, "mm2 sqmm"),
    "centimeter**2": (100.0, "cm2 sqcm"),
    "meter**2": (1000000.0, "m2 sqm"),
    "inch**2": (645.16, "in2 sqin"),
}
VOLUME: Final[UnitTable] = {
    "millimeter**3": (1.0, "mm3 cumm"),
    "centimeter**3": (1000.0, "cm3 cc ccm cucm"),
    "liter": (1000000.0000000001, "l litre litres liter liters"),
    "milliliter": (1000.0000000000002, "ml millilitre millilitres milliliter milliliters"),
    "inch**3": (16387.063999999995, "in3 cuin"),
}
ANGLE: Final[UnitTable] = {
    "degree": (1.0, "deg degree degrees °"),
    "radian": (57.29577951308232, "rad radian radians"),
    "arcminute": (0.016666666666666666, "arcmin ' arcminute arcminutes"),
}
PRESSURE: Final[UnitTable] = {
    "megapascal": (1.0, "MPa N/mm2"),
    "gigapascal": (1000.0, "GPa kN/mm2"),
    "kilopascal": (0.001, "kPa"),
    "pascal": (1e-06, "Pa"),
    "bar": (0.09999999999999999, "bar"),
    "psi": (0.0068947572931683625, "psi lbf/in2"),
    "ksi": (6.894757293168363, "ksi"),
}
FORCE: Final[UnitTable] = {
    "newton": (1.0, "N newton newtons"),
    "kilonewton": (1000.0, "kN"),
    "pound_force": (4.4482216152605005, "lbf"),
    "kilogram_force": (9.80665, "kgf kp"),
}
TIME: Final[UnitTable] = {
    "second": (1.0, "s sec secs second seconds"),
    "minute": (60.0, "min mins minute minutes"),
    "hour": (3600.0, "h hr hrs hour hours"),
}
MASS: Final[UnitTable] = {
    "kilogram": (1.0, "kg kilogram kilograms"),
    "gram": (0.001, "g gram grams"),
    "pound": (0.4535923700000001, "lb lbs pound pounds"),
}
NUMBER: Final[UnitTable] = {
    "dimensionless": (1.0, ":1 to1"),
    "percent": (0.01, "% percent"),
}
CONDUCTANCE: Final[UnitTable] = {
    "watt/meter**2/kelvin": (1.0, "W/(m2K) W/(m2*K) W/m2K W/m2/K W/(m2degC) W/m2/degC"),
}

DIFFERENCE: Final[UnitTable] = {
    "kelvin": (1.0, "K kelvin kelvins"),
    "delta_degree_Celsius": (
        1.0,
        "C degC °C celsius degreeC degreesC degreecelsius degreescelsius centigrade",
    ),
    "delta_degree_Fahrenheit": (
        0.5555555555555556,
        "F degF °F fahrenheit degreeF degreesF degreefahrenheit degreesfahrenheit",
    ),
}
"""A difference; the same words, said of a temperature, move the zero point as well."""
ZERO: Final = {
    "kelvin": 0.0,
    "delta_degree_Celsius": 273.15,
    "delta_degree_Fahrenheit": 255.37222222222223,
}
"""What zero of the scale is in kelvin."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: what it is called, its house unit, and what is never exceeded.

    `least` and `most` are in the house unit; beyond them a figure is a slip, whatever it is for.
    """

    name: str
    noun: str
    house: str
    units: str
    """The house unit as pint writes it."""
    examples: tuple[str, ...]
    least: float
    most: float

    @property
    def accepted(self) -> str:
        """What may be written, for a refusal."""
        plain = f", a plain number being {self.house}" if self.house != "1" else ""
        return f"{self.noun} such as {', '.join(self.examples)}{plain}"


def _kind(
    name: str,
    noun: str,
    house: str,
    units: str,
    examples: str,
    most: float,
    least: float | None = None,
) -> Kind:
    lowest = -most if least is None else least
    return Kind(name, noun, house, units, tuple(examples.split("; ")), lowest, most)


KINDS: Final[dict[str, Kind]] = {
    kind.name: kind
    for kind in (
        _kind(
            "length",
            "a length",
            "mm",
            "millimeter",
            "38.1 mm; 1.500 in; 1 1/2 in; 5 thou; 38.1",
            1e5,
        ),
        _kind(
            "temperature",
            "a temperature",
            "degC",
            "degree_Celsius",
            "150 degC; 150C; 300 degF; 423 K; 150",
            1e4,
            -273.15,
        ),
        _kind(
            "temperature_difference",
            "a temperature difference",
            "K",
            "kelvin",
            "50 K; 50 degC; 90 degF; 50",
            1e4,
        ),
        _kind("area", "an area", "mm2", "millimeter**2", "50 cm2; 7.75 in2; 5000", 1e9),
        _kind(
            "volume",
            "a volume",
            "mm3",
            "millimeter**3",
            "399.5 cm3; 399.5 cc; 24.4 cu in; 399500",
            1e12,
        ),
        _kind("angle", "an angle", "deg", "degree", "45 deg; 45°; 0.785 rad; 45", 1e4),
        _kind(
            "pressure",
            "a pressure or stress",
            "MPa",
            "megapascal",
            "200 MPa; 29 ksi; 200 N/mm2; 200",
            1e7,
        ),
        _kind("force", "a force", "N", "newton", "5 kN; 1100 lbf; 5000", 1e9),
        _kind("time", "a time", "s", "second", "90 s; 15 min; 2 h; 90", 1e9),
        _kind("mass", "a mass", "kg", "kilogram", "0.2 kg; 200 g; 0.44 lb; 0.2", 1e7),
        _kind("number", "a number", "1", "dimensionless", "10.5; 10.5:1; 50 %", 1e12),
        _kind(
            "conductance",
            "a heat transfer coefficient",
            "W/(m2 K)",
            "watt/meter**2/kelvin",
            "25 W/(m2 K); 25",
            1e7,
        ),
        _kind("hardness", "a hardness number", "1", "dimensionless", "38; 250", 1e4, 0.0),
        _kind(
            "tolerance",
            "a tolerance",
            "mm",
            "millimeter",
            "0.01 mm; +0.013/-0 mm; -0.0005/+0 in",
            10.0,
        ),
    )
}
"""Every kind by name. `tolerance` is a pair of deviations: see `read_tolerance`."""

TABLES: Final[dict[str, UnitTable]] = {
    "length": LENGTH,
    "temperature": DIFFERENCE,
    "temperature_difference": DIFFERENCE,
    "area": AREA,
    "volume": VOLUME,
    "angle": ANGLE,
    "pressure": PRESSURE,
    "force": FORCE,
    "time": TIME,
    "mass": MASS,
    "number": NUMBER,
    "conductance": CONDUCTANCE,
    "hardness": {},
}

PINT_MAY: Final = frozenset(TABLES) - {"angle", "number", "hardness"}
"""Kinds whose other words pint may be asked for: to it an angle, a count and a bit are all one."""


def squeeze(word: str) -> str:
    """A unit as it stands in the tables: no spaces, no power signs, no closing full stop."""
    word = "".join(word.replace("**", "").replace("^", "").split())
    return word[:-1] if word.endswith(".") else word


def _spellings(table: UnitTable) -> dict[str, str]:
    return {word: unit for unit, (_, words) in table.items() for word in words.split()}


SPELLINGS: Final = {kind: _spellings(table) for kind, table in TABLES.items()}
"""Kind -> spelling -> unit."""
FACTORS: Final = {
    kind: {"": 1.0} | {word: table[unit][0] for word, unit in SPELLINGS[kind].items()}
    for kind, table in TABLES.items()
} | {"temperature": {"": 1.0}}
"""Kind -> spelling -> factor to the house unit; a temperature has more to it than a factor."""
FOLDED: Final = {kind: {word.casefold(): word for word in SPELLINGS[kind]} for kind in TABLES}
"""Kind -> spelling in small letters -> spelling, for `MM`, `Inch`, `mpa`."""


def unit_of(word: str, kind: str) -> str | None:
    """The unit a word stands for in this kind, or None. Capitals count only where they must:
    a word all in one case or with one leading capital is taken in any case (`MM`, `Inch`), a
    mixed one of two letters is not (`Mm` is no millimetre, `mPa` no megapascal)."""
    word = squeeze(word)
    spellings = SPELLINGS[kind]
    if word in spellings:
        return spellings[word]
    if word.isupper() or word.islower() or (word.istitle() and len(word) > 2):
        return spellings.get(FOLDED[kind].get(word.casefold(), ""))
    return None


def noun_of(word: str) -> str | None:
    """What a usual word measures ('a mass'), or None."""
    for kind in TABLES:
        if kind != "hardness" and unit_of(word, kind):
            return KINDS[kind].noun
    return None
