"""Cut: the worked seat of the trade, defaults from rows, and what the insert carries."""

from __future__ import annotations

import math
from typing import Any

import pytest
import sympy
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specdb.database import Database
from specdb.errors import BadQuantity, Misuse

WORKED: dict[str, Any] = {  # geometry: worked by hand
    "valve_diameter": "29 mm",
    "seat_angle": 45,
    "seat_width": "1.5 mm",
    "inset": "0.5 mm",
    "top_angle": 30,
    "throat_angle": 60,
    "margin": "1.2 mm",
    "recess": "0.3 mm",
    "insert_diameter": "32 mm",
    "insert_inner": "24.5 mm",
    "height": "6 mm",
}


def test_the_worked_seat_geometry(db: Database) -> None:
    found = db.cut(**WORKED)
    assert found.seat_outer_mm == 28.0
    assert found.seat_outer_below_deck_mm == pytest.approx(2.00, abs=1e-9)
    assert found.seat_inner_below_deck_mm == pytest.approx(3.06, abs=0.005)
    assert found.metal_below_seat_mm == pytest.approx(2.94, abs=0.005)
    assert found.top_cut_leaves_insert_mm == pytest.approx(0.85, abs=0.006)
    assert found.insert_carries is False
    assert "top cut runs off the insert into the head" in found.why
    assert found.feed_per_mm == pytest.approx({"top": 0.211, "throat": 0.366}, abs=0.0005)
    assert found.widens_per_tenth_mm == pytest.approx(0.53, abs=0.005)


# geometry: the trade's table of feeds, for 1 mm change of diameter, worked by hand
@pytest.mark.parametrize(
    ("top", "seat", "throat", "above", "below"),
    [
        (30, 45, 60, 0.211, 0.366),
        (15, 45, 75, 0.366, 1.366),
        (15, 30, 60, 0.155, 0.577),
    ],
)
def test_the_worked_feeds(
    db: Database, top: int, seat: int, throat: int, above: float, below: float
) -> None:
    angles = {"top_angle": top, "seat_angle": seat, "throat_angle": throat}
    found = db.cut(**WORKED | angles, taken_off="0.10 mm")
    assert found.feed_per_mm == pytest.approx({"top": above, "throat": below}, abs=0.0005)
    # metal n square to the face sinks the valve n / cos(angle)
    assert found.sinks_mm == pytest.approx({45: 0.1414, 30: 0.1155}[seat], abs=0.0001)


def _drawn(top: int, seat: int, throat: int) -> dict[str, float]:
    """The same section drawn with a library of symbolic geometry: lines cut with lines."""

    def down(angle: int) -> Any:
        return -sympy.tan(sympy.pi * angle / 180)

    face = sympy.Line(sympy.Point("14.5", "1.5"), slope=down(seat))  # rim 1.2 under recess 0.3
    (outer,) = face.intersection(sympy.Line((14, 0), (14, 1)))
    inner = outer.translate(
        -sympy.cos(sympy.pi * seat / 180) * sympy.Rational(3, 2),
        sympy.sin(sympy.pi * seat / 180) * sympy.Rational(3, 2),
    )
    above = sympy.Line(outer, slope=down(top))
    below = sympy.Line(inner, slope=down(throat))
    (at_face,) = above.intersection(sympy.Line((0, 0), (1, 0)))
    (at_side,) = above.intersection(sympy.Line((16, 0), (16, 1)))
    (at_bottom,) = below.intersection(sympy.Line((0, 6), (1, 6)))
    return {
        "seat_inner_mm": float(2 * inner.x),
        "top_face_outer_mm": float(2 * at_face.x),
        "top_cut_leaves_insert_mm": float(at_side.y),
        "seat_inner_below_deck_mm": float(inner.y),
        "throat_face_inner_mm": max(float(2 * at_bottom.x), 20.0),
    }


@pytest.mark.parametrize(
    ("top", "seat", "throat"), [(30, 45, 60), (15, 45, 75), (15, 30, 60), (10, 20, 50)]
)
def test_the_faces_are_where_lines_cross_symbolic_geometry(
    db: Database, top: int, seat: int, throat: int
) -> None:
    found = db.cut(
        **{
            **WORKED,
            "top_angle": top,
            "seat_angle": seat,
            "throat_angle": throat,
            "insert_inner": "20 mm",
        }
    )
    for name, drawn in _drawn(top, seat, throat).items():
        assert getattr(found, name) == pytest.approx(drawn, abs=1e-9), name


def test_an_insert_that_carries_all_three_says_so(db: Database) -> None:
    found = db.cut(**{**WORKED, "insert_diameter": "36 mm", "height": "7 mm"})
    assert found.insert_carries is True
    assert found.top_face_outer_mm < 36.0
    assert found.top_cut_leaves_insert_mm is not None
    assert found.top_cut_leaves_insert_mm < 0.0


def test_what_would_make_it_carry_does(db: Database) -> None:
    leaves = db.cut(**WORKED).top_cut_leaves_insert_mm
    deeper = {**WORKED, "insert_depth_below_deck": leaves, "height": "7 mm"}
    assert db.cut(**deeper).insert_carries is True


@pytest.mark.parametrize(("height", "warned"), [("4.5 mm", True), ("6 mm", False)])
def test_little_metal_below_the_seat_is_a_warning(db: Database, height: str, warned: bool) -> None:
    """common practice: warn under 1.5 mm."""
    found = db.cut(**{**WORKED, "height": height})
    assert any("left below the seat" in text for text in found.remarks) is warned
    assert "insert.height-below-seat-warn.any.1" in found.facts


@pytest.mark.parametrize(
    ("bore", "said"), [(28 - 3 / math.sqrt(2), True), (25.5, False)], ids=["none", "some"]
)
def test_a_seat_up_to_the_bore_leaves_no_throat_cut(db: Database, bore: float, said: bool) -> None:
    """geometry: the seat ends at 28 - 3 cos 45 degrees."""
    found = db.cut(**{**WORKED, "insert_inner": bore})
    assert any("no metal is left" in text for text in found.remarks) is said
    assert found.throat_face_inner_mm <= found.seat_inner_mm


def test_a_seat_through_the_insert_is_not_carried(db: Database) -> None:
    found = db.cut(**{**WORKED, "height": "3 mm", "insert_diameter": "36 mm"})
    assert found.insert_carries is False
    assert "bottom" in found.why


@pytest.mark.parametrize(
    ("asked", "width", "inset"),
    [  # common practice: the widths and insets of the trade, the middle of what it gives
        ({"valve_diameter": "40 mm", "position": "intake"}, 1.25, 0.5),
        ({"valve_diameter": "35 mm", "position": "exhaust"}, 1.75, 0.5),
        ({"valve_diameter": "26 mm", "position": "inlet"}, 1.0, 0.35),
        # of 0.8 to 1.2 the widest: an exhaust seat is kept wide to carry heat
        ({"valve_diameter": "26 mm", "position": "exhaust"}, 1.2, 0.35),
        ({"valve_diameter": "30 mm", "position": "exhaust"}, 1.2, 0.35),
        ({"valve_diameter": "31 mm", "position": "exhaust"}, 1.75, 0.5),
    ],
)
def test_what_nobody_said_comes_from_rows(
    db: Database, asked: dict[str, str], width: float, inset: float
) -> None:
    found = db.cut(**asked)
    assert found.seat_width_mm == pytest.approx(width)
    assert found.inset_mm == pytest.approx(inset)
    assert any("seat width" in text for text in found.assumed)
    assert all(row in found.facts for row in found.sources)
    assert found.top_angle_deg == 30.0
    assert found.insert_carries is None
    assert found.metal_below_seat_mm is None
    assert "margin" in found.unknown["metal_below_seat_mm"]


def test_a_flat_seat_gets_a_flatter_top_cut(db: Database) -> None:
    assert db.cut(valve_diameter=40, seat_angle=30).top_angle_deg == 15.0


def test_published_widths_stand_beside_the_default(db: Database) -> None:
    rows = db.cut(valve_diameter=40).widths
    assert len([row for row in rows if row.stands and row.seen == "excerpt"]) > 10
    assert all(row.position in ("exhaust", "any") for row in rows)
    assert not any(row.note and "motorcycle" in row.note for row in rows)  # under 30 mm only


@pytest.mark.parametrize(("angle", "edge"), [(1, "outer"), (-0.5, "inner")])
def test_an_interference_angle_touches_on_a_line(db: Database, angle: float, edge: str) -> None:
    found = db.cut(**WORKED, interference_angle=angle)
    assert found.valve_face_angle_deg == 45 - angle
    assert found.contact_width_mm is None
    assert found.contact_gap_mm is not None
    assert any(f"seat's {edge} edge" in text for text in found.remarks)


def test_a_tenth_off_the_face(db: Database) -> None:
    """geometry: 0.10 square to a 45 degree face is 0.141 of sink, and 0.53 x 1.41 wider."""
    found = db.cut(**WORKED, taken_off="0.10 mm")
    assert found.sinks_mm == pytest.approx(0.1414, abs=0.0001)
    assert found.width_after_mm == pytest.approx(1.5 + 0.7464, abs=0.001)


def test_an_inclined_valve_is_deeper_on_one_side(db: Database) -> None:
    """geometry: 28 mm across at 30 degrees is 14 mm."""
    assert db.cut(**WORKED, inclination=30).deck_spread_mm == pytest.approx(14.0)


def test_sodium_is_said_at_the_cut(db: Database) -> None:
    assert "sodium-valve" in {note.key for note in db.cut(valve_diameter=35).cautions}


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"top_angle": 45}, "top_angle"),
        ({"top_angle": 50}, "top_angle"),
        ({"throat_angle": 45}, "throat_angle"),
        ({"throat_angle": 89.9}, "throat_angle"),
        ({"seat_angle": 0}, "seat_angle"),
        ({"seat_angle": 15, "top_angle": None}, "top_angle"),
        ({"seat_width": "3 mm"}, "seat_width"),
        ({"seat_width": "30 mm"}, "seat_width"),
        ({"insert_diameter": "28 mm"}, "insert_diameter"),
        ({"insert_inner": "27 mm"}, "seat_width"),
        ({"inset": "-0.1 mm"}, "inset"),
        ({"interference_angle": 50}, "interference_angle"),
    ],
)
def test_nonsense_is_refused_by_name(db: Database, wrong: dict[str, Any], field: str) -> None:
    with pytest.raises(Misuse, match="Accepted") as refused:
        db.cut(**{**WORKED, **wrong})
    assert refused.value.field == field


@pytest.mark.parametrize("insert", [None, "36 mm"])
def test_a_rim_and_a_top_cut_no_valve_has_are_remarked(db: Database, insert: str | None) -> None:
    # geometry: seat's edge 12 + 0.5 * tan 45 + 0.3 = 12.8 deep, 32 + 2 * 12.8 / tan 30 = 76.3 wide
    found = db.cut(valve_diameter=33, margin=12, recess=0.3, insert_diameter=insert)
    said = " ".join(found.remarks)
    assert "A rim of 12 mm (margin) is more than valves have" in said
    assert "76.3 mm" in said
    assert found.top_face_outer_mm == pytest.approx(76.34, abs=0.01)


@pytest.mark.parametrize("margin", [0.8, 1.5, 3.0])
def test_a_rim_valves_have_is_not_remarked(db: Database, margin: float) -> None:
    said = " ".join(db.cut(valve_diameter=33, margin=margin, recess=0.3).remarks)
    assert "more than valves have" not in said
    assert "would come out" not in said


def test_a_valve_too_large_for_its_ring_is_said_in_plain_words(db: Database) -> None:
    with pytest.raises(Misuse) as refused:
        db.cut(**{**WORKED, "valve_diameter": "38 mm"})
    assert refused.value.message.startswith("the seat is 37.00 mm outside")
    assert "swapped" in refused.value.hint


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(
    valve=st.floats(18.0, 60.0),
    width=st.floats(0.5, 3.0),
    inset=st.floats(0.0, 1.5),
    margin=st.floats(0.5, 3.0),
    recess=st.floats(0.0, 2.0),
    seat=st.floats(20.0, 50.0),
)
def test_faces_follow_each_other_from_outside_in(
    db: Database,
    valve: float,
    width: float,
    inset: float,
    margin: float,
    recess: float,
    seat: float,
) -> None:
    found = db.cut(
        valve_diameter=valve,
        seat_width=width,
        inset=inset,
        margin=margin,
        recess=recess,
        seat_angle=seat,
        top_angle=seat / 2,
        throat_angle=70,
    )
    assert found.top_face_outer_mm > found.seat_outer_mm > found.seat_inner_mm
    assert found.seat_inner_mm >= found.throat_face_inner_mm > 0.0
    outer, inner = found.seat_outer_below_deck_mm, found.seat_inner_below_deck_mm
    assert outer is not None
    assert inner is not None
    assert inner > outer > 0.0


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15)
@given(valve=st.floats(20.0, 60.0))
def test_an_exhaust_seat_is_never_narrower_than_an_intake_of_its_size(
    db: Database, valve: float
) -> None:
    exhaust, intake = (
        db.cut(valve_diameter=valve, position=position).seat_width_mm
        for position in ("exhaust", "intake")
    )
    assert exhaust > intake


def test_the_rule_for_small_valves_says_so_and_names_the_other(db: Database) -> None:
    small = db.cut(valve_diameter=26, position="exhaust")
    assert any("the rule of a valve up to 30 mm" in text for text in small.assumed)
    said = " ".join(small.remarks)
    assert "seat.seat-width.any.13" in said
    assert "1.5 to 2 mm for car sizes, kept wider to carry heat (seat.seat-width.exhaust.4)" in said
    assert "seat.seat-width.exhaust.4" in small.facts
    inlet = db.cut(valve_diameter=26, position="intake")
    assert any("the rule of a valve up to 30 mm" in text for text in inlet.assumed)
    assert not any("Two rules" in text for text in inlet.remarks)


def test_a_valve_just_over_the_small_ones_is_told_of_their_rule(db: Database) -> None:
    said = [t for t in db.cut(valve_diameter=31).remarks if "just over the 30 mm" in t]
    assert len(said) == 2
    assert "0.8 to 1.2 mm" in said[0]
    assert "0.3 to 0.4 mm" in said[1]
    assert not any("just over" in text for text in db.cut(valve_diameter=34).remarks)


@pytest.mark.parametrize(
    ("field", "included", "here"),
    [("seat_angle", "90", 45), ("seat_angle", "120 deg", 30), ("throat_angle", "150", 15)],
)
def test_an_included_angle_is_asked_back(
    db: Database, field: str, included: str, here: int
) -> None:
    """90 - 90 / 2 = 45; 90 - 120 / 2 = 30; 90 - 150 / 2 = 15."""
    with pytest.raises(BadQuantity, match=f"included is {here} here") as refused:
        db.cut(valve_diameter=30, **{field: included})
    assert refused.value.field == field


def test_what_is_not_known_is_said(db: Database) -> None:
    assert db.cut(valve_diameter=29).why.startswith("whether the insert carries all three faces")
    bare = db.cut(valve_diameter=29, insert_diameter=29.5, height=6, recess=0)
    assert "(give margin)" in bare.why
    assert "(give recess)" not in bare.why
    assert "(give recess)" in db.cut(valve_diameter=29, insert_diameter=29.5, height=6).why
