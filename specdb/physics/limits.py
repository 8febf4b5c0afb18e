"""Limits and fits: tolerance classes from the rows of a standard's tables, and fits made of them.

No formula of the standard is used: the printed tables round in their own way, so every figure
comes from a row that is passed in. Lengths in mm, deviations from the nominal size in mm.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from specdb.errors import BadRequest, NotKnown


@dataclass(frozen=True, slots=True)
class GradeRow:
    """A standard tolerance: `grade` such as IT7, for sizes over `above_mm` up to `up_to_mm`."""

    grade: str
    above_mm: float
    up_to_mm: float
    value_mm: float
    id: str = ""


@dataclass(frozen=True, slots=True)
class DeviationRow:
    """A fundamental deviation of a shaft or a hole, for sizes over `above_mm` up to `up_to_mm`.

    `symbol` is the letter; `grades` the one grade the row is for, or `all`.
    """

    part: Literal["shaft", "hole"]
    symbol: str
    grades: str
    above_mm: float
    up_to_mm: float
    value_mm: float
    id: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """Lower and upper deviation from the nominal size [mm], and the rows they stand on."""

    lower_mm: float
    upper_mm: float
    rows: tuple[str, ...] = ()


R = TypeVar("R", GradeRow, DeviationRow)


def shaft_limits(
    name: str, size_mm: float, grades: Iterable[GradeRow], deviations: Iterable[DeviationRow]
) -> Limits:
    """Deviations of a shaft class such as s6 at a nominal size [mm].

    Letters k to zc: the row is the lower deviation; a to h: the upper; js lies half and half.
    Raises BadRequest for a name that is no class, NotKnown where no row holds it.
    """
    letters, number = _parse(name, upper=False)
    tolerance = _grade(number, size_mm, grades)
    if letters == "js":
        return _symmetric(tolerance)
    row = _deviation("shaft", letters, number, size_mm, deviations)
    if letters[0] < "j":
        return _limits(row.value_mm - tolerance.value_mm, row.value_mm, row, tolerance)
    return _limits(row.value_mm, row.value_mm + tolerance.value_mm, row, tolerance)


def hole_limits(
    name: str, size_mm: float, grades: Iterable[GradeRow], deviations: Iterable[DeviationRow]
) -> Limits:
    """Deviations of a hole class such as H7 at a nominal size [mm].

    Letters A to H: the row is the lower deviation; K to ZC: the upper; JS lies half and half.
    Raises BadRequest for a name that is no class, NotKnown where no row holds it.
    """
    letters, number = _parse(name, upper=True)
    tolerance = _grade(number, size_mm, grades)
    if letters == "JS":
        return _symmetric(tolerance)
    row = _deviation("hole", letters, number, size_mm, deviations)
    if letters[0] < "J":
        return _limits(row.value_mm, row.value_mm + tolerance.value_mm, row, tolerance)
    return _limits(row.value_mm - tolerance.value_mm, row.value_mm, row, tolerance)


def fit_interference(hole: Limits, shaft: Limits) -> tuple[float, float]:
    """Least and greatest interference of a hole and a shaft class [mm]; negative is clearance."""
    return (
        _tidy(shaft.lower_mm - hole.upper_mm),
        _tidy(shaft.upper_mm - hole.lower_mm),
    )


def nearest_fits(
    interference_min_mm: float,
    interference_max_mm: float,
    fits: Mapping[str, tuple[float, float]],
) -> list[str]:
    """Names of standard fits, the one whose ends lie nearest to the given range [mm] first.

    fits   name -> least and greatest interference [mm], from `fit_interference` or a table
    The distance is the sum over both ends; equal distances in order of name.
    """

    def distance(name: str) -> tuple[float, str]:
        least, most = fits[name]
        apart = abs(least - interference_min_mm) + abs(most - interference_max_mm)
        return _tidy(apart), name

    return sorted(fits, key=distance)


def _parse(name: str, *, upper: bool) -> tuple[str, int]:
    pattern = r"([A-Z]{1,2})(\d{1,2})" if upper else r"([a-z]{1,2})(\d{1,2})"
    found = re.fullmatch(pattern, name)
    if not found:
        part, example = ("hole", "H7") if upper else ("shaft", "s6")
        raise BadRequest(
            f"{name!r} is no tolerance class of a {part}.",
            hint=f"Accepted: {'capital' if upper else 'small'} letters and a grade, as {example}.",
        )
    return found[1], int(found[2])


def _grade(number: int, size_mm: float, grades: Iterable[GradeRow]) -> GradeRow:
    wanted = f"IT{number}"
    return _at_size([row for row in grades if row.grade == wanted], size_mm, f"grade {wanted}")


def _deviation(
    part: str, letters: str, number: int, size_mm: float, deviations: Iterable[DeviationRow]
) -> DeviationRow:
    rows = [row for row in deviations if row.part == part and row.symbol == letters]
    rows = [row for row in rows if row.grades in ("all", str(number))]
    return _at_size(rows, size_mm, f"{part} deviation {letters} at grade {number}")


def _at_size(rows: Sequence[R], size_mm: float, what: str) -> R:
    """The row for a size: the standard's ranges are "over ... up to and including ..."."""
    for row in rows:
        if row.above_mm < size_mm <= row.up_to_mm:
            return row
    spans = sorted({(row.above_mm, row.up_to_mm) for row in rows})
    known = f"{spans[0][0]:g} to {max(end for _, end in spans):g} mm" if spans else "no size"
    raise NotKnown(
        f"no row gives the {what} at {size_mm:g} mm.", hint=f"The table holds it for {known}."
    )


def _symmetric(tolerance: GradeRow) -> Limits:
    half = _tidy(tolerance.value_mm / 2.0)
    return Limits(-half, half, (tolerance.id,))


def _limits(lower_mm: float, upper_mm: float, *rows: GradeRow | DeviationRow) -> Limits:
    return Limits(_tidy(lower_mm), _tidy(upper_mm), tuple(sorted(row.id for row in rows)))


def _tidy(length_mm: float) -> float:
    """Without the binary tail of a difference: the tables are in whole micrometres."""
    return round(length_mm, 9) + 0.0
