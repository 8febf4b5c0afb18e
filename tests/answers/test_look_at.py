"""What to look at: the gravest first, what seats share once, and one reading, one error said."""

from __future__ import annotations

import pytest

from specdb.answers.look_at import Gathered, in_order
from specdb.cli.head_table import bad_rows
from specdb.sheet import render

ALLOY = {"head": "al-si7mg-t6", "insert": "sintered-tool-steel"}


def test_texts_that_differ_in_figures_are_one_with_their_span() -> None:
    found = Gathered()
    found.add("1", "intake", ["stretch 267 MPa at tm-5-1185", "0.10 to 0.20 mm wanted"])
    found.add("2", "exhaust", ["stretch 255 MPa at tm-5-1185", "0.05 to 0.15 mm wanted"])
    told = {each.text: each for each in found.told()}
    assert set(told) == {"stretch 255 to 267 MPa at tm-5-1185", "0.05 to 0.15 mm wanted",
                         "0.10 to 0.20 mm wanted"}  # fmt: skip
    assert told["stretch 255 to 267 MPa at tm-5-1185"].all_seats
    assert told["stretch 255 to 267 MPa at tm-5-1185"].labels == ("1", "2")
    assert told["0.05 to 0.15 mm wanted"].labels == ("2",), "sizes of exhausts stay theirs"


def test_what_stops_the_work_comes_first_then_what_few_seats_have() -> None:
    found = Gathered()
    for label in "12345":
        mine = ["the metal at the bridge yields: stretch 260 MPa", "Old ring: refused."]
        if label == "3":
            mine.append("Not as found: ovality 0.035 mm, up to 0.025 mm is usable")
        found.add(label, "intake", mine)
    told = [(each.text[:8], each.seats, each.all_seats) for each in found.told()]
    assert told == [("Old ring", 5, True), ("Not as f", 1, False), ("the meta", 5, True)]


def test_what_is_said_of_one_ring_is_not_merged_with_what_is_said_of_another() -> None:
    found = Gathered()
    miss = "Not as found: {} mm: too much press: {} mm, 0.100 to 0.152 mm wanted".format
    found.add("1", "intake", [miss("41.50", "0.155 to 0.160")])
    found.add("2", "intake", [miss("41.78", "0.200 to 0.210")])
    found.add("3", "intake", [miss("41.50", "0.157 to 0.163")])
    told = {each.text: each.labels for each in found.told()}
    assert told == {
        miss("41.50", "0.155 to 0.163"): ("1", "3"),
        miss("41.78", "0.200 to 0.210"): ("2",),
    }
    own = Gathered()
    shelf = "on your shelf: {0} {1} x 31.00 x 8.00 of the list mine, as found".format
    own.add("1", "exhaust", [shelf(70, "35.25")])
    own.add("2", "exhaust", [shelf(71, "41.50")])
    assert len(own.told()) == 2


def test_a_long_table_is_counted_not_listed() -> None:
    found = Gathered()
    for at in range(1000):
        found.add(str(at), "intake", [f"stretch {at} MPa"])
    (only,) = found.told()
    assert (only.text, only.seats, len(only.labels)) == ("stretch 0 to 999 MPa", 1000, 40)


def test_the_gravest_of_one_seat_comes_first() -> None:
    texts = ("what decides: x", "Not as found: taper 0.02 mm", "No size serves.", "what decides: x")
    assert in_order(texts) == (texts[2], texts[1], texts[0])


def test_one_reading_is_said_to_be_too_few(db) -> None:
    said = "One reading: measure at least two ways, top and bottom."
    assert said in db.seat(bore=["38.05"], **ALLOY).problems
    assert said not in db.seat(bore=["38.05", "38.06"], **ALLOY).problems
    assert said not in db.seat(bore=["38.05"], bore_bottom=["38.06"], **ALLOY).problems


def test_the_same_thing_wrong_with_many_rows_is_said_once(db) -> None:
    rows = "label,bore_1,bore_2\n" + "".join(f"{at},38.05,38.06\n" for at in range(1, 10))
    plan = db.head(readings=rows, head=ALLOY["head"], insert="sinter")
    assert len(plan.bad_rows) == 9
    (told,) = bad_rows(plan)
    assert told.startswith(
        "rows 2, 3, 4, 5, 6, 7 and 3 more (1, 2, 3, 4, 5, 6 and 3 more): insert:"
    )


@pytest.mark.common_practice
def test_an_alarm_that_rests_on_an_assumption_says_what_to_give(db) -> None:
    seat = {"bore": ["29.96", "29.97"], "depth": "6.5", "valve_diameter": "27", **ALLOY}
    bare = db.seat(**seat)
    (alarm,) = [text for text in bare.problems if "runs off the insert" in text]
    assert alarm.endswith("give margin and recess.")
    told = db.seat(**seat, margin="1.2", recess="0")
    (alarm,) = [text for text in told.problems if "runs off the insert" in text]
    assert "give" not in alarm
    said = " ".join(render(bare).split())
    assert said.count("runs off the insert") == 2, "above the cuts once, and why"
    assert "give margin and recess and ask again" in said
