"""A shop's own words: understood and said so, or refused with all they may mean (`memory`: the
words are those of the trade as remembered; what they mean is the vocabulary's)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from specdb.errors import BadRequest, UnknownName
from specdb.records import trade_words
from specdb.records.seat import SeatReadings

if TYPE_CHECKING:
    from specdb.database import Database
    from specdb.store.asof import Reader

pytestmark = pytest.mark.memory

PRESS = {"head": "aluminium", "insert": "high-chrome", "diameter": "38 mm", "position": "exhaust"}

MEANT = [
    ("head", "alu", "aluminium"),
    ("head", "Alloy", "aluminium"),
    ("head", "aluminum", "aluminium"),
    ("head", " light  alloy ", "aluminium"),
    ("head", "SG iron", "ductile-iron"),
    ("head", "gray iron", "grey-iron"),
    ("insert", "chrome", "high-chrome"),
    ("insert", "beryllium", "copper-beryllium"),
    ("position", "inlet", "intake"),
    ("position", "Exh", "exhaust"),
    ("chill", "nitrogen", "liquid-nitrogen"),
    ("available", "LN2", "liquid-nitrogen"),
    ("chill", "Dry ice", "dry-ice"),
    ("fuel", "LPG", "gas"),
    ("head_state", "overheated", "soft"),
    ("about", "welded", "welded-head"),
]


@pytest.mark.parametrize(("argument", "said", "meant"), MEANT)
def test_a_word_of_the_trade(argument: str, said: str, meant: str) -> None:
    assert trade_words.meant(argument, said) == meant
    assert trade_words.meant(argument, meant) == meant


SEVERAL = [
    ("head", "cast iron", "grey-iron, ductile-iron or compacted-iron"),
    ("head", "iron", "grey-iron"),
    ("head", "CI", "compacted-iron"),
    ("insert", "cast iron", "alloyed-cast-iron, austenitic-cast-iron or high-chrome"),
    ("insert", "powdered metal", "sintered-tool-steel"),
    ("insert", "alloy", "cobalt-base"),
    ("chill", "freezer", r"domestic-freezer \(-18.*commercial-freezer \(-23.*chest-freezer \(-40"),
    ("available", "chest freezer", r"domestic-freezer \(-18.* or chest-freezer \(-40"),
    ("available", "Chest_Freezer", "domestic-freezer"),
]


@pytest.mark.parametrize(("argument", "said", "may"), SEVERAL)
def test_a_word_that_may_mean_several_is_refused_with_them(argument, said, may) -> None:
    with pytest.raises(BadRequest, match=may) as refused:
        trade_words.meant(argument, said)
    assert refused.value.field == argument


def test_the_low_temperature_chest_is_taken_by_its_own_key_and_said_to_be_cold() -> None:
    assert trade_words.meant("available", "chest-freezer") == "chest-freezer"
    said = trade_words.echo("available", "chest-freezer")
    assert said is not None
    assert "-40 degC" in said


def test_each_freezer_is_said_as_cold_as_its_row(reader: Reader) -> None:
    from specdb.store.query import media

    rows = {row["key"]: row["temperature_c"] for row in media.media(reader)}
    freezers = {key for key in rows if "freezer" in key}
    assert set(trade_words.FREEZERS) == freezers
    for key, said in trade_words.FREEZERS.items():
        assert said.startswith(f"{rows[key]:g} degC")


def test_the_list_is_written_as_it_is_looked_up() -> None:
    for words in trade_words.WORDS.values():
        assert all(trade_words.fold(word) == word for word in words)


def test_every_meaning_is_a_word_the_tables_know(reader: Reader) -> None:
    from specdb.answers import names

    lists = {name: names.known_words(reader, name) for name in ("fuel", "valve-material")}
    media = {row["key"] for row in _media(reader)} | {"none"}
    classes = {row["key"] for row in _classes(reader)}
    allowed = {
        "head": set(trade_words.HEAD_METALS),
        "insert": classes,
        "old_insert_class": classes,
        "chill": media,
        "available": media,
        "fuel": set(lists["fuel"]),
        "valve_material": set(lists["valve-material"]),
    }
    for argument, words in allowed.items():
        for said, meant in trade_words.WORDS[argument].items():
            assert set(meant) <= words, (argument, said)
            # A shop's "chest freezer" is not the low-temperature chest the table calls so.
            assert said not in words or said == "chest-freezer", (argument, said)


def _media(reader: Reader) -> list[dict[str, object]]:
    from specdb.store.query import media

    return media.media(reader)


def _classes(reader: Reader) -> list[dict[str, object]]:
    from specdb.store.query import choices

    return choices.insert_classes(reader)


def test_an_answer_says_how_it_understood_a_word_and_is_else_the_same(db: Database) -> None:
    said = db.interference(**PRESS | {"head": "alu", "insert": "chrome", "position": "exh"})
    plain = db.interference(**PRESS)
    assert said.assumed[:3] == (
        "head: 'alu' understood as aluminium",
        "insert: 'chrome' understood as high-chrome",
        "position: 'exh' understood as exhaust",
    )
    assert said.model_copy(update={"assumed": plain.assumed}) == plain


def test_words_in_a_record_made_in_python_are_understood_alike(db: Database) -> None:
    asked = {"bore": ["38.05 mm", "38.06 mm"], "insert": "high-chrome", "position": "inlet"}
    said = db.seat(SeatReadings(head="alloy", **asked))
    plain = db.seat(SeatReadings(head="aluminium", **asked | {"position": "intake"}))
    assert said.chosen == plain.chosen
    with pytest.raises(BadRequest, match="grey-iron"):
        db.seat(SeatReadings(head="cast iron", **asked))


@pytest.mark.parametrize("word", ["alu", "aluminium", "alloy", "light alloy"])
def test_a_word_for_many_materials_lists_them(db: Database, word: str) -> None:
    with pytest.raises(UnknownName, match="single material") as refused:
        db.ask("material", material=word)
    assert "al-si7mg-t6 (Aluminium casting alloy Al-7Si-0.3Mg, T6)" in refused.value.hint
    assert "grey-iron" not in refused.value.hint
    assert "generic" not in refused.value.hint


def test_a_row_of_a_head_may_use_the_words_too(db: Database) -> None:
    table = "label,position,bore,head\n1,exh,38.05,alu\n2,exh,38.05,cast iron\n"
    plan = db.ask("head", readings=table, insert="high-chrome")
    assert set(plan.seats) == {"1"}
    (bad,) = plan.bad_rows
    assert (bad.label, bad.column) == ("2", "head")
    assert "ductile-iron" in bad.reason
