"""Which class for which duty, against the rules of the trade (common practice unless said)."""

from __future__ import annotations

import pytest

from specdb.database import Database
from specdb.errors import BadRequest, UnknownName
from specdb.records.choose import ChooseResult

HARD = {"high-chrome", "sintered-tool-steel", "nickel-base", "cobalt-base"}
DRY_FUELS = ("lpg", "cng", "hydrogen", "alcohol")


def first(result: ChooseResult) -> set[str]:
    return {each.insert_class for each in result.classes if each.verdict == "first"}


def verdicts(result: ChooseResult) -> dict[str, str]:
    every = (*result.classes, *result.against, *result.not_listed)
    return {each.insert_class: each.verdict for each in every}


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("asked", "wanted"),
    [
        (
            {"position": "inlet", "duty": "moderate", "fuel": "petrol"},
            {"alloyed-cast-iron", "sintered-plain"},
        ),
        ({"position": "exhaust", "duty": "petrol"}, {"high-chrome", "sintered-tool-steel"}),
        ({"position": "inlet", "duty": "heavy", "fuel": "diesel"}, {"high-chrome"}),
        ({"position": "exhaust", "duty": "heavy diesel"}, {"cobalt-base", "nickel-base"}),
    ],
)
def test_what_the_trade_reaches_for_first(
    db: Database, asked: dict[str, str], wanted: set[str]
) -> None:
    assert first(db.choose(**asked)) == wanted


@pytest.mark.published
@pytest.mark.parametrize("fuel", DRY_FUELS)
def test_copper_infiltrated_never_on_a_dry_fuel(db: Database, fuel: str) -> None:
    """Exhausts at least 80 degC hotter: such seats failed early (the paper named below)."""
    result = db.choose(position="exhaust", duty="petrol", fuel=fuel)
    assert verdicts(result)["sintered-copper-infiltrated"] == "never"
    assert first(result) <= {"sintered-tool-steel", "cobalt-base", "nickel-base"}
    reasons = next(
        each.reasons
        for each in result.against
        if each.insert_class == "sintered-copper-infiltrated"
    )
    assert reasons
    assert reasons[0].reason


def test_the_natural_gas_row_names_its_source(db: Database) -> None:
    result = db.choose(position="exhaust", duty="petrol", fuel="cng")
    row = next(each for each in result.against if each.verdict == "never").reasons[0].sources[0]
    assert result.facts[row].source == ("seat-materials-for-cng-engines-paper-2021",)


@pytest.mark.common_practice
@pytest.mark.parametrize("position", ["intake", "exhaust"])
def test_titanium_asks_for_soft_copper_never_hard_steel(db: Database, position: str) -> None:
    result = db.choose(position=position, duty="petrol", valve_material="titanium")
    assert first(result) == {"bronze", "copper-beryllium"}
    assert all(verdicts(result)[name] == "never" for name in HARD)
    assert "valve_material" not in result.unknown
    assert any("beryllium" in each.text for each in result.cautions)


def test_always_asks_the_valve_material(db: Database) -> None:
    result = db.choose(position="exhaust", duty="petrol")
    assert result.valve_material is None
    assert "always ask" in result.unknown["valve_material"]
    hangs = {each.when for each in result.only_if}
    assert "the valve is titanium" in hangs
    told = db.choose(position="exhaust", duty="petrol", valve_material="steel")
    assert first(told) == first(result)
    assert not any("valve" in each.when for each in told.only_if)


def test_the_head_told_counts(db: Database) -> None:
    alloy = db.choose(position="exhaust", duty="petrol", head="al-si7mg-t6")
    iron = db.choose(position="exhaust", duty="petrol", head="grey-iron")
    assert verdicts(alloy)["austenitic-cast-iron"] == "serves"
    assert verdicts(iron)["austenitic-cast-iron"] == "avoid"


def test_duty_and_fuel_in_one_breath(db: Database) -> None:
    said = db.choose(position="exhaust", duty="heavy diesel")
    assert (said.duty, said.fuel) == ("heavy", "diesel")
    assert said == db.choose(position="exhaust", duty="heavy", fuel="diesel")
    lpg = db.choose(position="exhaust", fuel="LPG")
    assert (lpg.duty, lpg.fuel) == ("moderate", "gas")
    assert "assumed moderate duty" in lpg.assumed


def test_best_first_and_every_class_once(db: Database) -> None:
    result = db.choose(position="exhaust", duty="petrol", fuel="petrol")
    order = ["first", "serves", "avoid", "never"]
    said = [each.verdict for each in (*result.classes, *result.against)]
    assert said == sorted(said, key=order.index)
    every = (*result.classes, *result.against, *result.not_listed)
    assert len({each.insert_class for each in every}) == len(every) == 10
    for each in every:
        assert each.material
        assert set(each.sources) <= set(result.facts)
        assert all(set(reason.sources) <= set(result.facts) for reason in each.reasons)


@pytest.mark.parametrize(
    ("asked", "kind", "said"),
    [
        ({"position": "exhaust", "duty": "petroleum"}, UnknownName, "petrol"),
        ({"position": "exhaust", "duty": "petrol or"}, UnknownName, "moderate"),
        ({"position": "exhaust", "duty": "petrol diesel"}, BadRequest, "one fuel"),
        ({"position": "exhaust", "duty": "heavy light"}, BadRequest, "one duty"),
        ({"position": "exhaust", "duty": "petrol", "fuel": "coal"}, UnknownName, "petrol"),
        ({"position": "exhaust", "valve_material": "titan"}, UnknownName, "titanium"),
        ({"duty": "petrol"}, BadRequest, "position"),
    ],
)
def test_misuse_and_no_answer(
    db: Database, asked: dict[str, str], kind: type[Exception], said: str
) -> None:
    with pytest.raises(kind) as refused:
        db.choose(**asked)
    assert said in str(refused.value)


def test_a_class_to_avoid_says_why_in_the_table_itself(db: Database) -> None:
    from specdb.cli import show

    found = db.choose(fuel="LPG", position="exhaust", duty="moderate", head="alloy")
    assert all(each.why for each in (*found.classes, *found.against))
    (chrome,) = [each for each in found.against if each.insert_class == "high-chrome"]
    mine = [each.reason for each in chrome.reasons if each.verdict == chrome.verdict]
    assert chrome.why == "; ".join(mine)
    assert mine[0].split()[0] in show.answer(found)
