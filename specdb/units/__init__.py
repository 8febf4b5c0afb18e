"""Text to numbers in house units, and the only room that knows pint.

    words      the usual unit words with their factors, by kind
    reading    what a person typed -> a float in the house unit, or a refusal that helps
    diameters  a diameter without its unit that can only be inches
    tolerance  `+0.013/-0 mm` -> the two deviations
    convert    the data build's conversions, unit to unit
    foreign    every other word, by asking pint (imported only then)

A temperature and a temperature difference are two kinds: 20 degC is 68 degF, a difference
of 20 degC one of 36 degF.
"""

from specdb.units.convert import convert
from specdb.units.diameters import check_diameter
from specdb.units.reading import read
from specdb.units.tolerance import read_tolerance
from specdb.units.words import KINDS, Kind

__all__ = ["KINDS", "Kind", "check_diameter", "convert", "read", "read_tolerance"]
