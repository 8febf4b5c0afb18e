"""The plan of a seat holds removal and cut, and agrees with the questions asked alone."""

from __future__ import annotations

from typing import Any

import pytest

from specdb.database import Database
from specdb.errors import BadRequest

SEAT: dict[str, Any] = {
    "bore": [38.05, 38.06],
    "head": "al-si7mg-t6",
    "insert": "sintered-tool-steel",
    "depth": 8.2,
    "pilot": 6.98,
    "runout": 0.05,
    "old_insert": 38.1,
    "old_insert_class": "sintered-plain",
    "valve_diameter": 35.0,
    "margin": 1.5,
    "recess": 0.5,
}


def bench(plan: Any) -> dict[str, str]:
    return {line.what: line.text for line in plan.bench}


def test_removal_and_cut_are_those_of_the_questions_alone(db: Database) -> None:
    plan = db.seat(**SEAT)
    assert plan.chosen is not None
    alone = db.removal(
        insert_diameter=38.1,
        insert="sintered-plain",
        head="al-si7mg-t6",
        pilot=6.98,
        runout=0.05,
        depth=8.2,
    )
    cut = db.cut(
        valve_diameter=35.0,
        margin=1.5,
        recess=0.5,
        insert_diameter=plan.chosen.outer_mm,
        insert_inner=plan.chosen.inner_mm,
        height=plan.chosen.height_mm,
        insert_depth_below_deck=8.2 - plan.chosen.height_mm,
    )
    bare = {"facts": {}, "cautions": ()}
    assert plan.removal == alone.model_copy(update=bare)
    assert plan.cut == cut.model_copy(update=bare)
    assert set(cut.facts) | set(alone.facts) <= set(plan.facts)


def test_the_bench_starts_with_the_old_ring_and_ends_with_the_seat(db: Database) -> None:
    lines = bench(db.seat(**SEAT))
    order = list(lines)
    assert order[0] == "old ring"
    assert order.index("old ring") < order.index("ring") < order.index("seat")
    assert "tip over pilot 22.14 mm" in lines["old ring"]  # geometry: (6.98 + 37.3) / 2
    assert lines["depth stop"].startswith("7.70 to 7.90")
    assert "30 / 45 / 60" in lines["seat"]


def test_a_plan_without_them_says_why(db: Database) -> None:
    left = ("old_insert", "old_insert_class", "valve_diameter")
    plan = db.seat(**{name: value for name, value in SEAT.items() if name not in left})
    assert plan.removal is None
    assert plan.cut is None
    assert "old_insert" in plan.unknown["removal"]
    assert "valve_diameter" in plan.unknown["cut"]
    assert "old ring" not in bench(plan)


def test_an_unsafe_removal_is_a_problem_and_no_setting(db: Database) -> None:
    plan = db.seat(**{**SEAT, "runout": 0.8})
    assert plan.removal is not None
    assert not plan.removal.safe
    assert "refused" in bench(plan)["old ring"]
    assert any("Old ring: refused" in text for text in plan.problems)


def test_a_ring_too_small_for_the_valve_is_a_problem_not_a_failure(db: Database) -> None:
    plan = db.seat(**{**SEAT, "valve_diameter": 41.0})
    assert plan.cut is None
    assert any(text.startswith("Seat: ") for text in plan.problems)


def test_angles_that_make_no_seat_are_still_refused(db: Database) -> None:
    with pytest.raises(BadRequest, match="top_angle"):
        db.seat(**SEAT, top_angle=50)


def test_copper_comes_first_and_weld_beads_do_not_come_at_all(db: Database) -> None:
    keys = [note.key for note in db.seat(**{**SEAT, "old_insert_class": "bronze"}).cautions]
    assert keys[0] == "beryllium-until-known"
    assert not any(key.startswith("weld-") for key in keys)
