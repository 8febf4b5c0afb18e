"""What an answer over own lists says: where a ring is from, how many are left, what it searched."""

from __future__ import annotations

import pytest

import specdb
from specdb.answers.ask import to_json
from specdb.answers.stock_list import lists

BORE = {
    "bore": ["38.05 mm", "38.06 mm"],
    "head": "aluminium",
    "insert": "sintered-tool-steel",
    "inner_max": "31 mm",
    "height_max": "8 mm",
}
HEADER = "part,OD,ID,height,material,qty\n"


@pytest.fixture
def asked(put, place, database):
    def asked(text, question="sizes", **more):
        put(text, **{key: more.pop(key) for key in ("od_means",) if key in more})
        with specdb.open(database, stock=place) as db:
            return db.ask(question, **{**BORE, **more})

    return asked


def test_the_shelf_comes_first_between_choices_alike(asked, database):
    with specdb.open(database) as db:
        best = db.sizes(**BORE).candidates[0]
    near = asked(HEADER + f"S,{best.outer_mm + 0.09:.3f},30.9,7,sintered-tool-steel,2\n")
    assert (near.candidates[0].origin, near.candidates[0].size) == ("shop", "S")
    assert near.candidates[0].left == 2
    assert near.candidates[1].origin == "generic"
    far = asked(HEADER + f"S,{best.outer_mm + 0.11:.3f},30.9,7,sintered-tool-steel,2\n")
    assert far.candidates[0].origin == "generic"
    assert "shop" in {
        each.origin
        for each in asked(
            HEADER + f"S,{best.outer_mm + 0.11:.3f},30.9,7,sintered-tool-steel,2\n", most=200
        ).candidates
    }


def test_a_counterbore_that_takes_its_size_as_found_is_not_enlarged_for_the_shelf(asked):
    result = asked(HEADER + "S,38.30,30.9,7,sintered-tool-steel,2\n", bore="37.974 mm")
    assert result.candidates[0].as_found
    assert result.candidates[0].origin == "generic"


def test_another_class_is_not_offered(asked):
    result = asked(HEADER + "S,38.26,30.9,7,high-chrome,2\n")
    assert {each.origin for each in result.candidates} == {"generic"}
    assert "shop" in result.stock


def test_none_left_is_said(asked):
    result = asked(HEADER + "S,38.26,30.9,7,sintered-tool-steel,0\n")
    assert {each.origin for each in result.candidates} == {"generic"}
    (gone,) = [each for each in result.rejected if each.origin == "shop"]
    assert gone.size == "S"
    assert "none is left" in gone.reason


def test_the_counterbore_a_ring_is_meant_for(asked):
    text = HEADER + "N,38.12,30.9,7,sintered-tool-steel,2\n"
    found = asked(text, od_means="counterbore")
    first = found.candidates[0]
    middle = (first.interference_min_mm + first.interference_max_mm) / 2
    assert first.listed_mm == 38.12
    assert first.outer_mm == pytest.approx(38.12 + middle, abs=1e-9)
    assert first.bore_min_mm <= 38.12 <= first.bore_max_mm
    assert any("Measure this ring" in each for each in found.remarks)
    as_ring = asked(text, od_means="ring")
    assert "N" not in {each.size for each in as_ring.candidates}


def test_an_answer_names_the_lists_and_what_they_held(asked, place, database):
    plan = asked(HEADER + "S,38.26,30.9,7,sintered-tool-steel,2\n", "seat")
    (note,) = lists(place)
    assert plan.stock == plan.sizes.stock == {"shop": note.digest}
    with specdb.open(database, stock=place) as db:
        assert db.sizes(**BORE).stock == {"shop": note.digest}
        assert db.interference(head="aluminium", insert="bronze", diameter=38).stock == {}
    with specdb.open(database) as db:
        assert db.sizes(**BORE).stock == {}
    with specdb.open(database, stock="none") as db:
        assert db.sizes(**BORE).stock == {}


def test_the_same_lists_give_the_same_bytes_wherever_they_lie(put, tmp_path, database):
    rows = ["S,38.26,30.9,7,sintered-tool-steel,2", "T,38.27,30.9,7,sintered-tool-steel,"]
    answers = []
    for at, text in enumerate(("\n".join(rows), "\n".join(reversed(rows)))):
        place = tmp_path / f"{at}.sqlite"
        put("part,OD,ID,height,material,qty\nX,50,40,7,bronze,1\n", "shop", stock=place)
        put(HEADER + text, stock=place)
        with specdb.open(database, stock=place) as db:
            answers.append(to_json(db.sizes(**BORE)))
    assert answers[0] == answers[1]


def test_a_list_imported_meanwhile_is_seen(put, place, database):
    with specdb.open(database, stock=place) as db:
        assert db.sizes(**BORE).stock == {}
        put(HEADER + "S,38.26,30.9,7,sintered-tool-steel,2\n")
        assert list(db.sizes(**BORE).stock) == ["shop"]


def test_a_stock_that_is_none(database, tmp_path):
    other = tmp_path / "letter.txt"
    other.write_text("Dear customer, " * 100)
    with pytest.raises(specdb.SpecdbError, match="left alone"):
        specdb.open(database, stock=other)


def test_a_whole_head_takes_from_the_shelf_before_it_makes_seats_alike(asked, place):
    text = "label,bore,pilot\n1,38.05,7\n2,38.06,7\n"
    kept = HEADER + "S,38.28,30.9,7,sintered-tool-steel,9\n"
    plan = asked(kept, "head", readings=text, bore=None, inner_max=None, height_max=None)
    assert [seat.chosen.size for seat in plan.seats.values()] == ["S", "S"]
    assert plan.stock == {"shop": lists(place)[0].digest}
    (setting,) = plan.settings
    assert set(setting.labels) == {"1", "2"}
