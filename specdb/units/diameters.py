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
    """`value_mm` as it is, read from `given`; raises BadQuantity where a figure is out of the
    sensible: without a unit in mm, and sensible in inches or thou; with one, and sensible in mm.

    A plain number above the sensible is taken as it is: it has been read, unit and all, before.
    """
    if LEAST_MM <= value_mm <= MOST_MM:
        return value_mm
    if not _bare(given):
        return _check_unit(value_mm, given, field)
    if value_mm > MOST_MM and not isinstance(given, str):
        return value_mm
    for unit in MEANT:
        factor = LENGTH["inch" if unit == "in" else unit][0]
        if LEAST_MM <= value_mm * factor <= MOST_MM:
            raise refuse(
                given,
                KINDS["length"],
                field,
                f"{value_mm:.6g} mm, which no diameter here is",
                f"{value_mm:.6g} mm? did you mean {value_mm:.6g} {unit}? write the unit",
            )
    return value_mm


def _check_unit(value_mm: float, given: object, field: str) -> float:
    """Refuses a figure whose unit was a slip: 33.02 cm for 33.02 mm, 38.1 thou for 38.1 mm."""
    found = PLAIN.fullmatch(given.replace(",", ".")) if isinstance(given, str) else None
    figure = float(found[1]) if found else 0.0
    if not LEAST_MM <= figure <= MOST_MM or figure == value_mm:
        return value_mm
    raise refuse(
        given,
        KINDS["length"],
        field,
        f"{value_mm:.6g} mm, which no diameter here is",
        f"did you mean {found[1] if found else ''} mm?",
    )


def _bare(given: object) -> bool:
    if isinstance(given, str):
        found = PLAIN.fullmatch(given.replace(",", "."))
        return found is not None and not found[2]
    return isinstance(given, Real)
