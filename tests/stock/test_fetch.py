"""Which ring goes in: high enough for the hole, from the shelf, and how many there are to fetch.

Sizes worked by hand. The press is given, 0.10 to 0.16 mm. The counterbore reads 33.02 and 33.03,
so it cleans up at 33.03 + 0.05 = 33.08; the generic ring that takes the least metal is 33.25,
bored to 33.25 - 0.16 = 33.09 up to 33.25 - 0.10 = 33.15. The rings on the shelf are invented.
"""

from __future__ import annotations

import csv
import io

import pytest

import specdb
from specdb.answers.head_rings import Supply
from specdb.answers.head_settings import Bored, Choice, Rule, elsewhere, settle
from specdb.cli.app import run
from specdb.records.head import SHORT, TOO_LOW
from specdb.sheet import render

SEAT = {
    "bore": ["33.02 mm", "33.03 mm"],
    "head": "al-si7mg-t6",
    "insert": "sintered-tool-steel",
    "interference_min": "0.10 mm",
    "interference_max": "0.16 mm",
}
HEADER = "part,OD,ID,height,material,qty\n"


@pytest.fixture
def asked(put, place, database):
    def asked(text, question="seat", **more):
        put(HEADER + text)
        with specdb.open(database, stock=place) as db:
            return db.ask(question, **{**SEAT, **more})

    return asked


def ring(part: str, outer: float, height: float, qty: object = "") -> str:
    return f"{part},{outer},27,{height},sintered-tool-steel,{qty}\n"


@pytest.mark.common_practice
def test_a_ring_that_does_not_fill_the_hole_comes_after_all_that_do(asked) -> None:
    """6.50 deep; flush to 0.25 below the deck is usual: 6.25 fills it, 6.24 does not."""
    rows = ring("LOW", 33.25, 6.24) + ring("FILLS", 33.26, 6.25) + ring("HIGH", 33.27, 7.1)
    found = asked(rows, depth="6.5 mm", most=500).sizes.candidates
    own = {each.size: each for each in found if each.origin == "shop"}
    assert {part: round(each.below_deck_mm, 6) for part, each in own.items()} == {
        "LOW": 0.26,
        "FILLS": 0.25,
        "HIGH": -0.6,
    }
    assert [each.size for each in found[:2]] == ["FILLS", "HIGH"]
    low = [each.too_low for each in found]
    assert low == sorted(low)
    assert low[0] is False
    assert own["LOW"].too_low
    assert own["LOW"].outer_mm == min(each.outer_mm for each in own.values()), "with less metal"


@pytest.mark.common_practice
def test_a_higher_ring_is_faced_down_and_said_to_be(asked) -> None:
    plan = asked(ring("HIGH", 33.26, 7.1), depth="6.5 mm")
    assert plan.chosen.size == "HIGH"
    assert any("0.60 mm higher than the counterbore is deep" in text for text in plan.problems)


@pytest.mark.common_practice
def test_where_no_ring_is_high_enough_that_is_said_first(asked) -> None:
    """19.90 - 0.25 = 19.65 mm, which is 19.65 / 25.4 = 0.7736 in."""
    plan = asked(ring("LOW", 33.26, 6.5), depth="19.9 mm")
    assert plan.chosen.too_low
    for text in (plan.bench[0].text, plan.problems[0].lower()):
        assert "no ring listed is high enough: the counterbore is 19.90 mm deep" in text
        assert "order one 19.65 mm (0.7736 in) high or more" in text
    fits = asked(ring("LOW", 33.26, 6.5), depth="6.5 mm")
    assert not any("high enough" in line.text for line in fits.bench)


def test_the_shelf_is_named_beside_a_generic_ring(asked) -> None:
    """33.37 is 0.12 above 33.25, more than alike: 33.21 to 33.27, aim at 33.24; 0.12 more metal."""
    plan = asked(ring("V-3305", 33.37, 6.5, 12), depth="6.5 mm")
    assert plan.chosen.origin == "generic"
    (line,) = [line.text for line in plan.bench if line.what == "on your shelf"]
    assert line == (
        "V-3305 33.37 x 27.00 x 6.50 of the list shop, bore to 33.24, 12 there (0.12 mm more metal)"
    )
    assert plan.sizes.on_shelf.size == "V-3305"
    near = asked(ring("V-3304", 33.34, 6.5, 12), depth="6.5 mm")
    assert near.chosen.size == "V-3304", "0.09 above is alike"
    assert near.sizes.on_shelf is None
    low = asked(ring("V-3303", 33.37, 6.0, 12), depth="6.5 mm")
    assert low.sizes.on_shelf is None, "too low to be offered"


def test_a_size_preferred_that_is_not_alike_is_told_why(asked) -> None:
    rows = ring("V-3305", 33.37, 6.5, 12)
    plan = asked(rows, "sizes", prefer=["33.37 mm"])
    assert plan.candidates[0].outer_mm == 33.25
    assert any("is 0.12 mm larger than 33.25 mm" in text for text in plan.remarks)


TABLE = "label,bore_1,bore_2,depth,interference_min,interference_max\n" + "".join(
    f"{label},33.02,33.03,6.5,0.10,0.16\n" for label in ("1I", "2I", "3I", "4I")
)


@pytest.fixture
def short(asked):
    """Four seats alike, and two rings for them."""
    kept = dict.fromkeys(("bore", "interference_min", "interference_max"))
    return asked(ring("V-1", 33.26, 6.5, 2), "head", readings=TABLE, **kept)


def test_a_shelf_with_too_few_names_who_goes_without(short) -> None:
    (needed,) = short.rings
    assert (needed.origin, needed.size) == ("shop", "V-1")
    assert (needed.needed, needed.on_hand, needed.short) == (4, 2, 2)
    assert needed.labels == ("1I", "2I", "3I", "4I")
    assert needed.without == ("3I", "4I")
    said = [each for each in short.exceptions if each.what == SHORT]
    assert [each.label for each in said] == ["3I", "4I"]
    assert "4 needed, 2 on hand; order 2" in said[0].why


def test_the_sheets_say_which_ring_and_how_many(short) -> None:
    for record in (False, True):
        said = " ".join(render(short, record=record).split())
        assert "part V-1, list shop" in said
        assert "SHORT by 2: No. 3, 4 without" in said


def test_table_and_csv_say_which_ring_and_how_many(put, place, bundled, capsys, tmp_path) -> None:
    put(HEADER + ring("V-1", 33.26, 6.5, 2))
    file = tmp_path / "readings.csv"
    file.write_text(TABLE + "5I,34.00,34.01,6.5,0.10,0.16\n")
    args = ["head", str(file), "--head", SEAT["head"], "--insert", SEAT["insert"]]

    def out(*more: str) -> str:
        with pytest.raises(SystemExit):
            run([*args, "--stock", str(place), *more])
        return capsys.readouterr().out

    rows = {row["label"]: row for row in csv.DictReader(io.StringIO(out("--csv")))}
    told = ("ring_from", "ring_part", "ring_needed", "ring_on_hand", "ring_there")
    assert [rows["2I"][name] for name in told] == ["shop", "V-1", "4", "2", "yes"]
    assert [rows["3I"][name] for name in told] == ["shop", "V-1", "4", "2", "no"]
    assert [rows["5I"][name] for name in told] == ["generic", "", "1", "", ""]
    text = " ".join(out().split())
    assert "SHORT: V-1 of the list shop: 4 needed, 2 on hand; without: 3I, 4I." in text
    assert "generic size (order or make)" in text
    assert text.count("list shop: NONE LEFT") == 2


def test_the_old_ring_s_tip_stands_in_the_table_where_one_was_told(put, place, bundled, capsys):
    """Wall 0.40 left of 33.10: bored to 32.30; on a pilot of 5.98 the tip is 38.28 / 2 = 19.14."""
    put(HEADER + ring("V-1", 33.26, 6.5))
    header, *rows = TABLE.split()
    for more, told in (("", False), (",33.10,5.98", True)):
        names = ",old_insert,pilot" if more else ""
        file = place.parent / "readings.csv"
        file.write_text("\n".join([header + names, *(row + more for row in rows)]))
        args = ["--head", SEAT["head"], "--insert", SEAT["insert"], "--stock", str(place)]
        with pytest.raises(SystemExit):
            run(["head", str(file), *args])
        out = capsys.readouterr().out
        assert ("19.14 mm" in out) is told
        assert ("old ring" in out) is told


def test_a_head_without_a_ring_high_enough_says_so(asked) -> None:
    kept = dict.fromkeys(("bore", "interference_min", "interference_max"))
    deep = TABLE.replace("6.5", "19.9")
    plan = asked(ring("V-1", 33.26, 6.5, 9), "head", readings=deep, **kept)
    assert {each.label for each in plan.exceptions if each.what == TOO_LOW} == set(plan.seats)
    assert plan.look_at[0].text.startswith("No ring listed is high enough")
    assert plan.look_at[0].all_seats


def choice(outer: float, *, own: str = "", wall: float = 3.0, left: int | None = None) -> Choice:
    """A ring bored for 0.16 to 0.10 under its outside, in steps of 0.005."""
    least, most = round(outer - 0.16, 3), round(outer - 0.10, 3)
    span = (round(least / 0.005) + 1, round(most / 0.005) - 1)
    key = ("shop", own) if own else ("generic", f"{outer}")
    return Choice(outer, wall, least, most, span, key, left)


RULE = Rule(within=0.10, wall=0.08)


def bored(label: str, choices: tuple[Choice, ...], shelf: tuple[Choice, ...]) -> Bored:
    return Bored(label, 6.0, choices, shelf, 33.03)


def settled(*seats: Bored) -> dict[str, str]:
    shared, _, _ = settle(seats, RULE, Supply())
    return {label: ring.key[1] for each in shared for label, ring in each.rings.items()}


@pytest.mark.common_practice
def test_at_a_common_setting_the_shelf_comes_before_a_generic_ring_alike() -> None:
    """Both seats meet at 33.34; 33.37 is 0.03 above that, 0.12 above the first seat's own best."""
    generic, other = choice(33.34), choice(33.25)
    own = choice(33.37, own="V")
    first, second = bored("1", (other, generic), (own,)), bored("2", (generic,), (own,))
    assert settled(first, second) == {"1": "V", "2": "V"}
    far = choice(33.45, own="FAR")
    assert settled(bored("2", (generic,), (far,))) == {"2": "33.34"}, "0.11 is not alike"
    thin = choice(33.37, own="THIN", wall=2.0)  # least wall 0.08 x 33.37 = 2.67
    assert settled(bored("2", (generic,), (thin,))) == {"2": "33.34"}


def test_a_ring_of_which_none_is_left_gives_way_to_another_of_the_shelf() -> None:
    last, other = choice(33.34, own="LAST", left=1), choice(33.34, own="OTHER", left=1)
    seats = [bored(at, (last,), (last, other)) for at in "123"]
    assert settled(*seats) == {"1": "LAST", "2": "OTHER", "3": "LAST"}, "the third goes without"


def test_a_ring_that_would_do_at_a_setting_as_it_stands_is_named() -> None:
    """Thinner than the one it would stand in for, so it is named and not taken."""
    last = choice(33.34, own="LAST", left=1)
    thin = choice(33.37, own="THIN", wall=2.0, left=1)
    seats = [bored(at, (last,), (last, thin)) for at in "12"]
    supply = Supply()
    shared, _, _ = settle(seats, RULE, supply)
    assert [ring.key[1] for ring in shared[0].rings.values()] == ["LAST", "LAST"]
    # the setting is 33.18 to 33.24, aimed at 33.21: the end of what 33.37 allows, no aim of it
    assert elsewhere(seats[1], shared, supply) is None
    near = choice(33.36, own="NEAR", wall=2.0, left=1)  # 33.20 to 33.26, aimed at from 33.205 on
    second = bored("2", (last,), (last, near))
    assert elsewhere(second, shared, supply) == (("shop", "NEAR"), "at setting 1")
    supply.take(("shop", "NEAR"))
    assert elsewhere(second, shared, supply) is None, "spoken for"


def test_the_shelf_is_given_out_only_as_far_as_it_goes() -> None:
    """One ring 33.37: its 33.21 to 33.27 and 33.18 to 33.24 of 33.34 leave 33.21 to 33.24."""
    seats = [bored(at, (choice(33.34),), (choice(33.37, own="V", left=1),)) for at in "12"]
    assert settled(*seats) == {"1": "V", "2": "33.34"}
    ((shared,), _, _) = settle(seats, RULE, Supply())
    assert (shared.least, shared.most) == (33.21, 33.24)


def test_what_a_seat_that_goes_without_could_take_is_told(put, place, database, capsys) -> None:
    """Both seats are bored for 33.25; of the two on the shelf, the one that is left is thinner."""
    put(HEADER + "A,33.25,27,6.5,sintered-tool-steel,1\nB,33.25,28.6,6.5,sintered-tool-steel,3\n")
    rows = "label,bore_1,bore_2,depth\n1,33.02,33.03,6.5\n2,33.02,33.03,6.5\n"
    with specdb.open(database, stock=place) as db:
        plan = db.head(readings=rows, head=SEAT["head"], insert=SEAT["insert"])
    (ring,) = plan.rings
    assert (ring.size, ring.without) == ("A", ("2",))
    assert ring.instead == {"2": "B of the list shop at setting 1"}
    (short,) = [each for each in plan.exceptions if each.what == SHORT]
    assert short.why.endswith("order 1, or take B of the list shop at setting 1")
    assert "2: B of the list shop at setting 1 would do" in render(plan)


@pytest.mark.common_practice
def test_a_ring_of_the_shelf_that_just_misses_says_what_one_must_measure(asked) -> None:
    """0.10 to 0.16: 33.188 in 33.02 less 0.005 is 0.173, 0.013 too much; 33.182 misses by 0.007."""
    missed = "33.18 mm: part N of the list shop, 4 there, misses by 0.007 mm: one that measures "
    near = " ".join(asked("N,33.182,27,6.5,sintered-tool-steel,4\n").sizes.as_found_why)
    assert missed + "33.175 mm or less goes in as found" in near
    assert "misses by" not in " ".join(
        asked("N,33.188,27,6.5,sintered-tool-steel,4\n").sizes.as_found_why
    )


def test_a_ring_of_which_none_is_left_is_told_of_the_head(asked) -> None:
    said = "Your G of the list shop would serve; none is left: reorder."
    assert said in asked("G,33.25,27,6.5,sintered-tool-steel,0\n", depth="6.5").problems
    assert (
        said
        not in asked(
            "G,33.25,27,6.5,sintered-tool-steel,0\nH,33.25,27,6.5,sintered-tool-steel,1\n",
            depth="6.5",
        ).problems
    )
    assert said not in asked("G,33.25,27,4.0,sintered-tool-steel,0\n", depth="6.5").problems, (
        "too low to serve"
    )
