"""Removal: the wall, when it is refused, and which ways out a ring and head allow."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specdb.database import Database
from specdb.errors import BadRequest, Misuse, UnknownName

RING: dict[str, Any] = {"insert_diameter": "38.1 mm", "pilot": "6.98 mm"}


def test_cutter_and_setting_by_hand(db: Database) -> None:
    """geometry: 38.1 - 2 x 0.4 = 37.3; (6.98 + 37.3) / 2 = 22.14; 0.10 of run-out is 0.05 off."""
    found = db.removal(**RING, wall="0.4 mm", runout="0.10 mm")
    assert found.cutter_diameter_mm == pytest.approx(37.3)
    assert found.tip_over_pilot_mm == pytest.approx(22.14)
    assert (found.wall_min_mm, found.wall_max_mm) == pytest.approx((0.35, 0.45))
    assert found.safe
    assert found.answered


def test_the_default_wall_is_the_trades_common_practice(db: Database) -> None:
    found = db.removal(**RING)
    assert found.wall_min_mm == found.wall_max_mm == pytest.approx(0.40)
    assert "insert.removal-wall-default.any.1" in found.facts
    assert any("runs true" in text for text in found.assumed)


@pytest.mark.parametrize(
    ("wall", "runout", "safe"),
    [  # common practice: the thinnest wall is 0.10 at least
        ("0.4 mm", "0.60 mm", True),
        ("0.4 mm", "0.61 mm", False),
        ("0.1 mm", "0 mm", True),
        ("0.09 mm", "0 mm", False),
        ("0.4 mm", "1.0 mm", False),
    ],
)
def test_safe_until_a_tenth_is_left(db: Database, wall: str, runout: str, safe: bool) -> None:
    found = db.removal(**RING, wall=wall, runout=runout)
    assert found.safe is safe
    assert found.answered is safe
    assert ("refused" in found.why) is not safe


@pytest.mark.parametrize("pilot", ["33.12 mm", "60 mm"])
def test_a_pilot_as_large_as_the_ring_is_refused_as_in_a_seat(db: Database, pilot: str) -> None:
    with pytest.raises(BadRequest, match=r"not smaller than the old ring, 33\.12 mm") as refused:
        db.removal(insert_diameter="33.12 mm", pilot=pilot)
    assert refused.value.field == "pilot"
    with pytest.raises(BadRequest, match=r"not smaller than the counterbore, 33\.12 mm"):
        db.seat(bore=["33.12 mm"], head="alu", insert="high-chrome", pilot=pilot)


def test_the_verdict_itself_says_that_no_run_out_was_told(db: Database) -> None:
    assert "run-out not told: taken as none; measure it" in db.removal(**RING).why
    assert "run-out not told" in db.removal(**RING, wall="0.05 mm").why
    for told in ({"runout": "0 mm"}, {"eccentricity": "0.05 mm"}):
        assert "not told" not in db.removal(**RING, **told).why


def test_a_cutter_in_the_head_is_said_to_touch_it(db: Database) -> None:
    assert "touches the head" in db.removal(**RING, wall="0.4 mm", runout="1.0 mm").why


def test_the_wall_that_would_be_safe_is(db: Database) -> None:
    refused = db.removal(**RING, wall="0.2 mm", eccentricity="0.3 mm")
    assert not refused.safe
    again = db.removal(**RING, wall=refused.wall_needed_mm, eccentricity="0.3 mm")
    assert again.safe


def test_runout_is_twice_the_eccentricity_and_both_are_refused(db: Database) -> None:
    one = db.removal(**RING, runout="0.2 mm")
    other = db.removal(**RING, eccentricity="0.1 mm")
    assert (one.wall_min_mm, one.wall_max_mm) == (other.wall_min_mm, other.wall_max_mm)
    with pytest.raises(BadRequest, match="both"):
        db.removal(**RING, runout="0.2 mm", eccentricity="0.1 mm")


@pytest.mark.parametrize(
    ("wall", "runout", "how"),
    [  # common practice: 0.25 to 0.5 mm left comes away by itself
        ("0.4 mm", "0.1 mm", "by itself"),
        ("0.5 mm", "0 mm", "by itself"),
        ("0.45 mm", "0.2 mm", "thick side broken out"),
        ("0.8 mm", "0.1 mm", "broken out"),
    ],
)
def test_when_the_wall_comes_away(db: Database, wall: str, runout: str, how: str) -> None:
    found = db.removal(**RING, wall=wall, runout=runout)
    assert found.comes_away == how
    assert any("0.50 mm" in text for text in found.remarks)


def test_the_stop_is_three_to_five_tenths_above_the_floor_common_practice(db: Database) -> None:
    found = db.removal(**RING, depth="8.2 mm")
    stop, depth = found.stop_above_floor_mm, found.depth_stop_mm
    assert (stop.low, stop.high) == (0.3, 0.5)
    assert depth is not None
    assert (depth.low, depth.high) == pytest.approx((7.7, 7.9))
    by_height = db.removal(**RING, height="8.0 mm", setback="0.2 mm").depth_stop_mm
    assert by_height is not None
    assert by_height.value == pytest.approx(depth.value)
    assert "depth_stop_mm" in db.removal(**RING).unknown


@pytest.mark.parametrize(
    ("insert", "head", "weld", "split"),
    [  # common practice: no bead on copper alloys or brittle rings; only brittle rings split
        ("copper-beryllium", "grey-iron", "never", "never"),
        ("bronze", "aluminium", "never", "never"),
        ("cobalt-base", "grey-iron", "never", "avoid"),
        ("sintered-plain", "grey-iron", "serves", "never"),
        ("sintered-plain", "aluminium", "avoid", "never"),
        (None, None, "avoid", "avoid"),
    ],
)
def test_which_ways_out_there_are(
    db: Database, insert: str | None, head: str | None, weld: str, split: str
) -> None:
    found = db.removal(**RING, insert=insert, head=head)
    ways = {each.method: each for each in found.methods}
    assert found.methods[0].method == "boring"
    assert (ways["weld-bead"].verdict, ways["splitting"].verdict) == (weld, split)
    assert all(row in found.facts for each in found.methods for row in each.sources)
    assert all(each.statements and each.why for each in found.methods)


def test_every_way_names_its_own_hazards(db: Database) -> None:
    ways = {each.method: " ".join(each.hazards) for each in db.removal(**RING).methods}
    assert "phosgene" in ways["weld-bead"]
    assert "phosgene" not in ways["boring"]
    assert "Splinters" in ways["splitting"]
    assert "depth stop" in ways["boring"]
    assert all("beryllium" in text for text in ways.values())  # nobody said what ring it is
    known = db.removal(**RING, insert="sintered-plain").methods
    assert not any("beryllium" in text for each in known for text in each.hazards)


def keys(found: Any) -> set[str]:
    return {note.key for note in found.cautions}


def test_the_hazards_go_with_the_ring(db: Database) -> None:
    iron = keys(db.removal(**RING, insert="sintered-plain", head="grey-iron"))
    copper = keys(db.removal(**RING, insert="copper-beryllium", head="grey-iron"))
    unknown = keys(db.removal(**RING))
    assert "weld-no-chlorinated-solvent" in iron & unknown
    assert "weld-no-chlorinated-solvent" not in copper
    assert "beryllium-until-known" in copper & unknown
    assert "beryllium-until-known" not in iron
    assert {"hard-ring-splinters", "depth-stop"} <= iron & copper & unknown


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"wall": "19.05 mm"}, "wall"),
        ({"wall": "-0.1 mm"}, "wall"),
        ({"insert_inner": "37.5 mm"}, "wall"),
        ({"depth": "0.4 mm"}, "depth"),
        ({"height": "0.4 mm"}, "height"),
        ({"pilot": "0 mm"}, "pilot"),
        ({"runout": "-0.1 mm"}, "runout"),
    ],
)
def test_what_cannot_be_is_refused_by_name(db: Database, wrong: dict[str, str], field: str) -> None:
    with pytest.raises(Misuse, match="Accepted") as refused:
        db.removal(**{**RING, "wall": "0.4 mm", **wrong})
    assert refused.value.field == field


def test_an_unknown_ring_is_refused_with_the_nearest(db: Database) -> None:
    with pytest.raises(UnknownName, match="sintered-plain"):
        db.removal(**RING, insert="sinterd-plain")


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(
    insert=st.floats(20.0, 70.0),
    wall=st.floats(0.01, 3.0),
    runout=st.floats(0.0, 2.0),
)
def test_safe_means_a_tenth_is_left(
    db: Database, insert: float, wall: float, runout: float
) -> None:
    found = db.removal(insert_diameter=insert, wall=wall, runout=runout, pilot=7.0)
    left = (insert - found.cutter_diameter_mm) / 2 - runout / 2
    assert found.safe is (left >= 0.10 - 1e-9)
    assert found.wall_max_mm >= found.wall_min_mm
    inch = db.removal(
        insert_diameter=f"{insert / 25.4:.12f} in",
        wall=f"{wall / 25.4:.12f} in",
        runout=f"{runout / 25.4:.12f} in",
        pilot="7 mm",
    )
    assert inch.tip_over_pilot_mm == pytest.approx(found.tip_over_pilot_mm, abs=1e-8)
