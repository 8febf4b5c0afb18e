"""The lines at the top of a fit: press beside its range, strength, letting go, what decides."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from specdb.answers import beside_range, fit_verdict
from specdb.answers.beside_range import Beside
from specdb.answers.grip import Grip
from specdb.answers.hot_states import Known
from specdb.answers.recommended import Segment
from specdb.estimate import Estimate, exact
from specdb.records.fit import RunningState

if TYPE_CHECKING:
    from specdb.database import Database

JOINT: dict[str, Any] = {
    "insert_diameter": "38.16 mm",
    "bore": "38.04 mm",
    "insert_inner": "31 mm",
    "height": "8 mm",
    "head": "aluminium",
    "insert": "sintered-tool-steel",
    "position": "exhaust",
}
CASE = {name: JOINT[name] for name in ("head", "insert", "position")}
RANGE = Beside(Segment(0, 99, 0.10, 0.15, "", ("row",)), "somewhere", "a ring", "")


@pytest.mark.parametrize(
    ("press", "place", "said"),
    [
        (Estimate(0.12, 0.12, 0.12, "mm"), "inside", "press 0.120 mm (4.7 thou) is inside;"),
        (Estimate(0.10, 0.10, 0.10, "mm"), "inside", "is inside;"),
        (Estimate(0.15, 0.15, 0.15, "mm"), "inside", "is inside;"),
        (Estimate(0.08, 0.08, 0.08, "mm"), "below", "is below by 0.020 mm (0.8 thou);"),
        (Estimate(0.17, 0.17, 0.17, "mm"), "above", "is above by 0.020 mm (0.8 thou);"),
        (Estimate(0.12, 0.09, 0.15, "mm"), "inside", "is inside, at the loose end below;"),
        (Estimate(0.12, 0.09, 0.16, "mm"), "inside", "loose end below, at the tight end above;"),
    ],
)
def test_a_press_is_inside_below_or_above(press: Estimate, place: str, said: str) -> None:
    text = beside_range.verdict(RANGE, press)
    assert RANGE.place(press.value) == place
    assert said in text
    assert "recommended 0.100 to 0.150 mm (3.9 to 5.9 thou) for a ring: somewhere" in text


@pytest.mark.parametrize("bore", ["38.00 mm", "38.04 mm", "38.10 mm"])
def test_the_range_is_that_of_the_question_about_ranges(db: Database, bore: str) -> None:
    found = db.fit(**JOINT | {"bore": bore})
    held = db.interference(diameter=JOINT["insert_diameter"], **CASE)
    least, most = held.interference_min_mm, held.interference_max_mm
    assert least is not None
    assert most is not None
    assert found.recommended_mm is not None
    assert (found.recommended_mm.low, found.recommended_mm.high) == (least, most)
    press = 38.16 - float(bore.split()[0])
    expected = "below" if press < least else "above" if press > most else "inside"
    assert found.press_verdict == expected
    assert f"is {expected}" in found.verdict
    assert set(found.recommended_mm.sources) <= set(found.facts)
    assert found.standard_fits == held.standard_fits


@pytest.mark.parametrize(
    ("head", "insert", "diameter"),
    [
        ("grey-iron", "high-chrome", 38.3),
        ("grey-iron", "high-chrome", 45),
        ("aluminium", "bronze", 45),
    ],
)
def test_a_range_is_never_said_to_be_better_seen_than_its_rows(
    db: Database, head: str, insert: str, diameter: float
) -> None:
    case = {"head": head, "insert": insert, "insert_diameter": f"{diameter} mm"}
    found = db.fit(**JOINT | case | {"bore": f"{diameter - 0.12} mm"})
    assert found.recommended_mm is not None
    rows = [found.facts[row] for row in found.recommended_mm.sources if row.startswith("range.")]
    assert rows
    said = found.verdict.split(": ", 1)[1]
    assert ("common practice, no source" in said) == any(
        row.seen == "common-practice" for row in rows
    )
    for seen in ("text", "excerpt", "secondary", "derived"):
        assert (f"seen as {seen}: " in said) == any(row.seen == seen for row in rows)
    assert "published" not in said


def test_no_range_is_said_and_nothing_guessed(db: Database) -> None:
    found = db.fit(**JOINT | {"insert_diameter": "120.16 mm", "bore": "120 mm"})
    held = db.interference(diameter="120.16 mm", **CASE)
    assert held.interference_min_mm is None
    assert (found.press_verdict, found.recommended_mm, found.standard_fits) == (None, None, ())
    assert "press_verdict" in found.unknown
    assert found.unknown["press_verdict"] in found.verdict


def test_a_guide_is_judged_by_the_range_of_guides(db: Database) -> None:
    guide = {
        "part": "valve-guide",
        "insert_diameter": "12.05 mm",
        "bore": "12.00 mm",
        "insert_inner": "7 mm",
        "height": "45 mm",
        "insert": "bronze",
    }
    found = db.fit(**JOINT | guide)
    held = db.interference(**CASE | {"insert": "bronze"}, part="valve-guide", diameter="12.05 mm")
    assert found.recommended_mm is not None
    assert found.recommended_mm.low == held.interference_min_mm


HEAT = Known(Estimate(200, 150, 250, "degC"), Estimate(300, 280, 325, "degC"), exact(300, "degC"))


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (275.0, "at 275 degC: 25 K above a head working at 250, 25 K below a head overheated"),
        (212.0, "at 212 degC: 38 K below a head working at 250, 88 K below a head overheated"),
        (320.0, "70 K above a head working at 250, 20 K above a head overheated at 300"),
    ],
)
def test_letting_go_is_told_from_a_working_and_an_overheated_head(at: float, said: str) -> None:
    assert said in fit_verdict.lets_go(Grip(exact(at, "degC"), ""), HEAT)


def test_a_fit_that_holds_past_the_data_says_so(db: Database) -> None:
    found = db.fit(**JOINT | {"insert": "bronze"})
    assert (found.grip_lost_c is None) == found.grip_verdict.startswith("still holds at")


def state(left: Estimate, margin: Estimate | None) -> RunningState:
    one = exact(1.0, "MPa")
    return RunningState(
        state="overheated head",
        head_temperature_c=300,
        insert_temperature_c=300,
        interference_mm=left,
        pressure_mpa=one,
        pressure_formula_mpa=one,
        margin_k=margin,
        why="",
    )


def test_what_decides_says_when_no_press_is_left() -> None:
    gone = state(Estimate(-0.012, -0.04, 0.01, "mm"), Estimate(-25, -80, 0, "K"))
    text = fit_verdict.decides(gone) or ""
    assert "no press left, 0.012 mm of clearance; it let go 25 K before that" in text
    holds = fit_verdict.decides(state(Estimate(0.02, -0.01, 0.05, "mm"), None)) or ""
    assert "0.020 mm of press left, none at worst (-0.010)" in holds
    assert fit_verdict.decides(None) is None


def test_strength_is_told_for_ring_and_head(db: Database) -> None:
    sound = db.fit(**JOINT)
    assert sound.insert_yield_ratio is not None
    assert f"the ring is at {100 * sound.insert_yield_ratio.value:.0f} %" in sound.strength_verdict
    soft = db.fit(**JOINT | {"head_state": "soft"})
    assert "head strength not known" in soft.strength_verdict
    thin = db.fit(**JOINT | {"insert_inner": "36.5 mm", "bore": "37.85 mm"})
    assert thin.insert_yield_ratio is not None
    assert thin.insert_yield_ratio.value > 1
    assert "the ring yields" in thin.strength_verdict
