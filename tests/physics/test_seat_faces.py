"""Faces of a seat, walls of an old ring, a skim, a stem: against figures and an outside geometry.

`geometry` marks what follows from lines and triangles: worked by hand, or by a library of
symbolic geometry that knows nothing of seats.
"""

from __future__ import annotations

import math

import pytest
import sympy
from hypothesis import assume, given
from hypothesis import strategies as st

from specdb.errors import BadRequest
from specdb.physics import deck, geometry, removal, seat_faces, stem
from specdb.physics.seat_faces import Angles

FEEDS = [  # geometry: feed for 1 mm change of diameter, worked by hand
    (45, 30, 0.211),
    (45, 15, 0.366),
    (45, 60, 0.366),
    (45, 75, 1.366),
    (30, 15, 0.155),
    (30, 60, 0.577),
]
ANGLES = st.floats(2.0, 88.0)


@pytest.mark.parametrize(("seat", "other", "feed"), FEEDS)
def test_feed_for_a_millimetre_of_diameter_geometry(seat: float, other: float, feed: float) -> None:
    assert seat_faces.feed_per_mm(seat, other) == pytest.approx(feed, abs=0.0005)


def _cone(edge: sympy.Point, angle_deg: int) -> sympy.Line:
    """A cone in the half plane of radius and depth: falls inward."""
    return sympy.Line(edge, slope=-sympy.tan(sympy.pi * angle_deg / 180))


@pytest.mark.parametrize(("seat", "other"), [(45, 30), (45, 15), (45, 60), (30, 15), (20, 75)])
def test_feeding_a_cutter_moves_the_crossing_as_the_feed_says_symbolic_geometry(
    seat: int, other: int
) -> None:
    edge = sympy.Point(14, 2)
    feed = sympy.Rational(1, 7)
    fed = _cone(edge.translate(0, feed), seat)
    (crossing,) = fed.intersection(_cone(edge, other))
    moved = abs(float(2 * (crossing.x - edge.x)))
    assert moved == pytest.approx(float(feed) / seat_faces.feed_per_mm(seat, other), rel=1e-12)


@pytest.mark.parametrize(("top", "seat", "throat"), [(30, 45, 60), (15, 45, 75), (15, 30, 60)])
def test_a_fed_seat_widens_as_two_crossings_say_symbolic_geometry(
    top: int, seat: int, throat: int
) -> None:
    outer, inner = sympy.Point(14, 2), sympy.Point(13, 2 + sympy.tan(sympy.pi * seat / 180))
    feed = sympy.Rational(1, 10)
    fed = _cone(outer.translate(0, feed), seat)
    (up,) = fed.intersection(_cone(outer, top))
    (down,) = fed.intersection(_cone(inner, throat))
    grown = float(up.distance(down) - outer.distance(inner))
    widened = seat_faces.widening_mm(0.1, Angles(top, seat, throat, seat))
    assert widened == pytest.approx(grown, rel=1e-12)


def test_a_tenth_deeper_between_30_and_60_widens_a_45_seat_by_053_geometry() -> None:
    assert seat_faces.widening_mm(0.10, Angles(30, 45, 60, 45)) == pytest.approx(0.53, abs=0.005)


def test_the_worked_seat_geometry() -> None:
    """Valve 29, rim 1.2, inset 0.5, 45 degrees, width 1.5, recess 0.3, insert 32 x 6."""
    outer, inner = seat_faces.seat_diameters_mm(29.0, 0.5, 1.5, 45.0)
    seat = seat_faces.placed(29.0, 1.2, outer, inner, Angles(30, 45, 60, 45))
    assert outer == 28.0
    assert 0.3 + seat.outer_depth_mm == pytest.approx(2.00, abs=1e-9)
    assert 0.3 + seat.inner_depth_mm == pytest.approx(3.06, abs=0.005)
    assert 6.0 - (0.3 + seat.inner_depth_mm) == pytest.approx(2.94, abs=0.005)
    rise = seat_faces.cone_rise_mm(outer, 32.0, 30.0)
    assert 0.3 + seat.outer_depth_mm - rise == pytest.approx(0.85, abs=0.006)


@pytest.mark.parametrize(("face", "touches"), [(45, "all"), (44, "outer"), (46, "inner")])
def test_the_valve_rests_on_the_seat_and_never_in_it_symbolic_geometry(
    face: int, touches: str
) -> None:
    """Valve face and seat as lines: they meet where they should, and the valve lies above."""
    outer, inner = seat_faces.seat_diameters_mm(29.0, 0.5, 1.5, 45.0)
    seat = seat_faces.placed(29.0, 1.2, outer, inner, Angles(30, 45, 60, face))
    valve = _cone(sympy.Point(14.5, 1.2), face)
    gaps = {}
    for name, diameter, depth in (
        ("outer", outer, seat.outer_depth_mm),
        ("inner", inner, seat.inner_depth_mm),
    ):
        (on_valve,) = valve.intersection(sympy.Line((diameter / 2, 0), (diameter / 2, 1)))
        gaps[name] = depth - float(on_valve.y)
    assert min(gaps.values()) == pytest.approx(0.0, abs=1e-12)
    if touches != "all":
        assert gaps[touches] == pytest.approx(0.0, abs=1e-12)
        assert max(gaps.values()) == pytest.approx(seat.gap_mm, rel=1e-9)
        assert seat.gap_mm > 0.01


@given(seat=ANGLES, other=ANGLES, third=ANGLES)
def test_feeds_add_up_along_rising_angles(seat: float, other: float, third: float) -> None:
    low, middle, high = sorted((seat, other, third))
    whole = seat_faces.feed_per_mm(low, high)
    parts = seat_faces.feed_per_mm(low, middle) + seat_faces.feed_per_mm(middle, high)
    assert whole == pytest.approx(parts, rel=1e-9, abs=1e-12)
    assert seat_faces.feed_per_mm(low, high) == seat_faces.feed_per_mm(high, low)


@given(
    valve=st.floats(15.0, 80.0),
    inset=st.floats(0.0, 2.0),
    width=st.floats(0.2, 4.0),
    angle=st.floats(10.0, 60.0),
    scale=st.floats(0.1, 10.0),
    margin=st.floats(0.2, 4.0),
)
def test_a_seat_scales_with_its_valve(
    valve: float, inset: float, width: float, angle: float, scale: float, margin: float
) -> None:
    angles = Angles(angle / 2, angle, 75.0, angle)

    def at(k: float) -> list[float]:
        outer, inner = seat_faces.seat_diameters_mm(k * valve, k * inset, k * width, angle)
        seat = seat_faces.placed(k * valve, k * margin, outer, inner, angles)
        return [outer, inner, seat.outer_depth_mm, seat.inner_depth_mm]

    assert at(scale) == pytest.approx([scale * each for each in at(1.0)], rel=1e-9)


@given(
    valve=st.floats(15.0, 80.0),
    inset=st.floats(0.0, 2.0),
    width=st.floats(0.2, 4.0),
    more=st.floats(0.01, 2.0),
    angle=st.floats(10.0, 75.0),
)
def test_wider_and_further_in_is_smaller(
    valve: float, inset: float, width: float, more: float, angle: float
) -> None:
    outer, inner = seat_faces.seat_diameters_mm(valve, inset, width, angle)
    assert math.hypot((outer - inner) / 2, (outer - inner) / 2 * math.tan(math.radians(angle))) == (
        pytest.approx(width, rel=1e-9)
    )
    assert seat_faces.seat_diameters_mm(valve, inset, width + more, angle)[1] < inner
    assert seat_faces.seat_diameters_mm(valve, inset + more, width, angle)[0] < outer


@given(metal=st.floats(0.0, 2.0), angle=ANGLES)
def test_metal_off_square_to_the_face_is_the_sink_seen_square_to_it(
    metal: float, angle: float
) -> None:
    sink = seat_faces.sink_mm(metal, angle)
    assert sink >= metal
    assert sink * math.cos(math.radians(angle)) == pytest.approx(metal, rel=1e-12, abs=1e-15)


def test_a_45_seat_sinks_the_valve_by_the_diagonal_geometry() -> None:
    assert seat_faces.sink_mm(0.10, 45.0) == pytest.approx(0.10 * math.sqrt(2.0))


@pytest.mark.parametrize(
    ("angles", "field"),
    [
        (Angles(45, 45, 60, 45), "top_angle"),
        (Angles(30, 45, 45, 45), "throat_angle"),
        (Angles(0, 45, 60, 45), "top_angle"),
        (Angles(30, 45, 89.5, 45), "throat_angle"),
        (Angles(30, 45, 60, -3), "interference_angle"),
    ],
)
def test_angles_that_make_no_seat_are_refused(angles: Angles, field: str) -> None:
    with pytest.raises(BadRequest) as refused:
        angles.check()
    assert refused.value.field == field


# --- an old ring ---------------------------------------------------------------------------------


def test_boring_31_89_over_a_6_00_pilot_geometry() -> None:
    """The worked setting of the trade: (6.00 + 31.89) / 2 = 18.945."""
    assert geometry.tip_over_pilot_mm(6.00, 31.89) == pytest.approx(18.945)


@given(
    insert=st.floats(20.0, 80.0),
    wall=st.floats(0.0, 5.0),
    off=st.floats(0.0, 2.0),
    pilot=st.floats(4.0, 15.0),
)
def test_wall_cutter_and_setting_agree(
    insert: float, wall: float, off: float, pilot: float
) -> None:
    cutter = removal.cutter_diameter_mm(insert, wall)
    thin, thick = removal.wall_mm(insert, cutter, off)
    assert thin + thick == pytest.approx(insert - cutter, abs=1e-9)
    assert thick - thin == pytest.approx(2 * off, abs=1e-9)
    # the tool's radius is what the micrometer reads less half the pilot
    assert geometry.tip_over_pilot_mm(pilot, cutter) - pilot / 2 == pytest.approx(cutter / 2)


@given(
    insert=st.floats(20.0, 80.0),
    wall=st.floats(0.05, 2.0),
    off=st.floats(0.0, 1.0),
    turn=st.floats(0.0, 2 * math.pi),
)
def test_no_place_round_the_ring_is_thinner_than_the_thinnest(
    insert: float, wall: float, off: float, turn: float
) -> None:
    """geometry: a ray from the tool's axis leaves the bored circle and then the ring's outside."""
    cutter = removal.cutter_diameter_mm(insert, wall)
    thin, thick = removal.wall_mm(insert, cutter, off)
    assume(off < insert / 4)
    reach = off * math.cos(turn) + math.sqrt((insert / 2) ** 2 - (off * math.sin(turn)) ** 2)
    assert thin - 1e-9 <= reach - cutter / 2 <= thick + 1e-9


def test_a_dial_shows_twice_the_eccentricity() -> None:
    assert removal.eccentricity_mm(0.30) == 0.15


def test_a_wall_of_half_the_ring_is_refused() -> None:
    with pytest.raises(BadRequest, match="whole"):
        removal.cutter_diameter_mm(38.0, 19.0)


# --- skim, stem ----------------------------------------------------------------------------------


def test_a_quarter_millimetre_off_fifty_square_centimetres_geometry() -> None:
    assert deck.volume_lost_mm3(5000.0, 0.25) == pytest.approx(1250.0)


@given(swept=st.floats(1e4, 1e6), ratio=st.floats(5.0, 25.0))
def test_clearance_and_ratio_undo_each_other(swept: float, ratio: float) -> None:
    clearance = deck.clearance_volume_mm3(swept, ratio)
    assert deck.compression_ratio(swept, clearance) == pytest.approx(ratio, rel=1e-12)
    assert deck.compression_ratio(swept, 0.9 * clearance) > ratio


@given(skim=st.floats(0.0, 2.0), tilt=st.floats(0.0, 60.0))
def test_an_inclined_valve_loses_less_than_the_skim(skim: float, tilt: float) -> None:
    lost = deck.clearance_lost_mm(skim, tilt)
    assert 0.0 <= lost <= skim
    assert deck.clearance_lost_mm(skim, 0.0) == skim
    assert deck.clearance_lost_mm(skim, 60.0) == pytest.approx(skim / 2)


@given(
    stem_low=st.floats(4.0, 12.0),
    spread=st.floats(0.0, 0.05),
    least=st.floats(0.01, 0.05),
    play=st.floats(0.051, 0.2),
)
def test_every_stem_has_its_clearance_in_the_finished_bore(
    stem_low: float, spread: float, least: float, play: float
) -> None:
    low, high = stem.ream_mm(stem_low, stem_low + spread, least, play)
    for bore in (low, high):
        for shaft in (stem_low, stem_low + spread):
            if low <= high:
                assert least - 1e-9 <= bore - shaft <= play + 1e-9
