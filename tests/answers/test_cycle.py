"""A fit through heat and back, the state that decides, and the chance of lying outside."""

from __future__ import annotations

import math
import random
from statistics import NormalDist
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specdb.answers import chance
from specdb.database import Database
from specdb.errors import BadQuantity, BadRequest
from specdb.records.fit import CycleState, FitResult

SOFT_RING = {
    "insert_diameter": 38.14,
    "bore": 38.0,
    "insert_inner": 34.0,
    "height": 8.0,
    "head": "al-si7mg-t6",
    "insert": "steel-16cr-2ni-martensitic",
}
STRONG_RING = {**SOFT_RING, "insert": "sintered-tool-steel", "insert_inner": 31.0}


def fit(db: Database, base: dict[str, Any], **changed: Any) -> FitResult:
    return db.fit(**{**base, **changed})


def losses(state: CycleState) -> float:
    return state.insert_set_mm.value + state.head_set_mm.value


def test_a_thin_soft_ring_loses_press_as_it_warms_up_first(db: Database) -> None:
    """`published` in behaviour (radial-engine-loose-seat-report-1960s): a ring hotter than its
    head loosens the fit for good."""
    found = fit(db, SOFT_RING)
    cold, warm_up, *_, last = found.cycle
    assert "ring ahead" in warm_up.state
    assert warm_up.insert_set_mm.value > cold.insert_set_mm.value + 0.01
    assert last.press_left_mm.value < cold.press_left_mm.value - 0.01
    assert last.pressure_mpa.value < cold.pressure_mpa.value
    assert any("hot cycle costs" in text for text in found.remarks)
    assert any("more press buys nothing" in text for text in found.remarks)


def test_a_strong_thick_ring_keeps_its_press(db: Database) -> None:
    found = fit(db, STRONG_RING, insert_diameter=38.09)
    assert found.cycle[-1].press_left_mm == found.cycle[0].press_left_mm
    assert losses(found.cycle[-1]) == 0.0
    assert not any("hot cycle costs" in text for text in found.remarks)


def test_the_order_of_the_heats_matters(db: Database) -> None:
    """The reverse: a head as hot as the ring lets the press go, and costs nothing."""
    ahead = fit(db, SOFT_RING, cycle=["316/100"])
    even = fit(db, SOFT_RING, cycle=["250/250"])
    behind = fit(db, SOFT_RING, cycle=["100/200"])
    cold = losses(ahead.cycle[0])
    assert losses(ahead.cycle[-1]) > cold
    assert losses(even.cycle[-1]) == losses(behind.cycle[-1]) == cold


def test_a_told_cycle_stands_between_cold_and_cold(db: Database) -> None:
    found = fit(db, STRONG_RING, cycle=["536 degF / 212 degF", (200, 150)])
    temperatures = [(c.insert_temperature_c, c.head_temperature_c) for c in found.cycle]
    assert temperatures[0] == temperatures[-1] == (20.0, 20.0)
    assert temperatures[1] == pytest.approx((280.0, 100.0), abs=0.01)
    assert temperatures[2] == (200.0, 150.0)


@pytest.mark.parametrize("cycle", ["316", ["warm/cold"], "316/100/20"])
def test_a_cycle_that_cannot_be_read_is_refused(db: Database, cycle: Any) -> None:
    with pytest.raises((BadQuantity, BadRequest)):
        fit(db, STRONG_RING, cycle=cycle)


def test_the_first_state_is_the_cold_fit(db: Database) -> None:
    for base in (SOFT_RING, STRONG_RING):
        found = fit(db, base)
        assert found.cycle[0].pressure_mpa.value == pytest.approx(found.pressure_mpa.value)
        assert found.insert_set_mm is not None
        assert found.cycle[0].insert_set_mm.value == pytest.approx(
            found.insert_set_mm.value, abs=1e-9
        )


def test_losses_only_grow_and_bands_hold_their_values(db: Database) -> None:
    before = 0.0
    for state in fit(db, SOFT_RING, insert_tolerance=0.01, bore_tolerance=0.01).cycle:
        assert losses(state) >= before
        before = losses(state)
        for band in (state.press_left_mm, state.pressure_mpa, state.insert_set_mm):
            assert band.low <= band.value <= band.high
        assert state.pressure_mpa.low >= 0.0


def test_the_state_with_the_least_press_decides(db: Database) -> None:
    found = fit(db, {**STRONG_RING, "insert": "alloyed-cast-iron", "insert_diameter": 38.06})
    least = min(found.running, key=lambda each: each.interference_mm.low)
    assert found.deciding_state == least.state
    assert found.deciding_margin_k == least.margin_k
    assert any(text.startswith("what decides") for text in found.remarks)


def test_a_margin_is_where_the_same_lead_of_the_ring_lets_go(db: Database) -> None:
    """Ring and head moved up by the margin together: no press is left."""
    base = {**STRONG_RING, "insert": "alloyed-cast-iron", "insert_diameter": 38.05}
    found = fit(db, base)
    checked = 0
    for state in found.running:
        if state.margin_k is None:
            continue
        by = state.margin_k.value
        there = fit(
            db,
            base,
            head_temperature=state.head_temperature_c + by,
            insert_temperature=state.insert_temperature_c + by,
        )
        assert there.interference_mm.value == pytest.approx(0.0, abs=3e-4)
        checked += 1
    assert checked >= 2


def test_a_head_nobody_measured_has_no_deciding_state(db: Database) -> None:
    found = fit(db, STRONG_RING, head="steel")
    assert found.running == found.cycle == ()
    assert found.deciding_state is None
    assert "no running state" in found.unknown["deciding_state"]
    assert "give a cycle" in found.unknown["cycle"]
    assert len(fit(db, STRONG_RING, head="steel", cycle=["200/150"]).cycle) == 3


# -- the chance of lying outside the range


def test_no_tolerance_no_chance(db: Database) -> None:
    found = fit(db, STRONG_RING)
    assert found.outside_chance is None
    assert "no tolerance" in found.unknown["outside_chance"]


def test_the_chance_is_that_of_the_recommended_range(db: Database) -> None:
    told = {"insert_tolerance": 0.012, "bore_tolerance": 0.009}
    found = fit(db, STRONG_RING, **told)
    asked = db.interference(
        head="al-si7mg-t6", insert="sintered-tool-steel", diameter=38.14, position="exhaust"
    )
    assert found.outside_chance is not None
    bell = NormalDist(0.14, math.hypot(0.012, 0.009) / 3)
    assert asked.interference_min_mm is not None
    assert asked.interference_max_mm is not None
    low, high = asked.interference_min_mm, asked.interference_max_mm
    expected = 100 * (bell.cdf(low) + 1 - bell.cdf(high))
    assert found.outside_chance.value == pytest.approx(expected, abs=1e-9)
    assert any("three standard deviations" in text for text in found.assumed)


@settings(max_examples=20)
@given(middle=st.floats(0.05, 0.2), ring=st.floats(0.001, 0.03), bore=st.floats(0.001, 0.03))
def test_the_share_outside_against_draws(middle: float, ring: float, bore: float) -> None:
    draw = random.Random(5)
    count, least, most = 20_000, 0.09, 0.15
    out = 0
    for _ in range(count):
        press = middle + draw.gauss(0, ring / 3) + draw.gauss(0, bore / 3)
        out += not least <= press <= most
    share = chance.outside_share(middle, math.hypot(ring, bore) / 3, least, most)
    assert out / count == pytest.approx(share, abs=5 * 0.5 / math.sqrt(count))
