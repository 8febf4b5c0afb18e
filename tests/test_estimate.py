"""Bands against draws at random and against a library of error propagation.

Limits are drawn evenly between their ends, spreads from a bell with its ends at two standard
deviations: what `specdb.estimate` says they mean.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st

from specdb.answers import press as pressing
from specdb.estimate import Estimate, exact, plus_minus, propagate
from specdb.physics import rings

DRAWS = 100_000
TWO_SIGMA = math.erf(2 / math.sqrt(2))  # 0.9545
ALONE = 0.5 / math.sqrt(DRAWS)  # standard error of a share of one half, the largest there is


def drawn(given: Mapping[str, Estimate], kind: str) -> dict[str, Any]:
    random = np.random.default_rng(20240607)
    if kind == "limits":
        return {name: random.uniform(x.low, x.high, DRAWS) for name, x in given.items()}
    return {name: random.normal(x.value, (x.high - x.low) / 4, DRAWS) for name, x in given.items()}


def fit(**at: Any) -> dict[str, Any]:
    """Pressure, hoop and force of a steel ring in aluminium; floats or arrays."""
    found = rings.press_fit(
        joint_mm=at["bore"],
        interference_mm=at["insert_diameter"] - at["bore"] - at["smoothing"],
        ring_bore_mm=31.0,
        hub_outer_mm=76.0,
        ring_modulus_mpa=at["insert_modulus"],
        ring_poisson=at["insert_poisson"],
        hub_modulus_mpa=at["head_modulus"],
        hub_poisson=at["head_poisson"],
    )
    return {
        "pressure": found.pressure_mpa,
        "hoop": found.ring_hoop_bore_mpa,
        "stretch": found.hub_hoop_joint_mpa,
        "force": rings.axial_force(found.pressure_mpa, at["friction"], at["bore"], 8.0),
    }


UNITS = {"pressure": "MPa", "hoop": "MPa", "stretch": "MPa", "force": "N"}
LIMITS = {
    "insert_diameter": plus_minus(38.14, 0.01, "mm"),
    "bore": plus_minus(38.0, 0.008, "mm"),
    "smoothing": Estimate(0.005, 0.0, 0.01, "mm"),
}
SPREADS = {
    "insert_modulus": plus_minus(205e3, 12e3, "MPa"),
    "insert_poisson": plus_minus(0.29, 0.02, "1"),
    "head_modulus": plus_minus(72e3, 4e3, "MPa"),
    "head_poisson": plus_minus(0.33, 0.02, "1"),
    "friction": plus_minus(0.12, 0.012, "1"),
}
EXACT = {name: exact(x.value, x.unit) for name, x in {**LIMITS, **SPREADS}.items()}


def inside(values: Any, band: Estimate) -> float:
    return float(np.mean((values >= band.low) & (values <= band.high)))


@pytest.mark.parametrize("output", UNITS)
def test_spreads_alone_hold_95_in_100(output: str) -> None:
    still = {name: EXACT[name] for name in LIMITS}
    band = propagate(fit, units=UNITS, limits=still, spreads=SPREADS)[output]
    values = fit(**{name: x.value for name, x in still.items()}, **drawn(SPREADS, "spreads"))
    values = values[output]
    # 0.9545 if straight: the bend of the functions over these bands is worth half a per cent.
    assert inside(values, band) == pytest.approx(TWO_SIGMA, abs=0.005)
    low, high = np.percentile(values, [2.275, 97.725])
    assert band.low == pytest.approx(low, abs=0.03 * (band.high - band.low))
    assert band.high == pytest.approx(high, abs=0.03 * (band.high - band.low))


@pytest.mark.parametrize("output", UNITS)
def test_limits_alone_hold_every_draw_and_no_more(output: str) -> None:
    still = {name: EXACT[name] for name in SPREADS}
    band = propagate(fit, units=UNITS, limits=LIMITS, spreads=still)[output]
    values = fit(**{name: x.value for name, x in still.items()}, **drawn(LIMITS, "limits"))
    wide = band.high - band.low
    # Of second order, as the diameter of the joint is itself one of the limits.
    assert values[output].min() >= band.low - 0.002 * wide
    assert values[output].max() <= band.high + 0.002 * wide
    ends = itertools.product(*((x.low, x.high) for x in LIMITS.values()))
    corners = [fit(**dict(zip(LIMITS, at, strict=True)), **nominal(SPREADS)) for at in ends]
    assert band.low == pytest.approx(min(at[output] for at in corners), abs=0.002 * wide)
    assert band.high == pytest.approx(max(at[output] for at in corners), abs=0.002 * wide)


def nominal(given: Mapping[str, Estimate]) -> dict[str, float]:
    return {name: x.value for name, x in given.items()}


@pytest.mark.parametrize("output", UNITS)
def test_both_together_hold_at_least_95_in_100(output: str) -> None:
    band = propagate(fit, units=UNITS, limits=LIMITS, spreads=SPREADS)[output]
    values = fit(**drawn(LIMITS, "limits"), **drawn(SPREADS, "spreads"))[output]
    assert inside(values, band) >= TWO_SIGMA - 5 * ALONE


@pytest.mark.parametrize("output", UNITS)
def test_spreads_against_a_library_of_error_propagation(output: str) -> None:
    """First order by derivatives there, by the ends of the bands here: the same for a function
    close to straight."""
    names = list(SPREADS)
    inputs = [uncertainties.ufloat(x.value, (x.high - x.low) / 4) for x in SPREADS.values()]

    def one(*values: float) -> float:
        return float(fit(**nominal(LIMITS), **dict(zip(names, values, strict=True)))[output])

    theirs = uncertainties.wrap(one)(*inputs)
    still = {name: EXACT[name] for name in LIMITS}
    ours = propagate(fit, units=UNITS, limits=still, spreads=SPREADS)[output]
    assert ours.value == pytest.approx(theirs.nominal_value)
    assert (ours.high - ours.low) / 4 == pytest.approx(theirs.std_dev, rel=0.01)


def test_a_straight_sum_against_the_library_is_exact() -> None:
    a, b = uncertainties.ufloat(3.0, 0.2), uncertainties.ufloat(-1.0, 0.05)
    theirs = 2 * a - 3 * b
    ours = propagate(
        lambda a, b: {"x": 2 * a - 3 * b},
        units={"x": "1"},
        spreads={"a": plus_minus(3.0, 0.4, "1"), "b": plus_minus(-1.0, 0.1, "1")},
    )["x"]
    assert (ours.low, ours.high) == pytest.approx(
        (theirs.nominal_value - 2 * theirs.std_dev, theirs.nominal_value + 2 * theirs.std_dev)
    )


def test_what_cannot_be_below_zero_is_not() -> None:
    def outcome(a: float) -> dict[str, float]:
        return {"x": a * a * a}

    given = plus_minus(0.5, 2.0, "1")
    free = propagate(outcome, units={"x": "1"}, limits={"a": given})["x"]
    held = propagate(outcome, units={"x": "1"}, limits={"a": given}, bounds={"x": (0, 9)})["x"]
    assert free.low < 0.0 < 9.0 < free.high
    assert (held.low, held.value, held.high) == (0.0, free.value, 9.0)


def scattered(press_mm: float) -> pressing.Press:
    """A ring near its yield in a head near its own, everything uncertain."""
    ring = pressing.Part(
        plus_minus(1.56e-3, 4e-5, "1"),
        plus_minus(205e3, 8e3, "MPa"),
        plus_minus(0.29, 0.02, "1"),
        plus_minus(400.0, 30.0, "MPa"),
        "yields",
    )
    head = pressing.Part(
        plus_minus(1.63e-3, 6e-5, "1"),
        plus_minus(72e3, 3e3, "MPa"),
        plus_minus(0.33, 0.02, "1"),
        plus_minus(180.0, 20.0, "MPa"),
        "yields",
    )
    return pressing.Press(
        insert_diameter=plus_minus(38.0 + press_mm, 0.006, "mm"),
        bore=plus_minus(38.0, 0.006, "mm"),
        smoothing=exact(0.0, "mm"),
        insert_inner=31.0,
        height=8.0,
        insert=ring,
        head=head,
        press_friction=plus_minus(0.12, 0.01, "1"),
        hold_friction=plus_minus(0.07, 0.01, "1"),
    )


@pytest.mark.parametrize("press_mm", [0.06, 0.115, 0.125, 0.14])
def test_every_figure_of_a_fit_holds_95_in_100_across_the_yield(press_mm: float) -> None:
    """Elastic, at the bend where yielding begins, and beyond; the losses there are bent."""
    given, hub, count = scattered(press_mm), pressing.Hub(outer=76.0), 2000
    bands = pressing.figures(given, hub)
    random = np.random.default_rng(1)
    limits = {name: getattr(given, name) for name in ("insert_diameter", "bore")}
    columns = {name: random.uniform(x.low, x.high, count) for name, x in limits.items()}
    for name, x in given.spreads().items():
        columns[name] = random.normal(x.value, (x.high - x.low) / 4, count)
    inside_of = dict.fromkeys(bands, 0)
    for draw in range(count):
        at = {name: float(column[draw]) for name, column in columns.items()}
        values = pressing._outcome(given, hub, {**at, "smoothing": 0.0})
        for name, band in bands.items():
            inside_of[name] += band.low - 1e-12 <= values[name] <= band.high + 1e-12
    sampling = 3 * math.sqrt(TWO_SIGMA * (1 - TWO_SIGMA) / count)
    for name, held in inside_of.items():
        assert held / count >= TWO_SIGMA - sampling, (name, held / count)


@given(
    value=st.floats(-1e6, 1e6),
    halves=st.lists(st.floats(0, 1e6), min_size=1, max_size=4),
    least=st.floats(-1e6, 1e6),
)
def test_a_band_holds_its_value_and_is_never_nan(
    value: float, halves: list[float], least: float
) -> None:
    given = {f"a{n}": plus_minus(value, half, "1") for n, half in enumerate(halves)}
    for kind in ("limits", "spreads"):
        found = propagate(
            lambda **at: {"x": sum(at.values())},
            units={"x": "1"},
            bounds={"x": (least, math.inf)},
            **{kind: given},  # type: ignore[arg-type]
        )["x"]
        assert found.low <= found.value <= found.high


@pytest.mark.parametrize("tolerance", [0.0, 0.02, 0.069])
def test_figures_of_a_fit_are_never_below_what_can_be(tolerance: float) -> None:
    """A loose fit of uncertain metals: pressures, forces and ratios from 0 up, squeeze from 0
    down."""
    part = pressing.Part(
        Estimate(0.0, -1e-3, 1e-3, "1"),
        plus_minus(72e3, 30e3, "MPa"),
        plus_minus(0.33, 0.1, "1"),
        plus_minus(200.0, 150.0, "MPa"),
        "yields",
    )
    found = pressing.figures(
        pressing.Press(
            insert_diameter=plus_minus(38.05, tolerance, "mm"),
            bore=plus_minus(38.0, tolerance, "mm"),
            smoothing=Estimate(0.01, 0.0, 0.03, "mm"),
            insert_inner=31.0,
            height=8.0,
            insert=part,
            head=part,
            press_friction=plus_minus(0.2, 0.2, "1"),
            hold_friction=plus_minus(0.1, 0.1, "1"),
        ),
        pressing.Hub(),
    )
    for name, band in found.items():
        if name in ("insert_hoop_bore_mpa", "insert_hoop_outer_mpa"):
            assert band.high <= 0.0, name
        elif name not in ("interference_mm", "grip_mm"):
            assert band.low >= 0.0, name
