"""A ceiling for the head of the caller's own: held beside what the data allow the alloy."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from specdb.errors import BadRequest, OutOfRange

if TYPE_CHECKING:
    from specdb.database import Database
    from specdb.records.shrink import ShrinkResult

JOINT: dict[str, Any] = {
    "insert_diameter": "38.16 mm",
    "bore": "38.05 mm",
    "insert_inner": "31 mm",
    "height": "8 mm",
    "head": "al-si7mg-t6",
    "insert": "sintered-tool-steel",
}


def shrink(db: Database, **changed: Any) -> ShrinkResult:
    return db.shrink(**JOINT | changed)


# published (bs-1490-1988-lm-data-sheets, LM25 at elevated temperatures): 130 degC, long service;
# common practice: 150 degC as a rule, 180 flagged, 200 never
@pytest.mark.published
@pytest.mark.common_practice
@pytest.mark.parametrize("asked", ["500 degC", "151 degC"])
def test_a_limit_above_the_data_is_warned_of_with_the_alloys_own(db: Database, asked: str) -> None:
    (warning,) = shrink(db, heat_limit=asked).warnings
    for words in (asked, "al-si7mg-t6: 130 degC (long service", "150 degC as a rule", "200 degC"):
        assert words in warning
    found = shrink(db, heat_limit=asked)
    assert "property.al-si7mg-t6.max-exposure-temperature.any.1" in found.facts


@pytest.mark.common_practice
@pytest.mark.parametrize("asked", [None, "150 degC", "120 degC", "20 degC"])
def test_a_limit_the_data_allow_is_not(db: Database, asked: str | None) -> None:
    assert shrink(db, heat_limit=asked).warnings == ()


def test_an_alloy_without_a_limit_of_its_own_says_so(db: Database) -> None:
    (warning,) = shrink(db, head="al-si6cu4", heat_limit="180 degC").warnings
    assert "no limit of al-si6cu4 itself" in warning


def test_iron_has_no_such_limit(db: Database) -> None:
    assert shrink(db, head="grey-iron", heat_limit="300 degC").warnings == ()


@pytest.mark.parametrize(
    ("limit", "room"), [("10 degC", "20 degC"), ("-5 degC", "20 degC"), ("24 degC", "25 degC")]
)
def test_a_limit_below_the_shop_is_refused(db: Database, limit: str, room: str) -> None:
    with pytest.raises(BadRequest, match="below the") as refused:
        shrink(db, heat_limit=limit, room_temperature=room)
    assert refused.value.field == "heat_limit"


def test_a_plan_passes_the_warning_on(db: Database) -> None:
    readings = {"bore": ["38.05 mm", "38.06 mm"], "head": "aluminium", "insert": "high-chrome"}
    plan = db.ask("seat", **readings, heat_limit="500 degC")
    assert any("above what the data allow" in problem for problem in plan.problems)


@pytest.mark.parametrize("limit", [None, "100 degC", "150 degC"])
@pytest.mark.parametrize("bore", ["38.05 mm", "37.98 mm"])
def test_what_matters_most_is_never_said_of_a_pair_too_hot(
    db: Database, limit: str | None, bore: str
) -> None:
    found = shrink(db, heat_limit=limit, bore=bore, insert_tolerance="0.01 mm")
    assert found.heat_limit_c is not None
    if found.matters_most is None:
        assert "advised" in found.unknown["matters_most"]
        return
    pair = found.matters_most.partition(":")[0]
    head = float(pair.rpartition("head at ")[2].removesuffix(" degC"))
    assert head <= found.heat_limit_c.value
    chill = pair.partition(",")[0].replace(" ", "-").replace("no-chill", "none")
    assert any(
        each.allowed
        for each in found.pairs
        if (each.chill, each.head_temperature_c) == (chill, head)
    )


def test_a_pair_asked_for_that_is_too_hot_has_no_word_on_its_seconds(db: Database) -> None:
    found = shrink(db, chill="liquid-nitrogen", head_temperature="220 degC")
    assert [pair.allowed for pair in found.pairs] == [False]
    assert found.matters_most is None
    assert found.sensitivity == ()


BARE = {"insert_diameter": 28.40, "bore": 28.285, "insert_inner": 23, "height": 6, "head": "alu"}


def _asked(db: Database, at: str, **also: object) -> ShrinkResult:
    return db.shrink(**BARE | also, insert="sintered-tool-steel", head_temperature=at)


@pytest.mark.parametrize(
    ("asked", "fahrenheit"),
    [
        ("300", "300 F, which is 149 degC"),  # (300 - 32) / 1.8 = 148.9: an oven's setting in F
        ("200 degC", "200 F, which is 93 degC"),  # 168 / 1.8 = 93.3
        ("400F", None),  # told in F: 204.4 degC is what was meant
        ("155", None),  # 155 F is 68 degC, cooler than any oven a head is warmed in
    ],
)
def test_a_head_asked_over_its_ceiling_is_told_so(
    db: Database, asked: str, fahrenheit: str | None
) -> None:
    first = _asked(db, asked).advice[0]
    assert "over its ceiling of 150 degC" in first
    assert fahrenheit is None or f"did you mean {fahrenheit}?" in first
    assert (fahrenheit is None) == ("did you mean" not in first)


def test_a_head_hotter_than_any_curve_is_told_the_ceiling_first(db: Database) -> None:
    with pytest.raises(OutOfRange, match="ceiling of 150 degC; 350 F would be 177 degC"):
        _asked(db, "350")


def test_an_asked_heat_within_the_ceiling_is_not_spoken_of(db: Database) -> None:
    assert not any("over its ceiling" in line for line in _asked(db, "150").advice)
    assert not any(
        "over its ceiling" in line for line in _asked(db, "300", head="gray iron").advice
    )


@pytest.mark.parametrize("asked", ["210", "300", "400F"])
def test_ageing_far_past_the_alloys_own_is_said_without_a_figure(db: Database, asked: str) -> None:
    said = _asked(db, asked).advice[-1]
    assert "far past" in said
    assert "e+" not in said
    assert "%" not in said
