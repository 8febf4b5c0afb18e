"""Expansion curves and tables: shape, ends, refusals, and the published fits they must follow."""

from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from specdb.errors import BadRequest, OutOfRange
from specdb.physics.curves import Curve, Table, monotone_slopes, property_at

POINTS = (-200.0, -80.0, 20.0, 100.0, 300.0)
STRAIN = (-0.0020, -0.0011, 0.0, 0.0010, 0.0036)


def curve(label: str = "test metal") -> Curve:
    low = tuple(v - 0.05 * abs(v) for v in STRAIN)
    high = tuple(v + 0.05 * abs(v) for v in STRAIN)
    return Curve(POINTS, STRAIN, low, high, label)


rising = st.lists(
    st.tuples(st.floats(1.0, 100.0), st.floats(0.0, 1e-3)), min_size=1, max_size=12
).map(
    lambda steps: (
        np.cumsum([-200.0, *(a for a, _ in steps)]),
        np.cumsum([-0.003, *(b for _, b in steps)]),
    )
)


@given(rising)
def test_any_rising_points_give_a_rising_curve_that_scipy_gives_too(
    points: tuple[np.ndarray, np.ndarray],
) -> None:
    t, strain = points
    made = Curve(t, strain, strain, strain)
    between = np.linspace(t[0], t[-1], 200).clip(t[0], t[-1])
    values = made.strain(between)
    assert (np.diff(values) >= -1e-15).all()
    if len(t) > 2:
        assert values == pytest.approx(PchipInterpolator(t, strain)(between), abs=1e-12)
    for temperature, value in zip(between[::17], values[::17], strict=True):
        assert made.strain(float(temperature)) == pytest.approx(value, abs=1e-15)


def test_it_goes_through_its_points_and_its_band() -> None:
    made = curve()
    for t, strain in zip(POINTS, STRAIN, strict=True):
        assert made.strain(t) == strain
        assert made.low(t) <= strain <= made.high(t)
        assert made.high(t) == pytest.approx(strain + 0.05 * abs(strain))
    assert made.strain(np.array(POINTS)) == pytest.approx(STRAIN)


def test_slope_is_the_derivative_and_mean_the_secant() -> None:
    made = curve()
    for t in (-150.0, 0.0, 60.0, 250.0):
        numeric = (made.strain(t + 1e-4) - made.strain(t - 1e-4)) / 2e-4
        assert made.instantaneous(t) == pytest.approx(numeric, rel=1e-6)
    assert made.mean(20.0, 100.0) == pytest.approx(0.0010 / 80.0)
    assert made.mean(100.0, 20.0) == made.mean(20.0, 100.0)
    assert made.mean(60.0, 60.0) == made.instantaneous(60.0)
    assert made.instantaneous(np.array([60.0]))[0] == pytest.approx(made.instantaneous(60.0))


@given(st.floats(-200.0, 300.0))
def test_the_temperature_of_a_strain_is_found_again(t: float) -> None:
    assert curve().temperature_at(curve().strain(t)) == pytest.approx(t, abs=1e-6)


@pytest.mark.parametrize("t", [-200.1, 300.0001, math.nan, math.inf, -math.inf])
def test_outside_it_says_what_it_knows(t: float) -> None:
    with pytest.raises(OutOfRange, match="test metal: known from -200 to 300 degC only"):
        curve().strain(t)
    with pytest.raises(OutOfRange, match="known from -200 to 300 degC only"):
        curve().strain(np.array([0.0, t]))


def test_the_nearest_help_is_the_nearer_end() -> None:
    with pytest.raises(OutOfRange) as caught:
        curve().mean(-250.0, 20.0)
    assert "nearest temperature it is known at is -200 degC" in caught.value.hint
    with pytest.raises(OutOfRange, match="not reached"):
        curve().temperature_at(0.004)


@pytest.mark.parametrize(
    ("t", "strain", "why"),
    [
        ((0.0, 100.0), (0.0, -0.001), "falls on heating"),
        ((100.0, 0.0), (0.0, 0.001), "do not rise"),
        ((0.0, 0.0), (0.0, 0.001), "do not rise"),
        ((0.0, 100.0), (0.0, math.nan), "not finite"),
        ((0.0,), (0.0,), "1 temperatures"),
        ((0.0, 1.0, 2.0), (0.0, 1.0), "3 temperatures"),
    ],
)
def test_points_that_make_no_curve(t: tuple[float], strain: tuple[float], why: str) -> None:
    with pytest.raises(BadRequest, match=why):
        Curve(t, strain, strain, strain)


def test_a_strain_outside_its_band_is_refused() -> None:
    with pytest.raises(BadRequest, match="band"):
        Curve((0.0, 1.0), (0.0, 1.0), (0.0, 1.1), (0.0, 1.2))


def test_a_table_is_straight_between_its_points() -> None:
    table = Table((20.0, 100.0, 200.0), (200.0, 190.0, 150.0), "modulus of test metal")
    assert table.at(20.0) == 200.0
    assert table.at(60.0) == pytest.approx(195.0)
    assert table.at(200.0) == 150.0
    assert property_at((20.0,), (7.8,), 20.0) == 7.8
    with pytest.raises(OutOfRange, match="modulus of test metal: known from 20 to 200 degC only"):
        table.at(201.0)
    with pytest.raises(OutOfRange):
        property_at((20.0,), (7.8,), 21.0)


def test_slopes_at_a_turn_are_level() -> None:
    assert monotone_slopes((0.0, 1.0, 2.0), (0.0, 1.0, 0.5))[1] == 0.0


def strain_fit(kelvin: np.ndarray, a: float, b: float, c: float, d: float, e: float) -> np.ndarray:
    return 1e-5 * (a + b * kelvin + c * kelvin**2 + d * kelvin**3 + e * kelvin**4)


@pytest.mark.published
@pytest.mark.parametrize(
    ("coefficients", "at_80_k"),
    [
        # cryogenic-fit-steel-304 and cryogenic-fit-al-6061-t6; the strains at 80 K are the
        # institute's own table, quoted second-hand.
        ((-295.54, -0.39811, 0.0092683, -2.0261e-05, 1.7127e-08), -2777e-6),
        ((-412.77, -0.30389, 0.0087696, -9.9821e-06, 0.0), -3861e-6),
    ],
    ids=["cryogenic-fit-steel-304", "cryogenic-fit-al-6061-t6"],
)
def test_a_curve_through_every_twentieth_kelvin_follows_a_published_fit(
    coefficients: tuple[float, ...], at_80_k: float
) -> None:
    nodes = np.arange(40.0, 301.0, 20.0)
    strain = strain_fit(nodes, *coefficients)
    made = Curve(nodes - 273.15, strain, strain, strain)
    kelvin = np.linspace(40.0, 300.0, 400)
    inside = (kelvin - 273.15).clip(made.start_c, made.end_c)
    assert made.strain(inside) == pytest.approx(strain_fit(kelvin, *coefficients), abs=5e-6)
    assert made.strain(80.0 - 273.15) == pytest.approx(at_80_k, abs=0.6e-6)


def test_a_single_look_up_needs_no_numpy() -> None:
    code = (
        "import sys; from specdb.physics.curves import Curve\n"
        "c = Curve((0, 100), (0, 1e-3), (0, 1e-3), (0, 1e-3))\n"
        "c.mean(0, 50); c.temperature_at(5e-4)\n"
        "sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
