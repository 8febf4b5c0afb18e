"""Ageing over a heating history: published equivalents, an independent integral, behaviour."""

from __future__ import annotations

import csv
import itertools
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from specdb.errors import BadRequest
from specdb.physics import ageing

ROWS = {
    row["id"]: row
    for row in csv.DictReader(
        Path(__file__)
        .parents[2]
        .joinpath("data/exposure_limits.csv")
        .read_text("utf-8")
        .split("\n")
    )
}
PRINTED_Q = 128.717
"""kJ/mol, printed as 128,717 J/mol (al-a356-semisolid-ageing-paper)."""
EQUIVALENTS = [
    name
    for name, row in ROWS.items()
    if row["quantity"] == "equivalent-time-at-155c" and row["basis"] == "stands"
]


def test_the_rows_are_there() -> None:
    assert len(EQUIVALENTS) == 9


@pytest.mark.parametrize("row", EQUIVALENTS)
def test_equivalent_hours_of_the_rows(row: str) -> None:
    """Rows computed outside this code (derived-ageing-equivalence-2) from the printed energy;
    compared to the digits they give."""
    held = ROWS[row]
    found = ageing.held_hours(float(held["temperature"]), float(held["time"]), PRINTED_Q)
    digits = len(held["value"].replace(".", "").lstrip("0"))
    assert float(f"{found:.{digits}g}") == float(held["value"])


@pytest.mark.published
def test_the_apparent_energy_of_two_published_peaks() -> None:
    """`published` (al-319-ageing-paper-part-2: peak after 24 h at 155 and 5 h at 180 degC): the
    101 kJ/mol between them make the two equal."""
    assert ageing.held_hours(180.0, 5.0, 101.0) == pytest.approx(24.0, rel=0.01)


@pytest.mark.published
def test_above_165_degc_the_printed_energy_looks_too_black() -> None:
    """`published` (al-a356-semisolid-ageing-paper): peak hardness after 18 h at 165 degC and near
    peak after 3 h at 195 degC, where its own energy says 1.9 h."""
    peak = ageing.held_hours(165.0, 18.0, PRINTED_Q)
    said = peak / ageing.rate(195.0, PRINTED_Q)
    assert said == pytest.approx(1.9, abs=0.05)
    assert said < 3.0


def test_a_warming_head_against_an_independent_integral() -> None:
    """An hour from 20 to 180 degC, half an hour there, two hours down; adaptive quadrature."""
    history = [(0.0, 20.0), (1.0, 180.0), (1.5, 180.0), (3.5, 20.0)]

    def at(hour: float) -> float:
        for (start, cold), (end, hot) in itertools.pairwise(history):
            if start <= hour <= end:
                return cold + (hot - cold) * (hour - start) / (end - start)
        raise AssertionError

    expected, _ = quad(
        lambda hour: math.exp(128717 / 8.314462618 * (1 / 428.15 - 1 / (at(hour) + 273.15))),
        0.0,
        3.5,
        points=[1.0, 1.5],
    )
    assert ageing.equivalent_hours(history, PRINTED_Q) == pytest.approx(expected, rel=1e-5)


@given(at=st.floats(-100, 500), hours=st.floats(0, 1000), energy=st.floats(50, 300))
def test_a_stay_counts_for_more_the_hotter_and_is_never_nan(
    at: float, hours: float, energy: float
) -> None:
    found = ageing.held_hours(at, hours, energy)
    assert math.isfinite(found)
    assert found >= 0.0
    assert ageing.held_hours(at + 10.0, hours, energy) >= found
    assert ageing.held_hours(155.0, hours, energy) == pytest.approx(hours)


def test_times_run_forwards() -> None:
    with pytest.raises(BadRequest, match="history"):
        ageing.equivalent_hours([(1.0, 20.0), (0.5, 150.0)], PRINTED_Q)
