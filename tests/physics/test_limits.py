"""Tolerance classes from table rows, against limits printed elsewhere."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from specdb.errors import BadRequest, NotKnown
from specdb.physics import limits

DATA = Path(__file__).parents[2] / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def um(row: dict[str, str]) -> float:
    assert (row["unit"], row["size_unit"]) == ("um", "mm")
    return float(row["value"]) / 1000.0


@pytest.fixture(scope="module")
def grades() -> list[limits.GradeRow]:
    return [
        limits.GradeRow(r["grade"], float(r["above"]), float(r["up_to"]), um(r), r["id"])
        for r in rows("tolerance_grades")
    ]


@pytest.fixture(scope="module")
def deviations() -> list[limits.DeviationRow]:
    return [
        limits.DeviationRow(
            r["part"],
            r["symbol"],
            r["grades"],
            float(r["above"]),
            float(r["up_to"]),
            um(r),
            r["id"],
        )
        for r in rows("fundamental_deviations")
        if r["part"] != "delta" and r["value"]
    ]


Tables = tuple[list[limits.GradeRow], list[limits.DeviationRow]]


# aeronautical-data-book-bs-4500: a second printed table, not the one the rows come from.
SHAFTS = [
    ("p6", 10, 18, 29, 18),
    ("s6", 10, 18, 39, 28),
    ("p6", 18, 30, 35, 22),
    ("s6", 18, 30, 48, 35),
    ("p6", 30, 40, 42, 26),
    ("s6", 30, 40, 59, 43),
]


@pytest.mark.published
@pytest.mark.parametrize(("name", "over", "to", "upper", "lower"), SHAFTS)
def test_shaft_limits_of_a_second_source(
    name: str,
    over: float,
    to: float,
    upper: float,
    lower: float,
    grades: list[limits.GradeRow],
    deviations: list[limits.DeviationRow],
) -> None:
    for size in (over + 0.001, (over + to) / 2.0, to):
        found = limits.shaft_limits(name, size, grades, deviations)
        assert (found.lower_mm, found.upper_mm) == (lower / 1000.0, upper / 1000.0)
        assert len(found.rows) == 2


# machine-elements-examples-companion Example 3.3, machine-design-examples-companion Example 4-2,
# and four interferences in mechanical-engineering-design-8-solutions Prob. 3-64.
FITS = [
    ("H7", "s6", 50.0, 0.018, 0.059),
    ("H7", "r6", 25.0, 0.007, 0.041),
    ("H7", "s6", 40.0, 0.018, 0.059),
    ("H7", "u6", 40.0, 0.035, 0.076),
]


@pytest.mark.published
@pytest.mark.parametrize(("hole", "shaft", "size", "least", "most"), FITS)
def test_interference_of_printed_fits(
    hole: str,
    shaft: str,
    size: float,
    least: float,
    most: float,
    grades: list[limits.GradeRow],
    deviations: list[limits.DeviationRow],
) -> None:
    found = limits.fit_interference(
        limits.hole_limits(hole, size, grades, deviations),
        limits.shaft_limits(shaft, size, grades, deviations),
    )
    assert found == (least, most)


@pytest.mark.published  # machine-drawing-textbook-chapter-15: P7, 18 to 30 mm: ES -14, IT7 21
def test_a_hole_above_its_zero_line(
    grades: list[limits.GradeRow], deviations: list[limits.DeviationRow]
) -> None:
    found = limits.hole_limits("P7", 25.0, grades, deviations)
    assert (found.lower_mm, found.upper_mm) == (-0.035, -0.014)


@pytest.mark.published  # ansi-b4-1-force-fits-in-handbook-27
def test_inch_force_fits_are_the_difference_of_their_limits() -> None:
    checked = 0
    for row in rows("inch_fits"):
        if not row["shaft_lower"]:
            continue
        hole = limits.Limits(float(row["hole_lower"] or 0), float(row["hole_upper"]))
        shaft = limits.Limits(float(row["shaft_lower"]), float(row["shaft_upper"]))
        printed = (float(row["interference_min"]), float(row["interference_max"]))
        assert limits.fit_interference(hole, shaft) == pytest.approx(printed, abs=1e-9)
        checked += 1
    assert checked >= 36


def test_other_letters() -> None:
    grades = [limits.GradeRow("IT7", 30.0, 50.0, 0.025, "g")]
    deviations = [limits.DeviationRow("shaft", "f", "all", 30.0, 50.0, -0.025, "f")]
    clear = limits.shaft_limits("f7", 40.0, grades, deviations)
    assert (clear.lower_mm, clear.upper_mm, clear.rows) == (-0.05, -0.025, ("f", "g"))
    both = limits.hole_limits("JS7", 40.0, grades, deviations)
    assert (both.lower_mm, both.upper_mm) == (-0.0125, 0.0125)


def test_nearest_standard_fit() -> None:
    fits = {"H7/p6": (0.001, 0.042), "H7/s6": (0.018, 0.059), "H7/u6": (0.035, 0.076)}
    assert limits.nearest_fits(0.02, 0.06, fits) == ["H7/s6", "H7/u6", "H7/p6"]
    assert limits.nearest_fits(0.0265, 0.0675, fits)[:2] == ["H7/s6", "H7/u6"]
    assert limits.nearest_fits(0.02, 0.06, {}) == []


@pytest.mark.parametrize("name", ["S6", "s", "6", "s6 ", "s06x", ""])
def test_what_is_no_shaft_class(name: str) -> None:
    with pytest.raises(BadRequest, match="no tolerance class"):
        limits.shaft_limits(name, 40.0, [], [])


def test_a_size_no_row_holds(
    grades: list[limits.GradeRow], deviations: list[limits.DeviationRow]
) -> None:
    with pytest.raises(NotKnown, match="at 400 mm"):
        limits.hole_limits("H7", 400.0, grades, deviations)
    with pytest.raises(NotKnown, match="grade IT3"):
        limits.shaft_limits("s3", 40.0, grades, deviations)
