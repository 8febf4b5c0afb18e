"""Which standard fit comes nearest to a range of press: one of ISO 286, one inch force fit.

Of ISO 286 the hole H7 is taken with every pressing shaft of grade 6 the tables hold: the hole a
boring head makes, and the standard's own pair for it. Limits come from the tables alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from specdb.errors import NotKnown
from specdb.physics import limits
from specdb.records.standard_fit import StandardFit
from specdb.store.asof import Reader
from specdb.store.query import standard_fits as rows

HOLE, GRADE = "H7", 6
ISO, INCH = "ISO 286, hole basis", "inch force fit"
FLOAT_MM = 1e-9


class Fit(NamedTuple):
    """Least and greatest press, mm, and the rows they stand on."""

    least: float
    most: float
    rows: tuple[str, ...]


def nearest(
    reader: Reader, size_mm: float, least_mm: float, most_mm: float
) -> tuple[StandardFit, ...]:
    """The fit of each standard nearest to the range `least_mm` to `most_mm` at a diameter.

    Nearest is the least sum of the distances of both ends. A standard whose tables do not reach
    the diameter has none.
    """
    found = ((ISO, dict(_iso(reader, size_mm))), (INCH, dict(_inch(reader, size_mm))))
    return tuple(_beside(standard, held, least_mm, most_mm) for standard, held in found if held)


def _iso(reader: Reader, size_mm: float) -> Iterator[tuple[str, Fit]]:
    grades = [limits.GradeRow(**row) for row in rows.grades(reader, size_mm)]
    deviations = [limits.DeviationRow(**row) for row in rows.deviations(reader, size_mm)]
    try:
        hole = limits.hole_limits(HOLE, size_mm, grades, deviations)
    except NotKnown:
        return
    for symbol in sorted({row.symbol for row in deviations if row.part == "shaft"}):
        name = f"{symbol}{GRADE}"
        shaft = limits.shaft_limits(name, size_mm, grades, deviations)
        ends = limits.fit_interference(hole, shaft)
        yield f"{HOLE}/{name}", Fit(*ends, tuple(sorted({*hole.rows, *shaft.rows})))


def _inch(reader: Reader, size_mm: float) -> Iterator[tuple[str, Fit]]:
    for row in rows.inch_fits(reader, size_mm):
        yield row["fit"], Fit(row["interference_min_mm"], row["interference_max_mm"], (row["id"],))


def _beside(standard: str, held: Mapping[str, Fit], least: float, most: float) -> StandardFit:
    ends = {name: (fit.least, fit.most) for name, fit in held.items()}
    name = limits.nearest_fits(least, most, ends)[0]
    fit = held[name]
    says = "; ".join(_apart(fit, least, most)) or "lies within the recommended range"
    return StandardFit(
        name=name,
        standard=standard,
        interference_min_mm=fit.least,
        interference_max_mm=fit.most,
        within=says.startswith("lies within"),
        says=says,
        sources=fit.rows,
    )


def _apart(fit: Fit, least: float, most: float) -> Iterator[str]:
    """How far the fit reaches beyond each end of the range."""
    if fit.least < least - FLOAT_MM:
        yield f"its loosest is {least - fit.least:.3f} mm below the range"
    if fit.most > most + FLOAT_MM:
        yield f"its tightest is {fit.most - most:.3f} mm above it"
