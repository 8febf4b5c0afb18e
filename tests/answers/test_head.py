"""A whole head: no good counterbore is enlarged, few settings, bridges, bad rows with reasons."""

from __future__ import annotations

import itertools
import random

import pytest

from specdb.answers.ask import to_json
from specdb.answers.head_rows import SeatTable
from specdb.answers.neighbours import REACH_MM, Place, pairs
from specdb.errors import BadRequest, MissingArguments, UnknownName
from specdb.records.head import BadRow
from specdb.records.seat import SeatReadings

ALLOY = {"head": "al-si7mg-t6", "insert": "sintered-tool-steel"}


def seat(label: str, *bore: str, **also: object) -> SeatReadings:
    return SeatReadings(label=label, bore=bore, **(ALLOY | also))


def table(*rows: str, header: str = "label,bore_1,bore_2,depth,pilot") -> str:
    return "\n".join([header, *rows]) + "\n"


FOUND, SPUN = ("33.872", "33.874"), ("33.99", "34.00")


@pytest.fixture(scope="module")
def mixed(database):
    """Two seats that take a ring as found, three that do not, on one pilot."""
    import specdb

    with specdb.open(database) as db:
        return db.head(
            [
                seat("1", *FOUND, pilot="6.98"),
                seat("2", *SPUN, pilot="6.98"),
                seat("3", *FOUND, pilot="6.98"),
                seat("4", "34.00", "34.01", pilot="6.98"),
                seat("5", "34.01", "34.02", pilot="6.98"),
            ]
        )


@pytest.mark.common_practice
def test_a_good_counterbore_is_never_enlarged_to_make_a_set_alike(mixed) -> None:
    assert mixed.as_found == ("1", "3")
    for label in mixed.as_found:
        assert mixed.seats[label].boring is None
        assert mixed.seats[label].chosen.as_found
    assert not any(set(each.labels) & set(mixed.as_found) for each in mixed.settings)


def test_every_bored_seat_is_in_one_setting_that_lies_in_its_own_limits(mixed, database) -> None:
    import specdb

    served = [label for each in mixed.settings for label in each.labels]
    assert sorted(served) == ["2", "4", "5"]
    assert len(mixed.settings) < 3, "three bores a hundredth apart share"
    for setting in mixed.settings:
        assert setting.tip_over_pilot_mm == pytest.approx((6.98 + setting.bore_mm) / 2, abs=0.0051)
        for label in setting.labels:
            plan = mixed.seats[label]
            ring = plan.chosen
            assert ring.outer_mm - ring.interference_max_mm <= setting.bore_least_mm + 1e-9
            assert setting.bore_most_mm <= ring.outer_mm - ring.interference_min_mm + 1e-9
            assert setting.bore_least_mm >= plan.sizes.clean_bore_mm - 1e-9
            assert (plan.boring.bore_mm, plan.boring.bore_least_mm, plan.boring.bore_most_mm) == (
                setting.bore_mm,
                setting.bore_least_mm,
                setting.bore_most_mm,
            )
    with specdb.open(database) as db:
        for label, bore in (("2", SPUN), ("4", ("34.00", "34.01")), ("5", ("34.01", "34.02"))):
            alone = db.seat(seat(label, *bore, pilot="6.98")).chosen
            shared = mixed.seats[label].chosen
            assert abs(shared.outer_mm - alone.outer_mm) <= 0.10 + 1e-9, "the common-size rule"


def test_rows_in_another_order_give_the_same_plan(db) -> None:
    seats = [
        seat("1E", "38.05", "38.06", x="0", y="0"),
        seat("1I", "44.00", "44.01", x="42.5", y="0", position="intake"),
        seat("2E", "38.07", "38.08", x="84", y="0"),
        seat("2I", "44.10", "44.11", x="126.5", y="0", position="intake"),
        seat("3E", "37.90", "37.91", x="168", y="0"),
    ]
    plain = db.head(seats)
    for order in list(itertools.permutations(seats))[5:120:37]:
        other = db.head(list(order))
        assert other.settings == plain.settings
        assert other.seats == plain.seats
        assert {frozenset(b.labels): b.left_mm for b in other.bridges} == {
            frozenset(b.labels): b.left_mm for b in plain.bridges
        }
        assert sorted(map(str, other.exceptions)) == sorted(map(str, plain.exceptions))
        assert to_json(other)[:200] != ""


def test_seats_on_different_pilots_share_no_setting(db) -> None:
    plan = db.head([seat("1", *SPUN, pilot="6.98"), seat("2", *SPUN, pilot="6.99")])
    assert [each.labels for each in plan.settings] == [("1",), ("2",)]


def test_a_seat_alone_on_its_pilot_is_named_where_others_are_bored_alike(db) -> None:
    others = [seat("1", *SPUN, pilot="6.98"), seat("2", *SPUN, pilot="6.98")]
    plan = db.head([*others, seat("3", *SPUN, pilot="7.00")])
    (alone,) = [each for each in plan.exceptions if each.what == "a setting of its own"]
    assert alone.label == "3"
    assert alone.why.startswith("its pilot is 7.00 mm;")
    assert "stands on 6.98 mm" in alone.why
    far = db.head([*others, seat("3", "38.05", "38.06", pilot="7.00")])
    assert not [each for each in far.exceptions if each.what == "a setting of its own"]


def test_a_bridge_is_the_distance_less_both_radii(db) -> None:
    plan = db.head(
        [
            seat("1", *FOUND, x="0", y="0"),
            seat("2", *FOUND, x="30", y="22"),  # 37.2022 apart
        ]
    )
    (bridge,) = plan.bridges
    assert bridge.now_mm == pytest.approx((30**2 + 22**2) ** 0.5 - 33.874, abs=1e-9)
    assert bridge.left_mm == bridge.now_mm, "nothing is bored"


def test_a_told_centre_distance_serves_as_well(db) -> None:
    plan = db.head([seat("1", *FOUND), seat("2", *FOUND, neighbour="1", centre_distance="37.2")])
    assert plan.bridges[0].now_mm == pytest.approx(37.2 - 33.874)


@pytest.mark.common_practice
def test_overlapping_counterbores_are_fitted_in_sequence_without_a_pressure(db) -> None:
    plan = db.head(
        [
            seat("ex", *SPUN, x="0", y="0"),
            seat("in", *SPUN, x="33", y="0", position="intake"),
        ]
    )
    (bridge,) = plan.bridges
    assert bridge.overlaps
    assert bridge.labels == ("in", "ex")
    assert "then trims that ring" in bridge.say
    assert [each.what for each in plan.exceptions] == ["overlaps"]
    for each in plan.seats.values():
        assert each.fit is None
        assert "overlap" in each.unknown["fit"]


@pytest.mark.common_practice
def test_a_thin_bridge_in_alloy_is_named(db) -> None:
    plan = db.head([seat("1", *FOUND, x="0"), seat("2", *FOUND, x="35.4")])
    assert plan.bridges == (), "without y no place is known"
    plan = db.head([seat("1", *FOUND, x="0", y="0"), seat("2", *FOUND, x="35.4", y="0")])
    (thin,) = plan.exceptions
    assert thin.what == "thin bridge"
    assert "2 mm in alloy" in thin.why


def test_neighbours_in_squares_are_those_of_every_pair_tried() -> None:
    chance = random.Random(7)
    places = [
        Place(str(at), chance.uniform(20, 65), chance.uniform(-300, 300), chance.uniform(-90, 90))
        for at in range(120)
    ]
    tried = {
        (one, other)
        for one, other in itertools.combinations(range(len(places)), 2)
        if ((places[one].x - places[other].x) ** 2 + (places[one].y - places[other].y) ** 2) ** 0.5
        - (places[one].bore + places[other].bore) / 2
        <= REACH_MM
    }
    assert {(pair.one, pair.other) for pair in pairs(places)} == tried
    assert len(tried) > 100


def test_good_rows_are_planned_and_bad_ones_named(db) -> None:
    text = table(
        "1E,38.05,38.06,8.2,6.98",
        "2E,38.05,39.06,8.2,6.98",
        "3E,thirty,38.06,8.2,6.98",
        "1E,34.05,34.06,,",
        "4E,38.05,38.06,-8,6.98",
    )
    plan = db.head(readings=text, **ALLOY)
    assert list(plan.seats) == ["1E"]
    assert not plan.answered
    told = {each.row: (each.label, each.column, each.reason) for each in plan.bad_rows}
    assert [(row, told[row][1]) for row in sorted(told)] == [
        (3, "bore"),
        (4, "bore_1"),
        (5, "label"),
        (6, "depth"),
    ]
    assert "disagree wildly" in told[3][2]
    assert "'thirty'" in told[4][2]
    assert "row 2" in told[5][2]


def test_a_bad_row_leaves_the_others_as_they_are(db) -> None:
    good = "1E,38.05,38.06,8.2,6.98", "2E,38.07,38.08,8.2,6.98"
    clean = db.head(readings=table(*good), **ALLOY)
    mixed = db.head(readings=table(good[0], "x,nonsense,,,", good[1]), **ALLOY)
    assert mixed.seats == clean.seats
    assert mixed.settings == clean.settings


VARIANTS = {
    "plain": "label,bore_1,bore_2,depth\n1E,38.05,38.06,8.2\n",
    "mark and blank lines": "\ufefflabel,bore_1,bore_2,depth\r\n\r\n1E,38.05,38.06,8.2\r\n,,,\r\n",
    "semicolon, decimal comma": "label;bore_1;bore_2;depth\n1E;38,05;38,06;8,2\n",
    "units in the header": "label,bore 1 (mm),bore_2 [mm],depth_mm\n1E,38.05,38.06,8.2\n",
    "units in the cells": "label,bore_1,bore_2,depth\n1E,38.05 mm,38.06mm,0.82 cm\n",
    "quoted decimal comma": 'label,bore_1,bore_2,depth\n1E,"38,05","38,06","8,2"\n',
    "capitals and remarks": "Seat,Bore 1,Bore 2,Depth,Remarks\n1E,38.05,38.06,8.2,was loose\n",
    "several in a cell": "label,bore,depth\n1E,38.05 | 38.06,8.2\n",
}


@pytest.mark.parametrize("text", VARIANTS.values(), ids=VARIANTS)
def test_tables_are_read_as_people_write_them(db, text: str) -> None:
    plain = db.head(readings=VARIANTS["plain"], **ALLOY)
    plan = db.head(readings=text, **ALLOY)
    assert plan.bad_rows == ()
    assert plan.seats["1E"].boring == plain.seats["1E"].boring
    assert plan.seats["1E"].chosen == plain.seats["1E"].chosen


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("label,depth\n1,8\n", "no column"),
        ("label,bore,colour\n1,38,red\n", "colour"),
        # a heading that may mean two things, and cells that do not decide it
        ("label,bore,Valve\n1,38,31\n", "position or valve_diameter or label"),
        ("label,bore,OD\n1,38,38.1\n", "bore or old_insert"),
        ("label,bore,Seat\n1,38,2\n", "both give label"),
        ("label,bore,Valve dia (mm),valve_diameter\n1,38,31,31\n", "both give valve_diameter"),
        ("", "empty"),
        ("label,bore\n", "no row with readings"),
    ],
)
def test_a_table_that_cannot_be_a_head_is_refused(db, text: str, said: str) -> None:
    with pytest.raises((BadRequest, UnknownName)) as refused:
        db.head(readings=text, **ALLOY)
    assert said in str(refused.value)


def test_every_column_nobody_understands_is_named_at_once() -> None:
    with pytest.raises(UnknownName) as refused:
        SeatTable(b"label,bore,Stem,OD,Colour\n1,38,6,38.1,red\n", {}, "head")
    said = str(refused.value)
    assert all(f"'{written}'" in said for written in ("Stem", "OD", "Colour"))
    assert "OD: did you mean bore or old_insert" in said


PLAIN = "label,position,bore_1,bore_2,depth,valve_diameter\n1E,exhaust,38.05,38.06,8.2,35.5\n"
HEADINGS = [
    "No,Valve,Counterbore 1 (mm),CB 2 (mm),Pocket depth (mm),Valve dia (mm)",
    "Seat,Pos.,Bore A,Bore B,Depth,Valve Ø [mm]",
    "Seat no.,In/Ex,Bore x,Bore y,Depth mm,Valve (mm)",
    "Name,valve position,reading 1,reading 2,cb depth,valve_od",
]


@pytest.mark.parametrize("position", ["Exh", "E", "outlet"])
@pytest.mark.parametrize("headings", HEADINGS)
def test_a_shops_headings_are_read(headings: str, position: str) -> None:
    common = {"head": "alloy", "insert": "high-chrome"}
    text = f"{headings}\n1E,{position},38.05,38.06,8.2,35.5\n"
    (told,) = SeatTable(PLAIN.encode(), common, "head")
    (found,) = SeatTable(text.encode(), common, "head")
    assert found == told
    assert not isinstance(found[1], BadRow)


def test_every_word_for_a_column_means_an_argument() -> None:
    from specdb.answers import head_columns

    every = [*head_columns._SAID, *(name for may in head_columns._MAY_BE.values() for name in may)]
    assert set(every) <= set(head_columns.known())
    said = head_columns._ALSO
    assert len(said) == sum(len(words.split(", ")) for words in head_columns._SAID.values())
    assert not set(said) & set(head_columns.known())


VALVES = "Seat,Valve,bore_1,bore_2\n"


def test_an_odd_cell_spoils_its_row_not_the_file(db) -> None:
    rows = "1 IN,In,38.05,38.06\n2 EX,Exhausst,38.05,38.06\n3 EX,Exh,38.05,38.06\n"
    plan = db.head(readings=VALVES + rows, **ALLOY)
    assert list(plan.seats) == ["1 IN", "3 EX"]
    (bad,) = plan.bad_rows
    assert (bad.row, bad.label, bad.column) == (3, "2 EX", "Valve")
    assert "intake, exhaust" in bad.reason


@pytest.mark.common_practice
def test_which_valve_is_never_guessed_where_a_column_says_it(db) -> None:
    """Intake and exhaust take other rings and widths: a blank is filled by the label or not at
    all, and a label that says otherwise is remarked."""
    rows = "1 IN,,38.05,38.06\nfour,,38.05,38.06\n5 EX,In,38.05,38.06\n6 EX,E,38.05,38.06\n"
    plan = db.head(readings=VALVES + rows, **ALLOY)
    assert {name: each.readings.position for name, each in plan.seats.items()} == {
        "1 IN": "intake",
        "5 EX": "intake",
        "6 EX": "exhaust",
    }
    (bad,) = plan.bad_rows
    assert (bad.label, bad.column) == ("four", "Valve")
    assert "intake or exhaust" in bad.reason
    assert "as the label says" in " ".join(plan.seats["1 IN"].problems)
    assert "the label says exhaust, 'Valve' intake" in " ".join(plan.seats["5 EX"].problems)
    assert "Which valve" not in " ".join(plan.seats["6 EX"].problems)
    assert any(each.text.startswith("Which valve") for each in plan.look_at)
    assert plan.assumed == ()


def test_without_a_column_what_is_taken_for_granted_is_said_once(db) -> None:
    plan = db.head(readings="Seat,bore\n1,38.05\n2,38.05\n", **ALLOY)
    (said,) = plan.assumed
    assert "exhaust" in said
    assert not any("Which valve" in each.text for each in plan.look_at)


LABELS = {
    "intake": ["3 IN", "3in", "IN-3", "I", "2I", "2 int", "inlet 4"],
    "exhaust": ["3 EX", "2E", "E2", "ex_3", "Exhaust 1"],
    None: ["3", "front", "pine 4", "five", "1 in/ex", "seat 2", ""],
}


@pytest.mark.parametrize(
    ("label", "position"), [(each, place) for place, some in LABELS.items() for each in some]
)
def test_what_a_label_says(label: str, position: str | None) -> None:
    from specdb.answers.head_positions import of_label

    assert of_label(label) == position


def test_what_no_seat_can_do_without_is_asked_for_once() -> None:
    with pytest.raises(MissingArguments) as refused:
        SeatTable(b"label,bore\n1,38\n", {"insert": "high-chrome"}, "head")
    assert refused.value.missing == ("head",)


def test_nothing_but_readings_is_taken(db) -> None:
    with pytest.raises(BadRequest, match="SeatReadings"):
        db.head([{"bore": "38"}])


def test_the_head_carries_the_rows_and_cautions_of_its_seats(db) -> None:
    alone = db.seat(seat("1", "38.05", "38.06"))
    plan = db.head([seat("1", "38.05", "38.06")])
    assert set(alone.facts) <= set(plan.facts)
    assert {note.key for note in alone.cautions} <= {note.key for note in plan.cautions}
    assert plan.data_release == alone.data_release
