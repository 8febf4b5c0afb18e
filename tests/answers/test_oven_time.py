"""What oven time costs an age-hardened head, and what the seconds of a shrink fit hang on."""

from __future__ import annotations

from typing import Any

import pytest

from specdb.answers import exposure
from specdb.database import Database
from specdb.estimate import Estimate, exact
from specdb.physics import ageing
from specdb.records.shrink import ShrinkResult
from specdb.store.asof import Reader

JOINT: dict[str, Any] = {
    "insert_diameter": "38.10 mm",
    "bore": "38 mm",
    "insert_inner": "31 mm",
    "height": "8 mm",
    "head": "al-si7mg-t6",
    "insert": "sintered-tool-steel",
}


def shrink(db: Database, **changed: Any) -> ShrinkResult:
    return db.shrink(**{**JOINT, **changed})


def hours(found: ShrinkResult, heat: str) -> Estimate:
    each = next(pair for pair in found.pairs if pair.heat == heat)
    assert each.ageing_hours is not None
    return each.ageing_hours


# -- ageing


@pytest.mark.published
def test_half_an_hour_at_163_degc_is_about_an_hour_of_ageing(db: Database) -> None:
    """`published` (tm-5-4210-233-14p-1: 325 degF for 30 min; energy al-a356-semisolid-ageing-paper;
    0.97 h worked outside this code): small beside the 3 to 5 h of astm-b917."""
    found = shrink(db, head_temperature="325 degF", oven_minutes=30)
    each = found.pairs[0]
    assert each.ageing_hours is not None
    assert each.ageing_share is not None
    assert each.ageing_hours.value == pytest.approx(0.97, abs=0.02)
    assert each.ageing_share.value == pytest.approx(0.97 / 4, abs=0.005)
    assert each.ageing_share.low <= 0.97 / 5 < 0.97 / 3 <= each.ageing_share.high
    assert any("3 to 5 h" in text and "every heating adds" in text for text in found.advice)


@pytest.mark.published
def test_half_an_hour_at_220_degc_is_many_times_the_ageing(reader: Reader) -> None:
    """`published` (tm-5-4310-389-14: 220 degC, not over 30 min): 58.7 h, worked outside this
    code."""
    alloy = exposure.ageing_of(reader, "al-si7mg-t6")
    assert alloy is not None
    found = exposure.cost(alloy, 220.0, exact(30.0, "min"))
    assert found.hours.value == pytest.approx(58.7, rel=0.01)
    assert "soften" in found.text
    assert "slower" in found.text


def test_the_band_is_that_of_every_energy_published(reader: Reader) -> None:
    """128.7 for this alloy, 101 to 138 kJ/mol over all alloys with a row that stands."""
    alloy = exposure.ageing_of(reader, "al-si7mg-t6")
    assert alloy is not None
    energy = alloy.energy
    assert (energy.value, energy.low, energy.high) == (128.7, 101.0, 138.0)
    low, high = (ageing.held_hours(180.0, 1.0, each) for each in (energy.low, energy.high))
    found = exposure.cost(alloy, 180.0, exact(60.0, "min")).hours
    assert found.low == pytest.approx(low)
    assert found.high == pytest.approx(high)


def test_the_usual_soak_counts_where_no_minutes_are_told(db: Database) -> None:
    """`common practice`: 60 to 90 min for a car head, which are the ends of the band."""
    usual, told = shrink(db), shrink(db, oven_minutes=75)
    assert hours(usual, "oven-120").value == pytest.approx(hours(told, "oven-120").value)
    assert hours(usual, "oven-120").high > hours(told, "oven-120").high


def test_a_hotter_oven_ages_faster_and_twice_the_time_twice_as_much(db: Database) -> None:
    one, two = shrink(db, oven_minutes=30), shrink(db, oven_minutes=60)
    steps = [f"oven-{at}" for at in (80, 100, 120, 150, 180, 200)]
    values = [hours(one, step).value for step in steps]
    assert values == sorted(values)
    for step in steps:
        assert hours(two, step).value == pytest.approx(2 * hours(one, step).value)


def test_no_hours_have_their_reason(db: Database) -> None:
    for changed in ({}, {"head": "grey-iron-gjl-250"}, {"head": "al-si6cu4"}):
        for pair in shrink(db, **changed).pairs:
            for name in ("ageing_hours", "ageing_share"):
                assert (getattr(pair, name) is None) == (name in pair.unknown), (changed, name)


def test_iron_does_not_age(db: Database) -> None:
    found = shrink(db, head="grey-iron-gjl-250")
    assert all(pair.ageing_hours is None for pair in found.pairs)
    assert not any("counts as " in text and "all of it" not in text for text in found.advice)


# -- what the seconds hang on


def test_each_condition_moves_its_clock_the_way_it_must(db: Database) -> None:
    found = shrink(db, insert_diameter="38.12 mm", head_temperature=100, chill="liquid-nitrogen")
    first, *rest = found.sensitivity
    air = {each.change: each.air_seconds for each in rest if each.air_seconds}
    bore = {each.change: each.bore_seconds for each in rest if each.bore_seconds}
    assert first.air_seconds is not None
    assert first.bore_seconds is not None
    shorter = ("waved", "air full", "off centre", "smooth", "seated hard")
    longer = ("held still", "bare", "dry air", "rough", "not yet", "skin")
    for usual, told in ((first.air_seconds, air), (first.bore_seconds, bore)):
        for text, seconds in told.items():
            assert text.startswith(shorter if seconds < usual else longer), text
    assert len(air) == 5
    assert len(bore) == 6


def test_the_first_line_is_the_low_end_of_the_clocks(db: Database) -> None:
    found = shrink(db)
    first = found.sensitivity[0]
    pair = next(
        each
        for each in found.pairs
        if f"{each.chill.replace('-', ' ')}, head at {each.head_temperature_c:g} degC"
        in first.change
    )
    assert pair.verdict == "drop-in"
    assert pair.bore_seconds is not None
    assert (pair.air_seconds is None) == (first.air_seconds is None)
    if pair.air_seconds is not None:
        assert pair.air_seconds.low == pytest.approx(first.air_seconds)
    assert pair.bore_seconds.low == pytest.approx(first.bore_seconds)


def test_it_says_what_matters_most(db: Database) -> None:
    found = shrink(db)
    assert found.matters_most is not None
    usual = found.sensitivity[0].bore_seconds
    told = [each for each in found.sensitivity[1:] if each.bore_seconds]
    worst = min(told, key=lambda each: each.bore_seconds or 0.0)
    assert worst.change in found.matters_most
    assert usual is not None
    assert f"{usual:.1f} s" in found.matters_most


def test_the_skin_of_iron_cools_further_than_that_of_aluminium(db: Database) -> None:
    """Iron takes in heat worse (root of conductivity x density x specific heat); one pair of heat
    and cold, so that the ring is the same."""
    asked = {"insert_diameter": 38.08, "chill": "liquid-nitrogen", "head_temperature": 100}
    skins = {}
    for head in ("al-si7mg-t6", "grey-iron-gjl-250"):
        found = shrink(db, head=head, **asked).sensitivity
        assert found[-1].change.startswith("skin")
        skins[head] = float(found[-1].change.split(" by ")[1].split(" K")[0])
    assert skins["grey-iron-gjl-250"] > 1.2 * skins["al-si7mg-t6"] > 0
