"""Sizes, readings, settings and rounding."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb.errors import BadRequest
from specdb.physics import geometry


@pytest.mark.common_practice
def test_tip_over_pilot() -> None:
    """The trade's example: pilot 6.00 and bore 31.89 give 18.945."""
    assert geometry.tip_over_pilot_mm(6.00, 31.89) == pytest.approx(18.945, abs=1e-12)


@given(st.floats(5.0, 80.0), st.floats(0.1, 0.99), st.floats(1.0, 30.0))
def test_a_ring_is_a_disc_less_a_disc(outer: float, share: float, height: float) -> None:
    inner = share * outer
    disc = math.pi / 4.0 * outer**2 * height, math.pi / 4.0 * inner**2 * height
    assert geometry.ring_volume_mm3(outer, inner, height) == pytest.approx(disc[0] - disc[1])
    # The surface is the outline of the section times the path of its middle.
    path = math.pi * (outer + inner) / 2.0
    outline = 2.0 * height + (outer - inner)
    assert geometry.ring_surface_mm2(outer, inner, height) == pytest.approx(path * outline)


def test_bridge() -> None:
    assert geometry.bridge_mm((0.0, 0.0), 38.0, (36.0, 27.0), 44.0) == pytest.approx(4.0)
    assert geometry.bridge_mm((0.0, 0.0), 38.0, (40.0, 0.0), 44.0) == pytest.approx(-1.0)


readings = st.lists(st.floats(20.0, 70.0), min_size=1, max_size=12)


@given(readings, readings, st.randoms())
def test_readings_may_come_in_any_order(
    top: list[float], bottom: list[float], chance: random.Random
) -> None:
    shuffled = chance.sample(top, len(top)), chance.sample(bottom, len(bottom))
    assert geometry.measured(top) == geometry.measured(shuffled[0])
    assert geometry.measured(top, bottom) == geometry.measured(*shuffled)
    assert geometry.measured(top, bottom) == geometry.measured(bottom, top)


def test_the_mean_does_not_depend_on_the_order_to_the_last_bit() -> None:
    # Added one after the other, these round differently from turn to turn.
    values = [38.013, 38.085, 38.076, 38.026]
    assert sum(sorted(values)) != math.fsum(values)
    for turn in range(4):
        level = values[turn:] + values[:turn]
        assert geometry.measured(level).mean_mm == math.fsum(values) / 4.0


def test_readings_at_two_depths() -> None:
    found = geometry.measured([38.05, 38.07], [38.03, 38.04])
    assert found == geometry.Measured(found.mean_mm, 38.03, 38.07, 0.02, 0.025)
    assert found.mean_mm == pytest.approx(38.0475)
    alone = geometry.measured([38.05, 38.07, 38.03, 38.04])
    assert (alone.ovality_mm, alone.taper_mm) == (0.04, None)


@pytest.mark.parametrize("bad", [[], [0.0], [-1.0], [math.nan], [38.0, math.nan], [math.inf]])
def test_readings_that_are_none(bad: list[float]) -> None:
    with pytest.raises(BadRequest, match="Accepted"):
        geometry.measured(bad)
    with pytest.raises(BadRequest, match="Accepted"):
        geometry.measured()


@given(st.floats(20.0, 70.0), st.floats(0.0, 0.2), st.sampled_from([0.005, 0.00508, 0.01]))
def test_rounding_inward_never_leaves_the_band(low: float, width: float, step: float) -> None:
    high = low + width
    rounded = geometry.inward(low, high, step)
    if rounded is None:
        assert width < step
        return
    least, most = rounded
    assert low - 1e-6 <= least <= most <= high + 1e-6
    assert least - low < step
    assert high - most < step
    for limit in rounded:
        assert limit / step == pytest.approx(round(limit / step), abs=2e-4)


def test_rounding_for_people() -> None:
    assert geometry.inward(37.8912, 37.9288, geometry.BORE_STEP_MM) == (37.895, 37.925)
    assert geometry.inward(37.895, 37.925, geometry.BORE_STEP_MM) == (37.895, 37.925)
    assert geometry.inward(37.891, 37.894, geometry.BORE_STEP_MM) is None
    low, high = geometry.inward(37.8912, 37.9288, geometry.BORE_STEP_IN) or (0.0, 0.0)
    assert (round(low / 25.4, 5), round(high / 25.4, 5)) == (1.4918, 1.4932)
    assert geometry.to_setting(18.9449) == 18.94
    assert geometry.to_setting(18.945) == 18.95
    assert geometry.to_temperature(122.4) == 120.0
    assert geometry.to_temperature(-78.5) == -80.0


@pytest.mark.parametrize("sizes", [(38.0, 38.0, 8.0), (0.0, 0.0, 8.0), (38.0, -1.0, 8.0)])
def test_a_ring_that_cannot_be(sizes: tuple[float, float, float]) -> None:
    with pytest.raises(BadRequest, match="Accepted"):
        geometry.check_ring(*sizes)
