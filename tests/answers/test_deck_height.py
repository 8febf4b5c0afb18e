"""Deck and height: what a skim leaves, what a sunk valve asks for, limits named by source."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specdb.database import Database
from specdb.errors import Misuse

DATA = Path(__file__).parents[2] / "data"
SKIM: dict[str, Any] = {
    "skim": "0.25 mm",
    "chamber_area": "50 cm2",
    "swept_volume": "399.5 cm3",
    "compression_ratio": "10.5:1",
}


def test_volume_and_ratio_by_hand(db: Database) -> None:
    """geometry: 50 cm2 x 0.25 mm = 1.25 cm3; 399.5 / 9.5 = 42.05; (399.5 + 40.80) / 40.80."""
    found = db.deck(**SKIM, chamber_volume="30 cc")
    assert found.volume_lost_cm3 == pytest.approx(1.25)
    assert found.chamber_volume_left_cm3 == pytest.approx(28.75)
    assert found.clearance_volume_left_cm3 == pytest.approx(40.80, abs=0.005)
    assert found.compression_ratio == pytest.approx(10.79, abs=0.005)


def test_an_insert_in_the_deck_loses_its_setback_and_one_in_a_roof_does_not(db: Database) -> None:
    on_deck = db.deck(skim="0.25 mm", setback="0.10 mm", recess="0.30 mm")
    in_roof = db.deck(skim="0.25 mm", setback="0.10 mm", recess="0.30 mm", reference="chamber-roof")
    assert on_deck.setback_left_mm == pytest.approx(-0.15)
    assert on_deck.recess_left_mm == pytest.approx(0.05)
    assert on_deck.deepen_mm == 0.25
    assert any("proud" in text for text in on_deck.remarks)
    assert (in_roof.setback_left_mm, in_roof.recess_left_mm) == (0.10, 0.30)
    assert in_roof.deepen_mm == 0.0
    assert not any("proud" in text for text in in_roof.remarks)


def test_clearance_goes_with_the_cosine(db: Database) -> None:
    """geometry: 0.30 mm at 60 degrees is 0.15 along the valve."""
    found = db.deck(skim="0.30 mm", inclination=60, valve_clearance="1.5 mm")
    assert found.valve_clearance_lost_mm == pytest.approx(0.15)
    assert found.valve_clearance_left_mm == pytest.approx(1.35)
    touching = db.deck(skim="0.30 mm", valve_clearance="0.2 mm")
    assert any("touch the pistons" in text for text in touching.remarks)


@pytest.mark.parametrize(
    ("skim", "before", "source", "within"),
    [  # published: the limit of each manual, inches turned to mm by hand
        (0.254, 0.0, "tm-5-3825-226-24", True),
        (0.26, 0.0, "tm-5-3825-226-24", False),
        (0.20, 0.10, "tm-5-3820-256-24-5", False),
        (0.49, 0.0, "tm-10-4320-310-14", True),
        (0.50, 0.0, "tm-10-4320-310-14", False),
        (0.76, 0.0, "tm-5-6115-593-34", True),
        (0.77, 0.0, "tm-5-6115-593-34", False),
    ],
)
def test_published_totals_judge_all_that_was_ever_taken(
    db: Database, skim: float, before: float, source: str, within: bool
) -> None:
    found = db.deck(skim=skim, skimmed_before=before or None)
    (row,) = [row for row in found.limits if found.facts[row.sources[0]].source == (source,)]
    assert row.says is not None
    assert row.says.startswith("within") is within


def test_every_published_total_is_there_and_the_outlier_judges_nothing(db: Database) -> None:
    with (DATA / "seat_geometry.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["feature"] == "deck-stock-total"]
    found = db.deck(skim=0.2)
    assert {row.sources[0] for row in found.limits} == {row["id"] for row in rows}
    (outlier,) = [row for row in found.limits if not row.stands]
    assert outlier.says is None
    assert "within all 6" in found.why


def test_what_was_not_told_is_said(db: Database) -> None:
    found = db.deck(skim=0.2)
    for name in ("volume_lost_cm3", "compression_ratio", "height_left_mm", "setback_left_mm"):
        assert getattr(found, name) is None
        assert found.unknown[name].startswith("not told")
    assert any("never skimmed" in text for text in found.assumed)


def test_below_the_least_height_is_said(db: Database) -> None:
    found = db.deck(skim="0.25 mm", height="120 mm", minimum_height="119.9 mm")
    assert found.above_minimum_mm == pytest.approx(-0.15)
    assert any("least height" in text for text in found.remarks)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"skim": 0}, "skim"),
        ({"skim": 20, "height": 15}, "skim"),
        ({"chamber_volume": "60 cm3"}, "chamber_volume"),
        ({"chamber_volume": "1 cm3"}, "chamber_volume"),
        ({"skim": 9}, "swept_volume"),
        ({"compression_ratio": 0.9}, "compression_ratio"),
        ({"reference": "roof"}, "reference"),
        ({"inclination": 95}, "inclination"),
    ],
)
def test_a_skim_that_cannot_be_is_refused(db: Database, wrong: dict[str, Any], field: str) -> None:
    with pytest.raises(Misuse) as refused:
        db.deck(**{**SKIM, **wrong})
    assert refused.value.field == field


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=20)
@given(skim=st.floats(0.01, 0.5), more=st.floats(0.01, 0.3), area=st.floats(100.0, 8000.0))
def test_more_off_means_more_compression(
    db: Database, skim: float, more: float, area: float
) -> None:
    asked = {"chamber_area": area, "swept_volume": "500 cm3", "compression_ratio": 9.0}
    less, deeper = db.deck(skim=skim, **asked), db.deck(skim=skim + more, **asked)
    assert less.compression_ratio is not None
    assert deeper.compression_ratio is not None
    assert deeper.compression_ratio > less.compression_ratio > 9.0


# --- height --------------------------------------------------------------------------------------


def test_shim_tip_and_lash_by_hand(db: Database) -> None:
    """The trade's rule: spring shim = sink, tip to grind = sink, lash shim out by as much."""
    found = db.height(stem_old="40.00 mm", stem_new="40.20 mm", shim="2.60 mm")
    assert found.sink_mm == pytest.approx(0.20)
    assert found.spring_shim_mm == pytest.approx(0.20)
    assert found.tip_to_grind_mm == pytest.approx(0.20)
    assert found.tip_over_mm == pytest.approx(0.0)
    assert found.lash_shim_mm == pytest.approx(2.40)


def test_a_tip_gives_a_quarter_millimetre_at_most_common_practice(db: Database) -> None:
    found = db.height(stem_old=40, stem_new=40.35)
    assert found.tip_allowed_mm == pytest.approx(0.25)
    assert found.tip_over_mm == pytest.approx(0.10)
    assert any("hard layer" in text for text in found.remarks)
    assert "seat.tip-grinding.any.1" in found.facts
    ground = db.height(stem_old=40, stem_new=40.10, tip_ground=0.20)
    assert ground.sink_mm == pytest.approx(0.30)
    assert ground.spring_shim_mm == pytest.approx(0.30)
    assert ground.tip_allowed_mm == pytest.approx(0.05)


def test_a_measured_lash_counts_before_a_guessed_one(db: Database) -> None:
    found = db.height(stem_old=40, stem_new=40.2, shim=2.6, lash=0.25, lash_found=0.10)
    assert found.lash_shim_mm == pytest.approx(2.45)
    assert found.assumed == ()


def test_the_springs_own_height_counts_before_the_sink(db: Database) -> None:
    asked = {"spring_height": "38.4 mm", "spring_height_wanted": "38.0 mm"}
    found = db.height(stem_old=40, stem_new=40.2, **asked)
    assert found.spring_shim_mm == pytest.approx(0.4)
    assert any("look why" in text for text in found.remarks)


@pytest.mark.parametrize(("other", "within"), [(40.25, True), (40.26, False), (40.14, False)])
def test_valves_under_one_bridge_common_practice(db: Database, other: float, within: bool) -> None:
    found = db.height(stem_old=40, stem_new=40.2, bridge_heights=[other])
    assert found.bridge_within is within
    assert any("one bridge" in text for text in found.remarks) is not within


def test_a_valve_that_sits_higher_wants_nothing_ground(db: Database) -> None:
    found = db.height(stem_old=40, stem_new=39.9, shim=2.6)
    assert found.sink_mm == pytest.approx(-0.1)
    assert (found.spring_shim_mm, found.tip_to_grind_mm) == (0.0, 0.0)
    assert found.lash_shim_mm == pytest.approx(2.7)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [({"stem_new": 80}, "stem_new"), ({"shim": 0.1}, "shim"), ({"stem_old": -1}, "stem_old")],
)
def test_heights_that_cannot_be_are_refused(
    db: Database, wrong: dict[str, Any], field: str
) -> None:
    with pytest.raises(Misuse) as refused:
        db.height(**{"stem_old": 40, "stem_new": 40.2, **wrong})
    assert refused.value.field == field


def test_sodium_is_said_at_the_tip(db: Database) -> None:
    keys = {note.key for note in db.height(stem_old=40, stem_new=40.2).cautions}
    assert {"sodium-valve", "tip-not-through"} <= keys


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ({"setback": 0.15}, "not with the inserts as they lie: they end 0.05 mm proud"),
        ({"recess": 0.1}, "not with the valves as they lie: they end 0.10 mm above the deck"),
        ({"height": 100.0, "minimum_height": 99.9}, "no: the head ends 0.10 mm under its least"),
        ({"valve_clearance": 0.2}, "no: the valves would touch the pistons"),
        ({"setback": 0.15, "reference": "chamber-roof"}, "0.20 mm in all"),
        ({"setback": 0.2, "recess": 0.2}, "0.20 mm in all"),
    ],
)
def test_what_forbids_a_skim_stands_first(db: Database, asked: dict[str, Any], first: str) -> None:
    """0.2 off: 0.15 - 0.2 = -0.05; 0.1 - 0.2 = -0.1; 100 - 0.2 - 99.9 = -0.1."""
    assert db.deck(skim=0.2, **asked).why.startswith(first)


def test_a_ratio_is_shown_to_two_decimals(db: Database) -> None:
    """400 / 9.2 = 43.478; less 5000 x 0.2 = 1 cm3: (400 + 42.478) / 42.478 = 10.417."""
    from specdb.cli import show

    said = show.answer(
        db.deck(skim=0.2, chamber_area="50 cm2", swept_volume="400 cm3", compression_ratio=10.2)
    )
    assert "10.42:1" in said
    assert "10.20:1" in said
    assert "Compression rises by 0.22" in said
