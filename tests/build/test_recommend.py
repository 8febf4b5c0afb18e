"""The recommended press: inside what is known, and what the trade expects of it."""

from __future__ import annotations

import csv
import itertools
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb.build.recommend import recommend

DATA = Path(__file__).parents[2] / "data"
MM = {"in": 25.4, "mm": 1.0, "": 1.0}
CAR_SIZES = range(25, 52)
TINY = 1e-6
CONVERTED = {
    "diameter_from": "diameter_unit",
    "diameter_to": "diameter_unit",
    "minimum": "unit",
    "maximum": "unit",
}
Row = dict[str, Any]


@cache
def gathered() -> tuple[Row, ...]:
    """The rows of the table with their converted columns, computed here and not by the build."""
    with (DATA / "interference_ranges.csv").open(encoding="utf-8", newline="") as file:
        rows: list[Row] = list(csv.DictReader(file))
    for row in rows:
        for cell, unit in CONVERTED.items():
            row[f"{cell}_mm"] = float(row[cell]) * MM[row[unit]] if row[cell] else None
    return tuple(rows)


@cache
def recommended() -> dict[str, Row]:
    return {row["id"]: row for row in recommend(gathered())}


def at(head: str, step: int, ring: str = "any", position: str = "any") -> Row:
    return recommended()[f"recommended.seat-insert.{head}.{ring}.{position}.{step}"]


def made(**cells: Any) -> Row:
    """A row of the table, a band for any ring in an aluminium head unless told otherwise."""
    usual = {
        "id": "range.made.1",
        "part": "seat-insert",
        "head_class": "aluminium",
        "insert_class": "any",
        "position": "any",
        "diameter_from_mm": 30.0,
        "diameter_to_mm": 40.0,
        "minimum_mm": 0.10,
        "maximum_mm": 0.15,
        "form": "band",
        "retention": "none",
        "seat_in": "head",
        "head_known": "rule",
        "work": "repair",
        "seen": "common-practice",
        "basis": "stands",
    }
    return {**usual, **cells}


@pytest.mark.parametrize("step", CAR_SIZES)
def test_five_to_six_thou_in_an_alloy_head_is_recommended(step: int) -> None:
    """Common practice: 0.005 to 0.006 in on a car-size ring in an alloy head."""
    rings = {row["insert_class"] for row in recommended().values()}
    rows = [row for row in recommended().values() if row["head_class"] == "aluminium"]
    here = [r for r in rows if r["part"] == "seat-insert" and r["diameter_from_mm"] == step - 0.5]
    assert {row["insert_class"] for row in here} == rings - {"cobalt-base"}
    for row in here:
        assert row["minimum_mm"] <= 0.005 * 25.4 + TINY, row
        assert row["maximum_mm"] >= 0.006 * 25.4 - TINY, row


@pytest.mark.parametrize("step", range(20, 66))
def test_iron_gets_less_than_aluminium(step: int) -> None:
    """Common practice: 0.002 per mm in iron against 0.003 in aluminium."""
    iron, alloy = at("grey-iron", step), at("aluminium", step)
    assert iron["minimum_mm"] < alloy["minimum_mm"]
    assert iron["maximum_mm"] <= alloy["maximum_mm"]


def test_a_guide_gets_less_in_iron_than_in_aluminium() -> None:
    """Common practice: 0.001 to 0.002 in against 0.0015 to 0.0025 in."""
    found = recommended()
    iron = found["recommended.valve-guide.grey-iron.any.any.12"]
    alloy = found["recommended.valve-guide.aluminium.any.any.12"]
    assert (iron["minimum_mm"], iron["maximum_mm"]) == pytest.approx((0.0254, 0.0508))
    assert (alloy["minimum_mm"], alloy["maximum_mm"]) == pytest.approx((0.0381, 0.0635))


def test_the_per_mm_rule_reads_0_114_at_38() -> None:
    """Common practice: 0.003 per mm is one figure at one size, not a span from 20 to 60 mm."""
    only = [row for row in gathered() if row["form"] == "per-mm"]
    band = made(minimum_mm=0.2, maximum_mm=0.21)
    rows = [*(r for r in only if r["head_class"] == "aluminium"), band]
    found = {row["id"]: row for row in recommend(rows)}
    assert found["recommended.seat-insert.aluminium.any.any.38"]["minimum_mm"] == 0.114


def test_every_range_lies_within_the_span_of_the_rows_it_names() -> None:
    rows = {row["id"]: row for row in gathered()}
    for row in recommended().values():
        middle = (row["diameter_from_mm"] + row["diameter_to_mm"]) / 2
        named = [rows[each] for each in row["sources"].split(";")]
        scale = [middle if each["form"] == "per-mm" else 1.0 for each in named]
        lows = [each["minimum_mm"] * by for each, by in zip(named, scale, strict=True)]
        highs = [each["maximum_mm"] * by for each, by in zip(named, scale, strict=True)]
        assert min(lows) - TINY <= row["minimum_mm"] < row["maximum_mm"] <= max(highs) + TINY, row


def test_no_range_rests_on_rows_that_may_not_decide() -> None:
    rows = {row["id"]: row for row in gathered()}
    for row in recommended().values():
        named = [rows[each] for each in row["sources"].split(";")]
        assert all(each["basis"] == "stands" for each in named)
        assert all(each["work"] == "repair" and each["seat_in"] == "head" for each in named)
        assert all(each["retention"] == row["retention"] for each in named)
        assert any(each["head_known"] != "assumed" for each in named)
        assert not any(each["seen"] == "memory" for each in named)


def test_a_brittle_ring_in_iron_stays_at_its_own_upper_end() -> None:
    """Common practice: a cobalt ring in iron takes the lower half of the iron range."""
    cobalt = at("grey-iron", 40, "cobalt-base", "exhaust")
    assert cobalt["maximum_mm"] == 0.1
    assert at("grey-iron", 40)["maximum_mm"] > 0.1


@pytest.mark.parametrize(
    "cells",
    [
        {"head_known": "assumed"},
        {"basis": "outlier"},
        {"basis": "example"},
        {"basis": "unverified"},
        {"work": "production"},
        {"seat_in": "block"},
        {"diameter_from_mm": None, "diameter_to_mm": None},
    ],
    ids=lambda cells: "-".join(map(str, cells.values())),
)
def test_a_row_that_may_not_decide_decides_nothing(cells: Row) -> None:
    assert recommend([made()])
    assert recommend([made(**cells)]) == []
    wide = made(**{"id": "range.made.2", "minimum_mm": 0.01, "maximum_mm": 0.5, **cells})
    if cells.get("head_known") != "assumed":
        assert recommend([made(), wide]) == recommend([made()])


def test_an_assumed_head_has_half_a_say() -> None:
    wide = made(id="range.made.2", minimum_mm=0.06, maximum_mm=0.25, head_known="assumed")
    found = {row["id"]: row for row in recommend([made(), wide])}
    row = found["recommended.seat-insert.aluminium.any.any.35"]
    assert (row["minimum_mm"], row["maximum_mm"]) == pytest.approx((0.08, 0.20))


def test_a_peened_row_does_not_enter_an_unpeened_range() -> None:
    peened = made(id="range.made.2", minimum_mm=0.01, retention="peened-or-staked")
    unpeened = [row for row in recommend([made(), peened]) if row["retention"] == "none"]
    assert unpeened == recommend([made()])


def test_memory_counts_only_where_nothing_better_does() -> None:
    recalled = made(id="range.made.2", minimum_mm=0.01, maximum_mm=0.5, seen="memory")
    assert recommend([recalled])
    assert recommend([made(), recalled]) == recommend([made()])


def test_nothing_is_carried_far() -> None:
    """A band from 30 to 40 mm speaks up to a third above and an eighth below."""
    steps = [int(row["id"].rsplit(".", 1)[1]) for row in recommend([made()])]
    assert (min(steps), max(steps)) == (27, 53)


def test_the_order_of_rows_does_not_matter() -> None:
    assert recommend(list(reversed(gathered()))) == recommend(gathered())


BANDS = st.builds(
    lambda number, start, span, low, width: made(
        id=f"range.made.{number}",
        diameter_from_mm=start,
        diameter_to_mm=start + span,
        minimum_mm=low,
        maximum_mm=low + width,
    ),
    st.integers(1, 99),
    st.floats(20, 60),
    st.floats(0, 30),
    st.floats(0.02, 0.2),
    st.floats(0, 0.1),
)


@given(st.lists(BANDS, min_size=1, max_size=5, unique_by=lambda row: row["id"]))
def test_made_up_bands_stay_within_their_span_and_do_not_overlap(bands: list[Row]) -> None:
    found = recommend(bands)
    by_id = {row["id"]: row for row in bands}
    for row in found:
        named = [by_id[each] for each in row["sources"].split(";")]
        assert min(each["minimum_mm"] for each in named) - TINY <= row["minimum_mm"]
        assert row["minimum_mm"] <= row["maximum_mm"]
        assert row["maximum_mm"] <= max(each["maximum_mm"] for each in named) + TINY
    ordered = sorted(found, key=lambda row: (row["position"], row["diameter_from_mm"]))
    for lower, upper in itertools.pairwise(ordered):
        if lower["position"] == upper["position"]:
            assert lower["diameter_to_mm"] <= upper["diameter_from_mm"]
