"""The generic series: every size its rules make, and nothing else."""

from __future__ import annotations

import csv
import itertools
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb.build.series import expand_guides, expand_inserts
from specdb.records import rows as models

DATA = Path(__file__).parents[2] / "data"
Row = dict[str, Any]


def series(table: str) -> list[Row]:
    with (DATA / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


INSERTS = expand_inserts(series("insert_series"))
GUIDES = expand_guides(series("guide_series"))


def made(**cells: str) -> Row:
    usual = {
        "id": "insert-series.metric.made",
        "system": "metric",
        "outer_from": "30",
        "outer_to": "32",
        "outer_step": "1",
        "walls": "3;3.5",
        "heights": "6",
        "oversizes": "0;0.25",
        "outer_minus": "0.01",
        "outer_plus": "0.02",
        "unit": "mm",
    }
    return {**usual, **cells}


def test_a_rule_makes_every_combination() -> None:
    found = expand_inserts([made()])
    assert {(s["outer_mm"], s["inner_mm"], s["height_mm"]) for s in found} == {
        (nominal + over, nominal - 2 * wall, 6.0)
        for nominal in (30.0, 31.0, 32.0)
        for wall in (3.0, 3.5)
        for over in (0.0, 0.25)
    }
    assert len(found) == 12


def test_an_oversize_is_on_the_outside_alone() -> None:
    size = next(s for s in expand_inserts([made()]) if s["id"].endswith(".30x3x6.over-0.25"))
    assert (size["outer_mm"], size["nominal_mm"], size["inner_mm"]) == (30.25, 30.0, 24.0)
    assert (size["wall_mm"], size["oversize_mm"]) == (3.125, 0.25)
    assert (size["outer_minus_mm"], size["outer_plus_mm"]) == (0.01, 0.02)


def test_an_inch_is_25_4_mm_exactly() -> None:
    """Published: the inch by definition. 1 1/2 in, wall 1/8, height 1/4, 0.010 over."""
    inch = made(
        system="inch",
        unit="in",
        outer_from="1.5",
        outer_to="1.5",
        walls="0.125",
        heights="0.25",
        oversizes="0.01",
    )
    (size,) = expand_inserts([inch])
    assert (size["outer_mm"], size["inner_mm"], size["height_mm"]) == (38.354, 31.75, 6.35)


@pytest.mark.parametrize(
    "cells", [{"outer_to": "29"}, {"outer_step": "0"}, {"walls": "15"}], ids=str
)
def test_a_rule_that_cannot_be_is_refused(cells: Row) -> None:
    with pytest.raises(ValueError, match="made"):
        expand_inserts([made(**cells)])


def test_rings_cover_20_to_65_mm_with_walls_from_2_mm() -> None:
    outers = sorted({size["outer_mm"] for size in INSERTS})
    assert outers[0] == 20.0
    assert outers[-1] >= 65.0
    assert max(b - a for a, b in itertools.pairwise(outers)) <= 0.5
    assert min(size["wall_mm"] for size in INSERTS) == 2.0
    assert 2000 < len(INSERTS) < 9000


def test_every_size_can_be_made() -> None:
    for size in [*INSERTS, *GUIDES]:
        assert 0 < size["inner_mm"] < size["nominal_mm"] <= size["outer_mm"]
        assert size["wall_mm"] == pytest.approx((size["outer_mm"] - size["inner_mm"]) / 2)
        assert size["outer_mm"] == pytest.approx(size["nominal_mm"] + size["oversize_mm"])
        assert models.ID.fullmatch(size["id"]), size["id"]
    assert len({size["id"] for size in [*INSERTS, *GUIDES]}) == len(INSERTS) + len(GUIDES)


def test_the_outside_band_is_the_published_one() -> None:
    """Published (tm-5-3810-295-34, tm-9-6115-604-34): outside 0.001 in from least to greatest."""
    for size in INSERTS:
        band = size["outer_minus_mm"] + size["outer_plus_mm"]
        assert band == pytest.approx(0.001 * 25.4, abs=0.0005)


@pytest.mark.parametrize("table", ["insert_series", "guide_series"])
def test_a_series_names_the_rows_it_was_laid_out_after(table: str) -> None:
    facts = {row["id"] for row in series("insert_dimensions") + series("guide_dimensions")}
    for row in series(table):
        named = row["note"].rsplit("; after ", 1)[1].split(", ")
        assert set(named) <= facts
        assert (row["source"], row["seen"]) == ("derived-generic-series", "derived")


@given(
    st.integers(200, 600), st.integers(0, 40), st.sampled_from(["0.5", "1", "0.25", "0.1", "0.3"])
)
def test_steps_stay_exact(tenths: int, count: int, step: str) -> None:
    """Neither the last size is lost nor one too many made to rounding."""
    start = tenths / 10
    end = start + count * float(step)
    found = expand_inserts(
        [made(outer_from=f"{start:.1f}", outer_to=f"{end:.2f}", outer_step=step, oversizes="0")]
    )
    assert len({size["outer_mm"] for size in found}) == count + 1
    assert max(size["outer_mm"] for size in found) == pytest.approx(end)
