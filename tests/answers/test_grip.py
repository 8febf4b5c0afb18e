"""Where a fit lets go when ring and head are evenly hot."""

from __future__ import annotations

import pytest

from specdb.answers import grip
from specdb.estimate import Estimate, exact


def steady(coefficient: float, half: float = 0.0) -> grip.Strain:
    """A part whose mean expansion is the same at every temperature."""

    def strain(at: float) -> Estimate:
        warm = at - 20
        return Estimate(
            coefficient * warm,
            (coefficient - half) * warm,
            (coefficient + half) * warm,
            "1",
            ("row",),
        )

    return strain


@pytest.mark.parametrize(
    ("cold", "ring", "hand"),
    [(0.127, 11.5e-6, 172), (0.178, 11.5e-6, 232), (0.127, 17e-6, 323), (0.178, 17e-6, 445)],
)
def test_where_aero_fits_let_go_derived(cold: float, ring: float, hand: float) -> None:
    """76 mm in a head of 22.5e-6, an iron-like and an austenitic ring (`derived`, by hand).

    The hand sum expands ring and bore from one diameter; here the ring starts from its own, larger
    by the fit, which moves the answer by up to one per cent of the warming.
    """
    along = grip.path(steady(ring), steady(22.5e-6), 500.0)
    found = grip.lost(along, exact(cold, "mm"), 76 + cold, 76.0)
    assert found.lost_c is not None
    assert found.lost_c.value == pytest.approx(hand, abs=0.7 + 0.01 * (hand - 20))
    assert found.lost_c.sources == ("row",)


def test_bronze_in_an_alloy_head_holds_to_the_end_of_the_data() -> None:
    """4 per thousand of bronze (16.2e-6) in 22.5e-6 never lets go below 600 degC (`derived`)."""
    along = grip.path(steady(16.2e-6), steady(22.5e-6), 500.0)
    found = grip.lost(along, exact(0.203, "mm"), 51.003, 50.8)
    assert found.lost_c is None
    assert "still holds at 500 degC, the hottest the data go" in found.text


def test_the_band_covers_tolerance_and_scatter() -> None:
    along = grip.path(steady(12e-6, 0.5e-6), steady(22e-6, 0.5e-6), 400.0)
    found = grip.lost(along, Estimate(0.10, 0.09, 0.11, "mm"), 38.1, 38.0).lost_c
    assert found is not None
    assert found.value == pytest.approx(20 + 0.10 / (38 * 10e-6), abs=1.5)
    by_limits = 20 + 0.09 / (38 * 10e-6)
    assert found.low < by_limits < found.value < found.high


def test_a_band_past_the_data_stops_there_and_says_so() -> None:
    along = grip.path(steady(12e-6, 1e-6), steady(22e-6, 1e-6), 290.0)
    found = grip.lost(along, exact(0.10, "mm"), 38.1, 38.0)
    assert found.lost_c is not None
    assert found.lost_c.high == 290.0
    assert "at best it still holds at 290 degC" in found.text


def test_a_loose_ring_has_let_go_already() -> None:
    along = grip.path(steady(12e-6), steady(22e-6), 290.0)
    found = grip.lost(along, exact(-0.01, "mm"), 38.0, 38.01)
    assert found.lost_c is not None
    assert found.lost_c.value == 20.0
