"""A diameter typed without its unit: taken as mm, unless mm makes no sense and another unit does.

The one place for this rule. Counterbores, rings, valves, guides, stems and pilots all lie between
`LEAST_MM` and `MOST_MM` (common practice); a figure with a unit is what it says.
"""

from __future__ import annotations

from numbers import Real

from specdb.units.reading import PLAIN, refuse
from specdb.units.words import KINDS, LENGTH

LEAST_MM, MOST_MM = 3.0, 300.0
MEANT = ("in", "thou")


def check_diameter(value_mm: float, given: object, field: str = "") -> float:
    """`value_mm` as it is, read from `given`; raises BadQuantity where a figure without a unit is
    out of the sensible in mm and sensible in inches or thou."""
    if LEAST_MM <= value_mm <= MOST_MM or not _bare(given):
        return value_mm
    for unit in MEANT:
        factor = LENGTH["inch" if unit == "in" else unit][0]
        if LEAST_MM <= value_mm * factor <= MOST_MM:
            raise refuse(
                given,
                KINDS["length"],
                field,
                f"{value_mm:g} mm, which no diameter here is",
                f"{value_mm:g} mm? did you mean {value_mm:g} {unit}? write the unit",
            )
    return value_mm


def _bare(given: object) -> bool:
    if isinstance(given, str):
        found = PLAIN.fullmatch(given.replace(",", "."))
        return found is not None and not found[2]
    return isinstance(given, Real)
