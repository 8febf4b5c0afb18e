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
    near = asked(HEADER + f"S,{best.outer_mm + 0.09:.3f},30.9,8,sintered-tool-steel,2\n")
    first = near.candidates[0]
    assert (first.origin, first.size) == ("shop", "S")
    assert first.left == 2
    assert first.preferred == "shelf"
    assert "on the shelf" in first.why
    assert any("on the shelf" in text for text in near.remarks)
    assert near.candidates[1].origin == "generic"
    assert near.candidates[1].preferred is None
    far = asked(HEADER + f"S,{best.outer_mm + 0.11:.3f},30.9,8,sintered-tool-steel,2\n", most=200)
    assert far.candidates[0].origin == "generic"
    assert "shop" in {each.origin for each in far.candidates}


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("inside", "height", "first"),
    [
        (30.9, 8.0, True),
        (30.9, 7.75, True),  # flush to 0.25 below the deck is usual
        (30.9, 7.74, False),
        (30.9, 6.0, False),
    ],
)
def test_a_ring_too_low_does_not_go_first_for_being_on_the_shelf(asked, inside, height, first):
    """A counterbore 8 deep, which the generic series fills."""
    found = asked(HEADER + f"S,38.26,{inside},{height},sintered-tool-steel,2\n", most=300)
    own = next(each for each in found.candidates if each.size == "S")
    assert (found.candidates[0].size == "S") is first
    assert (own.preferred == "shelf") is first
    if height < 8.0:
        assert any(f"stands {8 - height:.2f} mm below the deck" in text for text in own.remarks)


@pytest.mark.common_practice
@pytest.mark.parametrize(("wall", "first"), [(3.07, True), (3.05, False)])
def test_a_ring_too_thin_does_not_go_first_for_being_on_the_shelf(asked, wall, first):
    """Walls from 0.08 of the outside are usual: 0.08 x 38.25, of the generic ring, is 3.06."""
    inside = 38.25 - 2 * wall
    text = HEADER + f"S,38.251,{inside:.3f},7,sintered-tool-steel,2\n"
    found = asked(text, inner_max=None, height_max=None, most=300)
    own = next(each for each in found.candidates if each.size == "S")
    assert (own.preferred == "shelf") is first


def test_a_ring_without_a_tolerance_is_said_to_be_taken_as_exact(asked):
    header = HEADER.replace("qty", "tolerance")
    rows = "S,38.26,30.9,8,sintered-tool-steel,{}\n"
    bare = asked(header + rows.format(""))
    assert any("'shop' states no tolerance of S" in text for text in bare.assumed)
    assert any("outer_minus_mm" in text for text in bare.assumed)
    first = bare.candidates[0]
    assert (first.size, first.outer_minus_mm, first.outer_plus_mm) == ("S", None, None)
    assert any("taken as exact" in text for text in first.remarks)
    told = asked(header + rows.format("+-0.01"))
    assert not any("tolerance" in text for text in told.assumed)
    first = told.candidates[0]
    assert first.outer_minus_mm == pytest.approx(0.01)
    assert not any("exact" in text for text in first.remarks)


def test_what_is_longer_than_wide_is_a_guide(asked, place, database):
    """One list with both; a 12.10 guide wants a hole of 12.0365 to 12.0619."""
    both = "G,12.10,7,50,bronze,3\nR,22.25,12,8,bronze,2\nL,22.25,12,60,bronze,2\n"
    hole = {"part": "guide", "insert": "bronze", "inner_max": "7 mm", "height_max": "50 mm"}
    found = asked(HEADER + both, bore="12.03 mm", **hole)
    first = found.candidates[0]
    assert (first.origin, first.size, first.preferred) == ("shop", "G", "shelf")
    assert any("longer than it is wide is a guide" in text for text in found.assumed)
    short = asked(HEADER + both.replace("50,bronze", "45,bronze"), bore="12.03 mm", **hole)
    assert short.candidates[0].origin == "generic"
    with specdb.open(database, stock=place) as db:
        ring = {"insert": "bronze", "head": "grey-iron", "bore": "22.1 mm", "most": 300}
        offered = {each.size for each in db.sizes(**ring).candidates}
        assert "R" in offered
        assert not offered & {"L", "G"}


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
    text = HEADER + "N,38.12,30.9,8,sintered-tool-steel,2\n"
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


def test_python_finds_the_lists_the_commands_find(put, place, database, monkeypatch):
    put(HEADER + "S,38.26,30.9,8,sintered-tool-steel,2\n")
    monkeypatch.setenv("SPECDB_STOCK", str(place))
    with specdb.open(database, stock="usual") as usual, specdb.open(database, stock=place) as said:
        assert to_json(usual.sizes(**BORE)) == to_json(said.sizes(**BORE))
        assert list(usual.sizes(**BORE).stock) == ["shop"]
    with specdb.open(database) as db:
        assert db.sizes(**BORE).stock == {}


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
