"""Guide: wear against published limits, press from the rows, closing-in from the ring formula."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specdb.database import Database
from specdb.errors import Misuse

WORN: dict[str, Any] = {
    "guide_top": [7.06, 7.08],
    "guide_middle": [7.03, 7.03],
    "guide_bottom": [7.09, 7.12],
    "stem_top": [6.96, 6.97],
    "stem_middle": 6.97,
    "stem_bottom": [6.95, 6.96],
}
NEW: dict[str, Any] = {
    "head": "aluminium",
    "guide": "bronze",
    "bore": [12.000, 12.005],
    "guide_diameter": 12.05,
    "guide_inner": 6.9,
    "stem": [6.965, 6.970],
}


def test_wear_by_place_by_hand(db: Database) -> None:
    found = db.guide(**WORN)
    assert [place.place for place in found.places] == ["top", "middle", "bottom"]
    assert [place.play_mm for place in found.places] == pytest.approx([0.12, 0.06, 0.17])
    assert found.places[2].guide_ovality_mm == pytest.approx(0.03)
    assert found.bell_mouth_mm == pytest.approx(0.09)
    assert found.worst_play_mm == pytest.approx(0.17)


@pytest.mark.parametrize(
    ("position", "bore", "wear"),
    [  # published: exhaust 0.005 in (tm-5-4210-220-34), 0.15 mm (tm-10-3930-653-14p), any 0.006 in
        ("exhaust", 7.126, "within"),
        ("exhaust", 7.129, "between limits"),
        ("exhaust", 7.152, "between limits"),
        ("exhaust", 7.153, "worn out"),
        # published: intake 0.1 mm (tm-10-3930-653-14p)
        ("intake", 7.100, "within"),
        ("intake", 7.101, "between limits"),
    ],
)
def test_wear_is_judged_by_published_limits(
    db: Database, position: str, bore: float, wear: str
) -> None:
    found = db.guide(position=position, guide_middle=bore, stem_middle=7.0, reading_error=0)
    assert found.wear == wear
    assert all(row.position in (position, "any") for row in found.limits)


@pytest.mark.parametrize(
    "readings",
    [
        {"guide_middle": 7.06, "stem_middle": 6.97},
        {"guide_top": 7.06, "stem_middle": [6.98, 6.97]},
        {"guide_bottom": [7.05, 7.06], "stem": 6.97},
    ],
)
def test_one_reading_of_each_tells_the_play_not_where(
    db: Database, readings: dict[str, Any]
) -> None:
    """7.06 - 6.97 = 0.09, wherever the two were taken."""
    found = db.guide(**readings)
    assert found.worst_play_mm == pytest.approx(0.09)
    assert found.wear == "within"
    assert "worst_play_mm" not in found.unknown
    assert "wear by position is not known" in found.unknown["places"]


def test_the_worst_place_is_the_one_with_the_largest_clearance(db: Database) -> None:
    """7.12 - 6.97 = 0.15 at the port's end, though the stem was read in the middle only."""
    found = db.guide(guide_middle=7.03, guide_bottom=7.12, stem_middle=6.97)
    assert [place.play_mm for place in found.places] == pytest.approx([0.06, 0.15])
    assert found.worst_play_mm == pytest.approx(0.15)
    assert "at the bottom, the stem's thinnest reading taken" in found.why
    assert "places" in found.unknown
    assert "places" not in db.guide(**WORN).unknown


# published: exhaust 0.005 in = 0.127 mm (tm-5-4210-220-34), any 0.006 in = 0.1524 mm
@pytest.mark.parametrize(
    ("play", "error", "wear"),
    [
        (0.125, 0.005, "between limits"),  # 0.125 + 2 x 0.005 = 0.135
        (0.117, 0.005, "within"),  # 0.117 + 0.010 = 0.127
        (0.118, 0.005, "between limits"),
        (0.125, 0.001, "within"),  # 0.125 + 0.002 = 0.127
        (0.126, 0.001, "between limits"),
        (0.153, 0.005, "worn out"),  # past the widest as it reads
    ],
)
def test_within_is_only_what_is_so_whatever_the_error_of_the_readings(
    db: Database, play: float, error: float, wear: str
) -> None:
    found = db.guide(guide_bottom=6.0 + play, stem_bottom=6.0, reading_error=error)
    assert found.wear == wear
    assert f"{2 * error:.3f} mm more or less" in found.why


def test_a_bell_mouth_is_judged_by_the_clearance_and_said_to_have_no_limit(db: Database) -> None:
    """6.09 - 6.01 = 0.08; common practice 0.04 to 0.09 of clearance may vary by 0.05."""
    worn = db.guide(guide_middle=6.01, guide_bottom=[6.06, 6.09], stem=5.965)
    assert "bell mouth 0.080 mm, more than the usual clearance may vary (0.050 mm)" in worn.why
    assert "no limit of it is held" in worn.why
    small = db.guide(guide_middle=6.01, guide_bottom=6.03, stem=5.965).why
    assert "bell mouth 0.020 mm; no limit" in small
    assert "no more than the error" in db.guide(guide_middle=6.01, guide_top=6.02, stem=5.965).why


@pytest.mark.parametrize("field", ["stem", "stem_middle"])
def test_a_stem_that_does_not_enter_is_no_wear(db: Database, field: str) -> None:
    found = db.guide(guide_top=6, guide_middle=6, guide_bottom=5.9, **{field: 5.97})
    assert found.wear == "does not enter"
    assert "5.970 mm, does not enter the guide, 5.900 mm at the bottom" in found.why
    near = db.guide(guide_top=6, guide_middle=6, guide_bottom=5.96, **{field: 5.97})
    assert near.wear == "within"  # 0.010 is no more than the error of two readings


def test_each_limit_says_whose_engine_it_is_of(db: Database) -> None:
    found = db.guide(guide_bottom=7.14, stem_bottom=7.0)
    assert any((row.says or "") == "past; for the engine of a fire truck" for row in found.limits)
    assert any("none says for which stem" in text for text in found.remarks)


def test_without_a_stem_the_play_is_not_known(db: Database) -> None:
    found = db.guide(guide_middle=7.06)
    assert found.worst_play_mm is None
    assert "stem_middle" in found.unknown["worst_play_mm"]


@pytest.mark.parametrize(
    ("position", "least", "most"),
    [("intake", 0.025, 0.06), ("exhaust", 0.04, 0.09)],  # common practice
)
def test_the_finished_bore_gives_the_usual_clearance(
    db: Database, position: str, least: float, most: float
) -> None:
    found = db.guide(position=position, stem=[6.965, 6.970])
    assert (found.clearance_min_mm, found.clearance_max_mm) == (least, most)
    assert found.ream_min_mm == pytest.approx(6.970 + least)
    assert found.ream_max_mm == pytest.approx(6.965 + most)
    assert found.liner_bore_min_mm == pytest.approx(6.970 + least + 2 * 0.38)  # common practice


def test_the_press_is_that_of_guides(db: Database) -> None:
    """common practice: 0.0015 to 0.0025 in for guides in aluminium."""
    found = db.guide(**NEW)
    assert found.interference_min_mm == pytest.approx(0.0015 * 25.4)
    assert found.interference_max_mm == pytest.approx(0.0025 * 25.4)
    assert found.press_mm is not None
    assert (found.press_mm.low, found.press_mm.high) == pytest.approx((0.045, 0.050))
    asked = db.interference(
        part="valve-guide", head="aluminium", insert="bronze", diameter=12.05, position="exhaust"
    )
    assert asked.interference_min_mm == found.interference_min_mm


def test_closing_in_agrees_with_thick_ring_theory(db: Database) -> None:
    """geometry of stress, worked apart: a guide's bore takes the displacement u(a) of the thick
    ring under outer pressure, with p from the sum of both parts' displacements at the joint."""
    found = db.guide(**{**NEW, "bore": 12.0, "guide_diameter": 12.05})
    closes = found.closes_in_mm
    assert closes is not None
    ring = db.material("bronze")
    head = db.material("al-si7mg-t6")

    def values(metal: Any) -> tuple[float, float]:
        modulus = metal.value("youngs_modulus", "20 degC").value * 1000
        return modulus, metal.value("poissons_ratio", "20 degC").value

    (e_i, nu_i), (e_o, nu_o) = values(ring), values(head)
    a, b = 6.9 / 2, 12.05 / 2
    inward = b / e_i * ((b * b + a * a) / (b * b - a * a) - nu_i)
    outward = b / e_o * (1 + nu_o)
    pressure = 0.025 / (inward + outward)
    by_hand = 2 * pressure * 2 * a * b * b / (b * b - a * a) / e_i
    assert closes.value == pytest.approx(by_hand, rel=1e-6)
    assert closes.low < closes.value < closes.high
    assert found.inner_fitted_mm is not None
    assert found.inner_fitted_mm.value == pytest.approx(6.9 - by_hand, rel=1e-6)
    assert found.to_ream_mm is not None
    middle = (found.ream_min_mm + found.ream_max_mm) / 2  # type: ignore[operator]
    assert found.to_ream_mm.value == pytest.approx(middle - found.inner_fitted_mm.value)


@pytest.mark.parametrize("error", [0.0, 0.005])
def test_guides_listed_really_fit(db: Database, error: float) -> None:
    """12.05 goes into 12.000 to 12.005 as read exactly, not with 0.005 of error: 12.05 - 0.0055 -
    12.010 = 0.0345, under 0.0381."""
    found = db.guide(**NEW, reading_error=error)
    least, most = found.interference_min_mm, found.interference_max_mm
    assert least is not None
    assert most is not None
    assert found.guides[0].as_found is (error == 0.0)
    for size in found.guides:
        if size.as_found:
            assert least <= size.outer_mm - 12.005
            assert size.outer_mm - 12.000 <= most
        else:
            assert size.ream_head_min_mm is not None
            assert size.ream_head_min_mm >= 12.005
            assert size.ream_head_max_mm == pytest.approx(size.outer_mm - least)
        # 6.970 + 0.04 finished, or it could not be reamed; and not more than 0.5 under it
        assert size.stock_mm == pytest.approx(7.01 - size.inner_mm)
        assert size.stock_mm >= 0.0
        assert size.as_found or size.stock_mm <= 0.5


@pytest.mark.parametrize("bore", [[11.000, 11.006], [12.000, 12.005], [12.0], [13.04, 13.05]])
@pytest.mark.parametrize("error", [0.0, 0.002, 0.005])
def test_guide_and_sizes_judge_a_hole_alike(db: Database, bore: list[float], error: float) -> None:
    stem = 0.55 * bore[0]
    guide = db.guide(head="alu", guide="bronze", bore=bore, stem=stem, reading_error=error)
    found = db.sizes(
        part="valve-guide", head="alu", insert="bronze", bore=bore, reading_error=error,
        inner_max=guide.ream_min_mm, most=500,
    )  # fmt: skip
    judged = {
        each.outer_mm: (each.as_found, each.cut_min_mm, each.cut_max_mm)
        for each in found.candidates
    }
    assert guide.guides
    for size in guide.guides:
        as_found, *cut = judged[size.outer_mm]
        assert size.as_found is as_found
        assert [size.ream_head_min_mm, size.ream_head_max_mm] == pytest.approx(cut)
    assert found.as_found is any(size.as_found for size in guide.guides)


@pytest.mark.parametrize(("bore", "text"), [(12.03, "oversize guide"), (11.97, "ream the hole")])
def test_a_press_outside_the_range_is_said(db: Database, bore: float, text: str) -> None:
    found = db.guide(**{**NEW, "bore": bore})
    assert any(text in remark for remark in found.remarks)


@pytest.mark.parametrize(("off", "near"), [(0.001, True), (0.009, True), (0.012, False)])
@pytest.mark.parametrize("side", ["low", "high"])
def test_a_press_the_readings_cannot_tell_is_measured_again(
    db: Database, off: float, near: bool, side: str
) -> None:
    """Hole and guide read 0.005 wrong the same way move the press by 0.010 (worked by hand)."""
    asked = {**NEW, "guide_diameter": 12.05, "reading_error": 0.005}
    ends = db.guide(**{**asked, "bore": 12.0})
    assert ends.interference_min_mm is not None
    assert ends.interference_max_mm is not None
    press = ends.interference_min_mm - off if side == "low" else ends.interference_max_mm + off
    remarks = db.guide(**{**asked, "bore": 12.05 - press}).remarks
    (said,) = (each for each in remarks if each.startswith("Press "))
    assert ("measure both again" in said) is near


def test_where_no_range_reaches_it_says_so(db: Database) -> None:
    found = db.guide(**{**NEW, "guide_diameter": 25.05, "bore": 25.0})
    assert found.interference_min_mm is None
    assert found.unknown["interference_min_mm"]
    assert found.closes_in_mm is not None  # by the press measured


def test_the_order_of_work_is_the_rows(db: Database) -> None:
    found = db.guide(stem=7.0)
    said = " ".join(row.statement for row in found.steps if row.statement)
    for words in ("carbon", "by which end", "ream", "check the height"):
        assert words in said
    assert any("run-out of the old counterbore" in text for text in found.remarks)
    assert found.wear is None
    assert found.unknown["wear"]


def test_a_guide_that_stands_elsewhere_is_said(db: Database) -> None:
    found = db.guide(stem=7.0, protrusion_before=15.0, protrusion_after=15.5)
    assert found.protrusion_change_mm == pytest.approx(0.5)
    assert any("0.50 mm higher" in text for text in found.remarks)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"stem_middle": 9.0}, "stem_middle"),
        ({"stem_middle": 3.0}, "stem_middle"),
        ({"guide_inner": 13.0}, "guide_inner"),
        ({"guide_diameter": 14.0}, "guide_diameter"),
        ({"guide": "copper"}, "insert"),
        ({"stem": "wide"}, "stem"),
    ],
)
def test_readings_that_cannot_belong_together(
    db: Database, wrong: dict[str, Any], field: str
) -> None:
    with pytest.raises(Misuse) as refused:
        db.guide(**{**WORN, **NEW, **wrong})
    assert refused.value.field == field


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15)
@given(
    press=st.floats(0.01, 0.06),
    more=st.floats(0.005, 0.03),
    inner=st.floats(5.0, 8.0),
)
def test_more_press_closes_in_more(db: Database, press: float, more: float, inner: float) -> None:
    asked = {**NEW, "guide_inner": inner, "bore": 12.0}
    less = db.guide(**{**asked, "guide_diameter": 12.0 + press}).closes_in_mm
    tight = db.guide(**{**asked, "guide_diameter": 12.0 + press + more}).closes_in_mm
    assert less is not None
    assert tight is not None
    assert 0.0 < less.value < tight.value < press + more


JOINT: dict[str, Any] = {
    "part": "guide",
    "insert_diameter": 12.05,
    "bore": 12.0,
    "insert_inner": 6.9,
    "height": 45.0,
    "head": "al-si7mg-t6",
    "insert": "bronze",
}


def test_fit_takes_a_guide_as_what_it_is(db: Database) -> None:
    found = db.fit(**JOINT)
    seat = db.fit(**{**JOINT, "part": "seat-insert"})
    assert found.pressure_formula_mpa == seat.pressure_formula_mpa
    assert found.grip_lost_c == seat.grip_lost_c
    assert found.running == ()  # what a seat's ring runs at is no guide's
    assert seat.running != ()
    # A ring proud at both ends of its boss is hardly held harder than two plain rings.
    assert found.pocket_factor is not None
    assert found.pocket_factor.value == pytest.approx(1.0, abs=0.03)
    assert seat.pocket_factor is None  # higher than the table of pockets goes
    assert "guide" in found.unknown["running"]
    keys = {note.key for note in found.cautions}
    assert "loose-ring-no-tricks" not in keys
    assert "guides-first" in keys


def test_shrink_takes_a_guide_as_what_it_is(db: Database) -> None:
    found = db.shrink(**JOINT)
    seat = db.shrink(**{**JOINT, "part": "seat-insert"})
    assert [each.clearance_mm for each in found.pairs] == [each.clearance_mm for each in seat.pairs]
    assert "square-and-home" not in {note.key for note in found.cautions}


def test_a_guide_on_the_very_limit_serves_whatever_the_float_noise(db: Database) -> None:
    """The range of 0.0381 to 0.0635 mm less a guide's tolerance: bores at its very ends serve."""
    from types import SimpleNamespace

    from specdb.answers import guide_press
    from specdb.answers.recommended import Segment
    from specdb.records.guide import GuideRequest

    size = {"outer_mm": 12.05, "outer_minus_mm": 0.005, "outer_plus_mm": 0.005, "inner_mm": 6.9,
            "height_mm": 50.0, "oversize_mm": 0.0, "series": "any"}  # fmt: skip
    wrong = []
    for hundredth in range(200):
        outer = round(12.05 + hundredth * 0.01, 2)
        row = {**size, "outer_mm": outer}
        request = GuideRequest.model_validate(
            {
                "bore": [round(outer - 0.0535, 4), round(outer - 0.0431, 4)],
                "reading_error": 0,
                "head": "alu",
                "guide": "bronze",
            }
        )
        found = SimpleNamespace(segments=(Segment(1.0, 99.0, 0.0381, 0.0585, "", ()),))
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(guide_press.guide_rows, "between", lambda *_, row=row, **__: [row])
            got = guide_press.serving(None, request, found, (6.9, 7.0))  # type: ignore[arg-type]
        if [each.as_found for each in got] != [True]:
            wrong.append(outer)
    assert wrong == []
