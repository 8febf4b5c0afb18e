"""Limits in inches: inside the limits in mm, and the same on every face."""

from __future__ import annotations

from specdb.answers import boring
from specdb.cli import show
from specdb.database import Database


def test_a_limit_is_rounded_into_its_span_and_the_same_as_on_the_card(db: Database) -> None:
    """6.005 mm is 0.23642 in, 6.055 is 0.23839: inward to two tenths of a thou."""
    found = db.guide(stem=5.965)
    low, high = boring.inches(found.ream_min_mm or 0.0, found.ream_max_mm or 0.0)
    assert (f"{low:.4f}", f"{high:.4f}") == ("0.2366", "0.2382")
    said = show.answer(found).splitlines()
    (least,) = [line for line in said if "finished bore, smallest" in line]
    (most,) = [line for line in said if "finished bore, largest" in line]
    assert least.split()[-2:] == ["0.2366", "in"]
    assert most.split()[-2:] == ["0.2382", "in"]


def test_limits_too_near_for_a_step_are_said_as_they_are() -> None:
    class Two:
        cut_min_mm = 33.0201
        cut_max_mm = 33.0203

    found = boring.limits_in_inches(Two())
    assert found["cut_min_mm"] <= found["cut_max_mm"]


def test_a_depth_in_fractions_of_an_inch_keeps_its_thousandths(db: Database) -> None:
    """3/8 in is 9.525 mm."""
    found = db.seat(bore=["33.02"], head="alu", insert="high-chrome", depth=".375 in")
    (depth,) = [line.text for line in found.bench if line.what == "depth"]
    assert depth == "9.525 mm (0.3750 in)"
