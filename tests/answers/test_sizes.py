"""What goes into a counterbore: as found, cleaned up, and what almost serves.

Worked by hand from the rules; `interference_min` and `interference_max` are given
where the press itself is not what is judged. The ring looked at is 38 + 0.25 mm, made to
+-0.0125 mm by the generic series.
"""

from __future__ import annotations

from typing import Any

import pytest

from specdb.database import Database
from specdb.errors import BadQuantity, BadRequest, NotKnown, UnknownName
from specdb.records.sizes import SizesResult

OUTER = 38.25
PRESS = {"interference_min": "0.08 mm", "interference_max": "0.16 mm"}


def sizes(db: Database, bore: Any, **more: Any) -> SizesResult:
    case = {"head": "al-si7mg-t6", "insert": "sintered-tool-steel", **more}
    return db.sizes(bore=bore, **case)


def test_as_found_at_the_worst_readings(db: Database) -> None:
    """38.2375 - 38.135 - 0.005 = 0.0975 least; 38.2625 - 38.125 + 0.005 = 0.1425 greatest."""
    result = sizes(db, ["38.125 mm", "38.135 mm"], **PRESS)
    best = result.candidates[0]
    assert result.as_found
    assert best.as_found
    assert best.outer_mm == OUTER
    assert best.clean_up_mm == 0.0
    assert (best.cut_min_mm, best.cut_max_mm) == (None, None)
    assert best.press_least_mm == pytest.approx(0.0975)
    assert best.press_greatest_mm == pytest.approx(0.1425)
    assert best.bore_min_mm == pytest.approx(OUTER - 0.16)
    assert best.bore_max_mm == pytest.approx(OUTER - 0.08)
    assert best.bore_target_mm == pytest.approx(38.13)
    assert "38.25 mm" in result.as_found_why[0]


@pytest.mark.parametrize(
    ("bore", "takes"),
    [
        ([38.13, 38.1525], True),  # 38.2375 - 38.1525 - 0.005 = 0.080, on the limit
        ([38.13, 38.1535], False),  # 0.079: too little, though the mean would do
        ([38.1075, 38.13], True),  # 38.2625 - 38.1075 + 0.005 = 0.160, on the limit
        ([38.1065, 38.13], False),  # 0.161: too much, though the mean would do
    ],
)
def test_the_worst_readings_decide_not_the_mean(
    db: Database, bore: list[float], takes: bool
) -> None:
    result = sizes(db, bore, **PRESS)
    assert any(each.outer_mm == OUTER and each.as_found for each in result.candidates) is takes


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"bore": [38.117, 38.143]}, "ovality 0.026"),
        ({"bore": [38.123], "bore_bottom": [38.137]}, "taper 0.014"),
        ({"bore": [38.13], "pit_depth": 0.02}, "pits"),
    ],
)
def test_a_bad_bore_is_not_used_as_found(db: Database, more: dict[str, Any], said: str) -> None:
    """Ovality up to 0.025, taper up to 0.013, no pits."""
    result = sizes(db, **{**more, **PRESS})
    assert not result.as_found
    assert any(said in why for why in result.as_found_why)
    assert not any(each.as_found for each in result.candidates)


@pytest.mark.common_practice
def test_ovality_and_taper_at_their_limit_are_fine(db: Database) -> None:
    assert sizes(db, [38.1175, 38.1425], **PRESS).as_found
    assert sizes(db, [38.1235], bore_bottom=[38.1365], **PRESS).as_found


@pytest.mark.published
def test_one_manual_stands_beside_every_as_found_answer(db: Database) -> None:
    """tm-5-1185, para 177 (6): no standard ring in a used bore."""
    found = sizes(db, [38.13], **PRESS)
    cut = sizes(db, [38.05], largest_clean_up="0.5 mm")
    assert any("tm-5-1185" in text for text in found.remarks)
    assert any(fact.source == ("tm-5-1185",) for fact in found.facts.values())
    assert not cut.as_found
    assert not any("tm-5-1185" in text for text in cut.remarks)


def test_clean_up_starts_from_the_largest_reading_and_the_guide(db: Database) -> None:
    """Largest 38.06, run-out 0.10, pits 0.05 deep: 38.06 + 0.10 + 0.10 = 38.26."""
    result = sizes(db, [38.05, 38.06], runout="0.10 mm", pit_depth="0.05 mm")
    assert result.clean_bore_mm == pytest.approx(38.26)
    for each in result.candidates:
        assert each.cut_min_mm is not None
        assert each.cut_max_mm is not None
        assert each.cut_min_mm >= 38.26 - 1e-6
        assert each.cut_min_mm <= each.bore_target_mm <= each.cut_max_mm
        assert each.clean_up_mm == pytest.approx(each.cut_min_mm - 38.06)
        assert each.clean_up_each_side_mm == pytest.approx(each.clean_up_mm / 2)
        assert each.interference_min_mm <= each.outer_mm - each.bore_target_mm
        assert each.outer_mm - each.bore_target_mm <= each.interference_max_mm


@pytest.mark.common_practice
def test_the_least_cut_a_tool_takes_cleanly(db: Database) -> None:
    """0.05 on diameter."""
    assert sizes(db, [38.06]).clean_bore_mm == pytest.approx(38.11)
    assert sizes(db, [38.06], runout=0.04).clean_bore_mm == pytest.approx(38.11)


def test_a_bore_that_takes_its_ring_is_never_enlarged(db: Database) -> None:
    """Whatever size is preferred for the rest of the head."""
    result = sizes(db, [38.13], prefer=[38.5, 38.608], most=60, **PRESS)
    flags = [each.as_found for each in result.candidates]
    assert flags[0]
    assert flags == sorted(flags, reverse=True)


@pytest.mark.common_practice
def test_a_common_size_wins_only_within_a_tenth(db: Database) -> None:
    """0.10 mm on diameter."""
    plain = sizes(db, [38.25], most=200)
    bored = sorted({each.outer_mm for each in plain.candidates if not each.as_found})
    best = plain.candidates[0].outer_mm
    assert not plain.as_found
    near = [outer for outer in bored if best < outer <= best + 0.10]
    far = [outer for outer in bored if outer > best + 0.10]
    assert near
    assert far
    assert sizes(db, [38.25], prefer=near[:1]).candidates[0].outer_mm == near[0]
    assert sizes(db, [38.25], prefer=far[:1]).candidates[0].outer_mm == best


@pytest.mark.common_practice
def test_a_warm_alloy_head_measures_large(db: Database) -> None:
    """An alloy head at 35 degC measures 0.012 large on 38."""
    cold = sizes(db, [38.0]).measured
    warm = sizes(db, [38.0], measured_at=["35 degC", "20 degC"]).measured
    assert cold.mean_mm - warm.mean_mm == pytest.approx(0.012, abs=0.0015)
    assert warm.reading_error_mm >= cold.reading_error_mm


def test_a_head_named_by_class_widens_the_reading(db: Database) -> None:
    alloy = sizes(db, [38.0], measured_at=[35, 20]).measured
    by_class = sizes(db, [38.0], measured_at=[35, 20], head="aluminium").measured
    assert by_class.reading_error_mm > alloy.reading_error_mm
    assert by_class.mean_mm == pytest.approx(alloy.mean_mm, abs=0.002)


def test_limits_are_told_as_they_read_in_the_warm_head(db: Database) -> None:
    result = sizes(db, [38.0], measured_at=[35, 35])
    best = result.candidates[0]
    assert best.cut_min_mm is not None
    assert best.bore_min_as_read_mm is not None
    assert best.outer_as_read_mm is not None
    assert 0.010 < best.bore_min_as_read_mm - best.cut_min_mm < 0.014
    assert 0.003 < best.outer_as_read_mm - best.outer_mm < 0.011
    assert sizes(db, [38.0]).candidates[0].outer_as_read_mm is None


def test_near_misses_say_why(db: Database) -> None:
    rejected = sizes(db, [38.05, 38.06]).rejected
    free = [each.reason for each in rejected]
    for words in ("too little press", "taken out"):
        assert any(words in reason for reason in free), (words, free)
    assert min(each.outer_mm for each in rejected) > 38.06, "nothing smaller than the hole"
    result = sizes(db, [38.05, 38.06], inner_max="31.2 mm", inner_min="30.5 mm", height_max="6 mm")
    assert result.candidates
    for each in result.candidates:
        assert 30.5 <= each.inner_mm <= 31.2
        assert each.height_mm <= 6.0
    held = [each.reason for each in result.rejected]
    for words in ("larger than the 31.20", "smaller than the 30.50", "more than the 6.00"):
        assert any(words in reason for reason in held), (words, held)


def test_a_small_clean_up_leaves_none_and_says_so(db: Database) -> None:
    result = sizes(db, [38.05, 38.06], largest_clean_up=0)
    assert result.candidates == ()
    assert result.unknown["candidates"]
    assert any("largest_clean_up is 0 mm" in each.reason for each in result.rejected)


@pytest.mark.common_practice
def test_a_bridge_is_kept(db: Database) -> None:
    """Alloy: warn under 2 mm, refuse under 1 mm unless it was made that thin."""
    wide = sizes(db, [38.06], most=100)
    kept = sizes(db, [38.06], most=100, bridge="1.2 mm")
    assert any(each.clean_up_mm > 0.4 for each in wide.candidates)
    assert kept.candidates
    for each in kept.candidates:
        assert each.bridge_left_mm is not None
        assert each.bridge_left_mm == pytest.approx(1.2 - each.clean_up_mm / 2)
        assert each.bridge_left_mm >= 1.0 - 1e-6
    assert any("bridge under 2 mm" in text for text in kept.remarks)
    assert any("bridge under 1 mm" in each.reason for each in kept.rejected)
    made_thin = sizes(db, [38.06], most=100, bridge="0.8 mm")
    assert len(made_thin.candidates) == len(wide.candidates)
    iron = sizes(db, [38.06], most=100, bridge="1.2 mm", head="grey-iron")
    assert not any("bridge" in text for text in iron.remarks)


@pytest.mark.common_practice
def test_the_water_jacket_is_named_past_half_a_millimetre(db: Database) -> None:
    small = sizes(db, [38.06], largest_clean_up=0.4)
    large = sizes(db, [38.06], most=200)
    assert small.candidates
    assert max(each.clean_up_mm for each in large.candidates) > 0.5
    assert any("water jacket" in text for text in large.remarks)
    assert not any("water jacket" in text for text in small.remarks)


def test_every_figure_names_its_rows(db: Database) -> None:
    result = sizes(db, ["1.500 in"])
    for each in (*result.candidates, *result.rejected):
        assert each.sources
        assert set(each.sources) <= set(result.facts)
    assert result.sources
    assert set(result.sources) <= set(result.facts)


def test_what_the_readings_cannot_say(db: Database) -> None:
    result = sizes(db, "38.05")
    assert result.measured.ovality_mm is None
    assert result.measured.taper_mm is None
    assert {"ovality_mm", "taper_mm", "bridge_left_mm"} <= set(result.unknown)


def test_ordinary_notation_is_one_question(db: Database) -> None:
    plain = sizes(db, [38.1])
    for text in ("38.1", "38,1 mm", "1.5in", "1500 thou", "3.81 cm", "1 1/2 in"):
        try:
            said = sizes(db, [text])
        except BadQuantity:
            assert text in ("38,1 mm", "1 1/2 in")  # may be refused, never misread
        else:
            assert said.measured.mean_mm == pytest.approx(38.1, abs=1e-9)
            assert [each.size for each in said.candidates] == [
                each.size for each in plain.candidates
            ]


@pytest.mark.parametrize(
    ("given", "kind", "said"),
    [
        ({"bore": []}, BadRequest, "bore"),
        ({"bore": ["38.05 mm", "3.806 mm"]}, BadRequest, "3.806 mm"),
        ({"bore": ["38.05 mm", "38.05 kg"]}, BadQuantity, "kg"),
        ({"bore": ["-38.05"]}, BadQuantity, "-38.05"),
        ({"bore": ["inf"]}, BadQuantity, "inf"),
        ({"runout": "-0.1"}, BadQuantity, "runout"),
        ({"inner_min": 33, "inner_max": 31}, BadRequest, "inner_min"),
        ({"inner_min": 40}, BadRequest, "inner_min"),
        ({"interference_min": 0.1}, BadRequest, "interference_max"),
        ({"interference_min": 0.2, "interference_max": 0.1}, BadRequest, "interference_max"),
        ({"interference_min": 0.1, "interference_max": 3}, BadRequest, "interference_max"),
        ({"most": 0}, BadRequest, "most"),
        ({"measured_at": [20, 20, 20]}, BadRequest, "measured_at"),
        ({"measured_at": ["900 degC"]}, Exception, "900"),
        ({"insert": "tool-stel"}, UnknownName, "tool-steel"),
        ({"head": "steel"}, NotKnown, "Ranges are known in"),
        ({"bores": [38]}, UnknownName, "bore"),
    ],
)
def test_misuse_is_said(
    db: Database, given: dict[str, Any], kind: type[Exception], said: str
) -> None:
    case = {"bore": [38.05], "head": "al-si7mg-t6", "insert": "high-chrome", **given}
    with pytest.raises(kind) as refused:
        db.sizes(**case)
    assert said in str(refused.value)


def test_a_bore_window_nobody_hits_is_said(db: Database) -> None:
    """Press of 0.100 to 0.106: bore 38.144 to 38.150, six thousandths of a millimetre."""
    own = {"interference_min": 0.100, "interference_max": 0.106}
    tight = sizes(db, [38.05], most=40, **own)
    for each in tight.candidates:
        assert each.cut_max_mm is not None
        assert each.cut_min_mm is not None
        assert each.cut_max_mm - each.cut_min_mm == pytest.approx(0.006)
        assert "bore window 0.006 mm: bore to the measured ring instead" in each.remarks
    assert any("bore window" in text for text in tight.remarks)
    wide = sizes(db, [38.05], most=40)
    assert wide.candidates
    assert not any("bore window" in text for each in wide.candidates for text in each.remarks)


def test_of_two_alike_the_one_whose_bore_can_be_hit_comes_first(db: Database) -> None:
    """Pits of 0.025: cleaned up at 38.162. Press 0.080 to 0.350: 38.250 leaves 38.162 to 38.170,
    eight thousandths; 38.500, of the same inside, takes no more metal and leaves plenty."""
    own = {"interference_min": 0.080, "interference_max": 0.350}
    found = sizes(db, [38.112], most=300, reading_error=0.002, inner_max=31, pit_depth=0.025, **own)
    windows: dict[tuple[float, float], list[bool]] = {}
    for each in found.candidates:
        if each.cut_min_mm is not None and each.cut_max_mm is not None:
            tight = each.cut_max_mm - each.cut_min_mm <= 0.010
            kind = (round(each.clean_up_mm, 6), each.inner_mm)
            windows.setdefault(kind, []).append(tight)
            assert any("bore window" in text for text in each.remarks) is tight
    assert any(len(set(each)) == 2 for each in windows.values()), "both kinds among equals"
    assert all(each == sorted(each) for each in windows.values())


def test_a_press_of_one_figure_leaves_no_bore(db: Database) -> None:
    result = sizes(db, [38.05], interference_min=0.1, interference_max=0.1)
    assert result.candidates == ()
    assert any("leaves a window of 0.000 mm" in each.reason for each in result.rejected)
    exact = sizes(db, [38.05], reading_error=0, most=500)
    for each in exact.candidates:
        assert each.cut_max_mm is not None
        assert each.cut_min_mm is not None
        assert each.cut_max_mm > each.cut_min_mm


def test_an_inside_that_is_not_the_throats_is_said(db: Database) -> None:
    result = sizes(db, [38.05], throat=31.4, most=200)
    off = {each.inner_mm: each.remarks for each in result.candidates}
    assert any("0.40 mm smaller than the throat: blend" in text for text in off[31.0])
    assert any("0.60 mm larger than the throat: it leaves a step" in text for text in off[32.0])
    inner = [abs(each.inner_mm - 31.4) for each in result.candidates if not each.clean_up_mm > 0.06]
    assert inner == sorted(inner)
    asked = sizes(db, [38.05], inner_max=31.4).candidates[0]
    assert any("smaller than the 31.40 mm asked for" in text for text in asked.remarks)
    assert not any("inside" in text for text in sizes(db, [38.05], throat=31).candidates[0].remarks)
    with pytest.raises(BadRequest, match="throat"):
        sizes(db, [38.05], throat=39)


@pytest.mark.common_practice
def test_a_ring_low_in_its_counterbore_is_said(db: Database) -> None:
    """Flush to 0.25 below the deck is usual."""
    by_height = {
        each.height_mm: each.remarks
        for each in sizes(db, [38.05], height_max=8.2, inner_max=31, most=200).candidates
    }
    assert "stands 0.20 mm below the deck" in by_height[8.0]
    assert any("1.20 mm below the deck, more than is usual" in text for text in by_height[7.0])
