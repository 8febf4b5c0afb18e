"""Guides for a hole, by the machinery of seat inserts: by hand, and against every guide."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specdb.database import Database
from specdb.errors import BadRequest, NotKnown
from specdb.records.sizes import SizesResult
from tests.answers.brute_force import LATEST

# common practice: 0.0015 to 0.0025 in of press for a guide in aluminium
PRESS = (0.0381, 0.0635)


def guides(db: Database, bore: Any, **more: Any) -> SizesResult:
    return db.sizes(part="guide", bore=bore, **{"head": "aluminium", "insert": "bronze", **more})


def test_as_found_at_the_worst_readings(db: Database) -> None:
    """A 12.05 guide made to +-0.0055: 12.0445 - 12.003 - 0.002 = 0.0395 at the least, 12.0555 -
    12.000 + 0.002 = 0.0575 at the most."""
    found = guides(db, [12.000, 12.003], reading_error=0.002, inner_max=7.02, height_max=50)
    best = found.candidates[0]
    assert found.part == "valve-guide"
    assert (best.outer_mm, best.inner_mm, best.height_mm) == (12.05, 7.0, 50.0)
    assert best.as_found
    assert best.press_least_mm == pytest.approx(0.0395)
    assert best.press_greatest_mm == pytest.approx(0.0575)
    assert (best.interference_min_mm, best.interference_max_mm) == pytest.approx(PRESS)
    assert best.oversize_mm == pytest.approx(0.05)


def test_a_worn_hole_is_reamed_for_the_next_oversize(db: Database) -> None:
    """Largest 12.033: a 12.10 guide wants 12.0365 to 12.0619, 0.0035 over the largest reading."""
    found = guides(db, [12.030, 12.033], reading_error=0.002, inner_max=7.02)
    best = found.candidates[0]
    assert not found.as_found
    assert best.outer_mm == 12.1
    assert best.cut_min_mm == pytest.approx(12.1 - PRESS[1])
    assert best.cut_max_mm == pytest.approx(12.1 - PRESS[0])
    assert best.clean_up_mm == pytest.approx(12.1 - PRESS[1] - 12.033)
    assert found.rejected
    assert all(each.reason for each in found.rejected)
    assert any("12.05" in why for why in found.as_found_why)


def test_a_pitted_hole_is_reamed_to_bright_metal(db: Database) -> None:
    """Pits 0.020 deep below a largest reading of 12.003: bright at 12.043, on diameter."""
    clean = guides(db, [12.000, 12.003], reading_error=0.002, inner_max=7.02)
    pitted = guides(db, [12.000, 12.003], reading_error=0.002, inner_max=7.02, pit_depth=0.02)
    assert clean.as_found
    assert not pitted.as_found
    assert any("pits 0.020 mm deep" in why for why in pitted.as_found_why)
    assert pitted.candidates
    assert not any(each.as_found for each in pitted.candidates)
    first = pitted.candidates[0]
    assert first.outer_mm == 12.1
    assert first.cut_min_mm == pytest.approx(12.043)
    assert first.cut_max_mm == pytest.approx(12.1 - PRESS[0])


def test_a_hole_measured_warm_is_known_less_well(db: Database) -> None:
    """The alloys of a class expand differently: what that leaves open is added to both readings."""
    cold, warm = (
        guides(db, [bore], reading_error=0.002, inner_max=7.02, measured_at=[at, 20]).candidates[0]
        for bore, at in ((12.000, 20), (12.000 * (1 + 22e-6 * 20), 40))
    )
    spread = [each.press_greatest_mm - each.press_least_mm for each in (cold, warm)]
    assert warm.as_found
    assert spread[0] == pytest.approx(0.011 + 0.004)
    assert 0.0 < spread[1] - spread[0] < 0.002


def test_no_limit_of_counterbores_is_put_upon_a_guides_hole(db: Database) -> None:
    found = guides(db, [12.0], reading_error=0.002)
    said = " ".join((*found.remarks, *found.assumed, *found.unknown.values()))
    for words in ("counterbore", "jacket", "throat", "deck"):
        assert words not in said, words
    keys = {note.key for note in found.cautions}
    assert "guides-first" in keys
    assert not keys & {"water-jacket-unseen", "depth-stop", "crack-test-ring-out"}
    assert any("0.55 of the outside" in text for text in found.assumed)
    off = [abs(each.inner_mm - 0.55 * each.outer_mm) for each in found.candidates if each.as_found]
    assert off == sorted(off)


@pytest.mark.parametrize(
    "more",
    [
        {"throat": 6.0},
        {"runout": 0.1},
        {"bridge": 2.0},
        {"retention": "peened"},
        {"fuel": "gas"},
    ],
)
def test_what_only_a_seats_ring_has_is_refused(db: Database, more: dict[str, Any]) -> None:
    (name,) = more
    with pytest.raises(BadRequest, match="not of a valve guide") as refused:
        guides(db, [12.0], **more)
    assert refused.value.field == name


def test_where_no_press_of_guides_is_known(db: Database) -> None:
    with pytest.raises(NotKnown, match="valve-guide"):
        guides(db, [12.0], head="compacted-iron")
    assert guides(db, [30.0]).unknown["candidates"]


def test_a_ring_is_never_offered_for_a_guide_nor_the_other_way_round(db: Database) -> None:
    """Both series have outsides of 20 to 23 mm."""
    hole = guides(db, [21.0], head="grey-iron", most=500).candidates
    pocket = db.sizes(bore=[21.0], head="grey-iron", insert="bronze", most=500).candidates
    assert hole
    assert pocket
    assert all("guide-series" in each.size for each in hole)
    assert all("insert-series" in each.size for each in pocket)


@pytest.fixture(scope="module")
def series(database: Path) -> list[dict[str, Any]]:
    with sqlite3.connect(database) as connection:
        connection.row_factory = sqlite3.Row
        return [
            dict(row) for row in connection.execute(f"SELECT * FROM guide_sizes WHERE {LATEST}")
        ]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(
    um=st.integers(9_600, 18_400),
    spread=st.integers(0, 12),
    error=st.sampled_from([0.0, 0.002, 0.005]),
    inner=st.integers(4_000, 9_000),
)
def test_answers_equal_brute_force(
    db: Database, series: list[dict[str, Any]], um: int, spread: int, error: float, inner: int
) -> None:
    """Every guide of the series against the press of guides in aluminium, which is one band from
    9.5 to 18.5 mm (common practice), by the rules in words."""
    least, most = PRESS
    small, large = um / 1000, (um + spread) / 1000
    wanted = {}
    for row in series:
        outer = row["outer_mm"]
        if row["inner_mm"] > inner / 1000 or not 9.5 <= outer <= 18.5:
            continue
        loosest = outer - row["outer_minus_mm"] - large - error
        tightest = outer + row["outer_plus_mm"] - small + error
        if loosest >= least - 5e-7 and tightest <= most + 5e-7:
            wanted[row["id"]] = 0.0
            continue
        ream, to = max(outer - most, large), outer - least
        if to - ream >= max(min(2 * error, most - least) - 5e-7, 5e-7) and ream - large <= 0.4:
            wanted[row["id"]] = ream - large
    found = guides(
        db,
        [small, large],
        reading_error=error,
        inner_max=inner / 1000,
        largest_clean_up=0.4,
        most=500,
    ).candidates
    ranked = sorted(wanted, key=lambda size: (wanted[size] > 0, wanted[size]))
    last = wanted[ranked[: len(found)][-1]] if found else 0.0
    assert len(found) == min(len(wanted), 500)
    assert {each.size for each in found} <= set(wanted)
    assert all(wanted[each.size] <= last + 1e-6 for each in found)
    for each in found:
        assert each.clean_up_mm == pytest.approx(wanted[each.size], abs=1e-6)
    order = [(not each.as_found, round(each.clean_up_mm, 6), -each.inner_mm) for each in found]
    assert order == sorted(order)
