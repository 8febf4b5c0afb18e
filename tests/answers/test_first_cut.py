"""The first cut of a setting takes metal, and the press told is that of the bores told."""

from __future__ import annotations

import pytest

from specdb.answers.boring import Trial
from specdb.sheet import render

TRIAL = Trial(under=0.10, least=0.05)
SEAT = {"head": "al-si7mg-t6", "insert": "sintered-tool-steel", "pilot": "7.98"}
PRESS = {"interference_min": "0.10 mm", "interference_max": "0.16 mm"}


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("finish", "hole", "first"),
    [
        (35.15, 35.00, 35.05),  # 0.10 left for the last cut, 0.05 taken by the first
        (35.40, 35.00, 35.30),
        (35.149, 35.00, 35.0745),  # less than 0.15: two halves
        (35.10, 35.00, 35.05),
        (35.099, 35.00, None),  # two cuts of 0.05 are not to be had
        (35.00, 35.01, None),
    ],
)
def test_a_first_cut_never_cuts_air(finish: float, hole: float, first: float | None) -> None:
    assert TRIAL.first_bore(finish, hole) == first


@pytest.mark.common_practice
def test_too_little_to_take_out_is_said_with_what_to_do_instead(db) -> None:
    plan = db.seat(bore=["38.05", "38.06"], **SEAT)
    assert plan.boring.bore_mm - 38.06 < 0.10
    assert plan.boring.first_bore_mm is None
    assert plan.boring.first_tip_over_pilot_mm is None
    why = plan.unknown["boring.first_bore_mm"]
    assert why.startswith(f"only {plan.boring.bore_mm - 38.06:.2f} mm to take out: no first cut;")
    (line,) = [each.text for each in plan.bench if each.what == "tip over pilot"]
    assert line.endswith("touch the mouth 0.5 mm deep, measure, correct by half of what is missing")
    assert "touch the mouth 0.5 mm deep" in render(plan)
    # with run-out the hole is cut all round only from that much larger on
    off = db.seat(bore=["37.90", "37.91"], runout="0.10", **SEAT)
    first = off.boring.first_bore_mm
    assert first is None or first >= 37.91 + 0.10 + 0.05 - 1e-9


@pytest.mark.common_practice
def test_the_first_cut_of_a_shared_setting_is_by_its_largest_hole(db) -> None:
    rows = "label,bore_1,bore_2\n1,34.90,34.91\n2,34.99,35.00\n"
    plan = db.head(readings=rows, **SEAT)
    (setting,) = plan.settings
    assert setting.labels == ("1", "2")
    assert setting.bore_mm - 34.91 >= 0.15 > 0.10 > setting.bore_mm - 35.00
    assert setting.first_bore_mm is None
    why = plan.unknown["settings.1.first_bore_mm"]
    assert "of the largest hole of this setting" in why
    assert plan.seats["1"].boring.first_bore_mm is None
    assert plan.seats["1"].unknown["boring.first_bore_mm"] == why


def test_the_press_is_that_of_the_limits_as_printed_on_every_face(db) -> None:
    # 35.179 less 0.100 and 0.160 are no whole steps of 0.005: 35.019 to 35.079
    seat = {**SEAT, **PRESS, "bore": ["34.96", "34.965"]}
    plan = db.seat(**seat)
    ring, bored = plan.chosen, plan.boring
    least = ring.outer_mm - ring.outer_minus_mm - bored.bore_most_mm
    most = ring.outer_mm + ring.outer_plus_mm - bored.bore_least_mm
    assert ring.press_least_mm == pytest.approx(least, abs=1e-9)
    assert ring.press_greatest_mm == pytest.approx(most, abs=1e-9)
    said = f"{(least + most) / 2:.3f}"
    bench = " ".join(each.text for each in plan.bench)
    assert f"measured ring minus {said} mm" in bench
    assert f">{said}<" in render(plan)
