"""A bore made to the measured ring spares the cold that only the limits ask for.

The counterbore of 33.02 and 33.03 takes 33.25 +-0.0125 bored to 33.0979 to 33.1509 in alloy; the
press is 0.086 to 0.165 over all limits, 0.126 in the middle. Gauges are read to 0.005 each way:
ring and bore together leave 0.126 - 0.010 to 0.126 + 0.010.
"""

from __future__ import annotations

import pytest

from specdb.answers.head_heat import Way, with_milder
from specdb.answers.measured_ring import press_of
from specdb.answers.steps import RANKS

SEAT = {
    "bore": ["33.02", "33.03"],
    "depth": "6.5",
    "position": "intake",
    "head": "aluminium",
    "insert": "sintered-tool-steel",
}


def rank(pair) -> int:
    return RANKS.get(pair.chill, 0)


@pytest.fixture(scope="module")
def plan(database):
    import specdb

    with specdb.open(database) as db:
        return db.seat(**SEAT)


def test_the_press_left_is_what_the_gauges_may_be_wrong_by(plan) -> None:
    to_ring, ring = plan.to_measured_ring, plan.chosen
    middle = (ring.press_least_mm + ring.press_greatest_mm) / 2
    assert ring.press_greatest_mm - middle > 0.03, "the limits are wider"
    assert to_ring.press_mm == pytest.approx(middle, abs=1e-9)
    assert to_ring.press_least_mm == pytest.approx(middle - 0.010, abs=1e-9)
    assert to_ring.press_greatest_mm == pytest.approx(middle + 0.010, abs=1e-9)


def test_both_pairs_are_those_shrink_gives_by_itself(plan, db) -> None:
    """`shrink` judges the tightest end of what it is asked: of the limits, and of the ring."""
    ring, both = plan.chosen, {"head": "aluminium", "insert": "sintered-tool-steel"}
    sizes = {"insert_diameter": ring.outer_mm, "insert_inner": ring.inner_mm, "height": "6.5"}
    middle = (ring.press_least_mm + ring.press_greatest_mm) / 2
    half = (ring.press_greatest_mm - ring.press_least_mm) / 2
    cut = (ring.cut_max_mm - ring.cut_min_mm) / 2
    limits = db.shrink(
        **sizes, **both, bore=ring.bore_target_mm, insert_tolerance=half - cut, bore_tolerance=cut
    ).chosen
    measured = db.shrink(
        **sizes, **both, bore=ring.outer_mm - middle, insert_tolerance=0.005, bore_tolerance=0.005
    ).chosen
    assert (rank(limits), rank(measured)) == (1, 0), "dry ice, and a freezer"
    assert (plan.any_ring.chill, plan.any_ring.heat) == (limits.chill, limits.heat)
    assert (plan.shrink.chosen.chill, plan.shrink.chosen.heat) == (measured.chill, measured.heat)


def test_the_bench_says_which_is_for_which(plan) -> None:
    told = {line.what: line.text for line in plan.bench}
    # the ring's tolerance is the same each way, so the middle of the press is ring less bore
    middle = plan.chosen.outer_mm - plan.boring.bore_mm
    said = f"{middle:.3f} mm, {middle - 0.010:.3f} to {middle + 0.010:.3f}"
    assert f"measured ring minus {said}" in told["better"]
    assert "bored to the measured ring" in told["heat and chill"]
    assert "dry-ice" in told["not measured"]
    assert "first read the dangers of dry-ice" in told["not measured"]
    assert any(note.key.startswith("dry-ice") for note in plan.cautions)


def test_nothing_is_asked_of_the_bore_where_it_spares_nothing(db) -> None:
    easy = db.seat(**{**SEAT, "bore": ["38.05", "38.06"], "position": "exhaust", "depth": "8.2"})
    assert rank(easy.shrink.chosen) == 0
    assert easy.to_measured_ring is None
    only = db.seat(**SEAT, chill="liquid-nitrogen")
    assert only.to_measured_ring is None, "as cold either way"
    assert only.any_ring is None


def test_a_counterbore_is_not_bored_to_a_ring_that_goes_in_as_found(db) -> None:
    found = db.seat(**{**SEAT, "bore": ["33.872", "33.874"], "position": "exhaust"})
    assert found.chosen.as_found
    assert press_of(found.readings, found.chosen) is None
    assert found.to_measured_ring is None


def test_a_head_is_warmed_for_the_milder_of_both(db) -> None:
    rows = "label,position,bore_1,bore_2,depth\n1I,intake,33.02,33.03,6.5\n"
    plan = db.head(readings=rows, head="aluminium", insert="sintered-tool-steel")
    seat = plan.seats["1I"]
    assert seat.to_measured_ring is not None
    assert list(plan.head_heat.chills) == [seat.shrink.chosen.chill]
    assert not any(RANKS.get(chill) for chill in plan.head_heat.chills)


def test_at_each_heat_the_milder_chill_is_taken() -> None:
    limits = (Way(150.0, "oven-150", -196.0, "liquid-nitrogen"),)
    ring = (Way(120.0, "oven-120", -78.0, "dry-ice"), Way(150.0, "oven-150", -18.0, "none"))
    assert with_milder(limits, ring) == (ring[1], ring[0])
    assert with_milder(ring[1:], limits) == ring[1:]
