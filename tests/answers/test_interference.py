"""Ranges of press side by side, and the recommended one, against what the sources print."""

from __future__ import annotations

import pytest

from specdb.database import Database
from specdb.errors import BadQuantity, BadRequest, NotKnown, UnknownName
from specdb.store.asof import Reader
from specdb.store.query.choices import insert_classes

THOU = 0.0254
CLASSES = (
    "alloyed-cast-iron",
    "austenitic-cast-iron",
    "high-chrome",
    "sintered-plain",
    "sintered-tool-steel",
    "sintered-copper-infiltrated",
    "nickel-base",
    "cobalt-base",
    "bronze",
    "copper-beryllium",
)


@pytest.mark.common_practice
@pytest.mark.parametrize("insert", CLASSES)
@pytest.mark.parametrize("diameter", [30.0, 38.0, 45.0])
def test_five_to_six_thou_in_an_alloy_head_lies_inside(
    db: Database, insert: str, diameter: float
) -> None:
    """The trade's rule for a car-size insert."""
    result = db.interference(head="aluminium", insert=insert, diameter=diameter)
    assert result.interference_min_mm is not None
    assert result.interference_max_mm is not None
    assert result.interference_min_mm <= 5 * THOU + 1e-9
    assert result.interference_max_mm >= 6 * THOU - 1e-9


@pytest.mark.published
@pytest.mark.parametrize(
    ("position", "diameter", "source", "least", "greatest", "words"),
    [
        ("intake", "1.645 in", "tm-5-6115-400-35", 2.0, 4.0, "1.6445-1.6455 in"),
        ("exhaust", "1.611 in", "tm-5-6115-400-35", 2.0, 3.5, "1.6105-1.6110 in"),
        ("exhaust", "2.381 in", "tm-9-6115-604-34", 2.5, 4.5, "2.3805-2.3815 in"),
        ("exhaust", "2.003 in", "tm-5-3810-295-34", 2.0, 4.0, "2.0025-2.0035 in"),
        ("exhaust", "38 mm", "tm-5-1185", 3.5, 3.5, "counterbore 0.0035 in smaller"),
    ],
)
def test_manuals_of_iron_heads_show_their_inch_figures(
    db: Database,
    position: str,
    diameter: str,
    source: str,
    least: float,
    greatest: float,
    words: str,
) -> None:
    result = db.interference(
        head="grey-iron", insert="alloyed-cast-iron", diameter=diameter, position=position
    )
    rows = [row for row in result.ranges if words in row.printed]
    assert len(rows) == 1, [row.printed for row in result.ranges]
    assert rows[0].minimum_mm == pytest.approx(least * THOU, abs=1e-9)
    assert rows[0].maximum_mm == pytest.approx(greatest * THOU, abs=1e-9)
    assert result.facts[rows[0].row].source == (source,)
    assert rows[0].seen == result.facts[rows[0].row].seen == "excerpt"
    assert not rows[0].decides, "its head material is only assumed"


@pytest.mark.common_practice
def test_a_per_mm_rule_is_read_at_the_diameter(db: Database) -> None:
    """0.003 per mm is 0.114 at 38, and a line, not a span."""
    result = db.interference(head="aluminium", insert="high-chrome", diameter=38)
    rules = [row for row in result.ranges if row.form == "per-mm"]
    assert len(rules) == 1
    assert rules[0].rule_minimum == rules[0].rule_maximum == 0.003
    assert rules[0].minimum_mm == rules[0].maximum_mm == pytest.approx(0.114, abs=1e-12)


def test_what_may_not_decide_does_not(db: Database) -> None:
    for head, diameter in (("grey-iron", 50.8), ("grey-iron", 41.7), ("aluminium", 38.0)):
        result = db.interference(head=head, insert="high-chrome", diameter=diameter)
        for row in result.ranges:
            if row.decides:
                assert row.basis == "stands", row.row
                assert row.retention == "none", row.row
                assert row.seat_in == "head", row.row
                assert row.row in result.decided_by
            else:
                assert row.why.startswith(("does not decide: ", "has half a say: ")), row.why
        assert any(row.decides for row in result.ranges)


def test_a_peened_ring_has_ranges_of_its_own(db: Database) -> None:
    plain = db.interference(head="grey-iron", insert="high-chrome", diameter=55)
    peened = db.interference(
        head="grey-iron", insert="high-chrome", diameter=55, retention="peened"
    )
    assert all(row.retention != "none" for row in peened.ranges if row.decides)
    assert not set(plain.decided_by) & set(peened.decided_by)
    assert plain.assumed == ("assumed water-cooled, unpeened, sound casting",)
    assert peened.assumed == ("assumed water-cooled, sound casting",)


def test_every_figure_names_its_rows(db: Database) -> None:
    result = db.interference(head="al-si7mg-t6", insert="cobalt-r30006", diameter="1.5 in")
    assert result.diameter_mm == pytest.approx(38.1)
    assert (result.head_class, result.insert_class) == ("aluminium", "cobalt-base")
    assert set(result.decided_by) <= set(result.facts)
    assert {row.row for row in result.ranges} <= set(result.facts)


@pytest.mark.common_practice
def test_a_weak_casting_stays_at_the_low_end(db: Database) -> None:
    case = {"head": "aluminium", "insert": "high-chrome", "diameter": 38}
    sound = db.interference(**case, head_state="sound")
    soft = db.interference(**case, head_state="soft")
    assert soft.interference_min_mm == sound.interference_min_mm
    assert soft.interference_max_mm == pytest.approx(
        (sound.interference_min_mm + sound.interference_max_mm) / 2
    )
    assert any("70 HB" in text for text in soft.remarks)
    assert not any("HB" in text for text in sound.remarks)
    assert {each.key for each in soft.cautions} > {each.key for each in sound.cautions}


def test_outside_every_diameter_it_says_so(db: Database) -> None:
    result = db.interference(head="aluminium", insert="high-chrome", diameter=90)
    assert result.interference_min_mm is None
    assert result.interference_max_mm is None
    assert "90.00 mm" in result.unknown["interference_min_mm"]
    assert result.nearest
    assert result.ranges
    assert not any(row.decides for row in result.ranges)


def test_a_pair_without_a_range_is_no_answer(db: Database) -> None:
    with pytest.raises(NotKnown) as refused:
        db.interference(head="steel", insert="bronze", diameter=38)
    assert "aluminium" in refused.value.hint
    assert "grey-iron" in refused.value.hint


def test_other_parts_have_theirs(db: Database) -> None:
    """Rule of the trade: 0.0015 to 0.0025 in on a guide in an alloy head."""
    result = db.interference(
        head="aluminium", insert="cu-sn-c51000", diameter=12, part="valve-guide"
    )
    assert result.interference_min_mm is not None
    assert result.interference_min_mm <= 1.5 * THOU + 1e-9
    assert result.interference_max_mm >= 2.5 * THOU - 1e-9


@pytest.mark.parametrize(
    ("given", "kind", "said"),
    [
        ({"head": "aluminum7"}, UnknownName, "aluminium"),
        ({"head": "cu-be-c17200"}, BadRequest, "no head is made of"),
        ({"insert": "sintered-toolsteel"}, UnknownName, "sintered-tool-steel"),
        ({"insert": "al-si7mg-t6"}, BadRequest, "no ring is made of"),
        ({"diameter": "38 degC"}, BadQuantity, "38 degC"),
        ({"diameter": "-38"}, BadQuantity, "-38"),
        ({"diameter": "0"}, BadQuantity, "0"),
        ({"diameter": "nan"}, BadQuantity, "nan"),
        ({"diameter": "1e400 mm"}, BadQuantity, "1e400"),
        ({"position": "middle"}, BadRequest, "intake, exhaust"),
        ({"part": "piston"}, UnknownName, "seat-insert"),
        ({"fuel": "petrl"}, UnknownName, "petrol"),
    ],
)
def test_misuse_is_said(
    db: Database, given: dict[str, str], kind: type[Exception], said: str
) -> None:
    case = {"head": "aluminium", "insert": "high-chrome", "diameter": "38", **given}
    with pytest.raises(kind) as refused:
        db.interference(**case)
    assert said in str(refused.value)


def test_shop_words_are_read(db: Database) -> None:
    case = {"insert": "high-chrome", "diameter": 38}
    plain = db.interference(head="aluminium", position="intake", **case)
    said = db.interference(head="Aluminum", position="Inlet", **case)
    assert said.assumed[:2] == (
        "head: 'Aluminum' understood as aluminium",
        "position: 'Inlet' understood as intake",
    )
    assert said.model_copy(update={"assumed": plain.assumed}) == plain


def test_every_class_answers_to_itself(reader: Reader) -> None:
    """The ten classes a shop orders by."""
    assert sorted(row["key"] for row in insert_classes(reader)) == sorted(CLASSES)
