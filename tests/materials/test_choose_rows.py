"""The rule of choice, on rows made up here."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb.build.choose_rows import choose
from specdb.records.rows import SEEN_ORDER


def row(value: float, half: float | None, **more: Any) -> dict[str, Any]:
    return {
        "id": f"property.x.{value}.{half}",
        "value_house": value,
        "uncertainty_house": half,
        "seen": "excerpt",
        "basis": "stands",
        **more,
    }


def test_the_mean_is_weighted_by_one_over_the_square() -> None:
    chosen = choose([row(10.0, 1.0), row(13.0, 2.0)])
    assert chosen is not None
    assert chosen.value == pytest.approx((10.0 * 4 + 13.0) / 5)


def test_the_band_reaches_every_row_and_the_best_uncertainty() -> None:
    chosen = choose([row(10.0, 1.0), row(13.0, 2.0)])
    assert chosen is not None
    assert (chosen.low, chosen.high) == pytest.approx((9.6, 13.0))
    agreeing = choose([row(10.0, 0.5), row(10.0, 0.5, id="b"), row(10.0, 0.5, id="c")])
    assert agreeing is not None
    assert (agreeing.low, agreeing.high) == (9.5, 10.5)


def test_only_the_best_seen_count() -> None:
    rows = [
        row(10.0 + k, 1.0, seen=seen, id=f"property.{seen}") for k, seen in enumerate(SEEN_ORDER)
    ]
    for k, seen in enumerate(SEEN_ORDER):
        chosen = choose(rows[k:])
        assert chosen is not None
        assert chosen.rows == (f"property.{seen}",)


def test_the_order_is_that_of_the_design() -> None:
    assert SEEN_ORDER == ("text", "excerpt", "secondary", "derived", "common-practice", "memory")


@pytest.mark.parametrize("basis", ["proxy", "outlier", "example", "unverified", "superseded"])
def test_rows_that_do_not_stand_never_count(basis: str) -> None:
    better = row(99.0, 0.1, basis=basis, seen="text")
    chosen = choose([better, row(10.0, 1.0, seen="memory")])
    assert chosen is not None
    assert chosen.value == 10.0
    assert choose([better]) is None


def test_no_rows_no_figure() -> None:
    assert choose([]) is None


def test_missing_uncertainty_takes_the_largest_of_the_others() -> None:
    chosen = choose([row(10.0, 1.0), row(12.0, None), row(14.0, 2.0)])
    assert chosen is not None
    assert chosen.value == pytest.approx((10.0 + 12.0 / 4 + 14.0 / 4) / 1.5)
    alone = choose([row(20.0, None)])
    assert alone is not None
    assert (alone.low, alone.high) == pytest.approx((19.0, 21.0))


FIGURES = st.lists(st.tuples(st.floats(1.0, 100.0), st.floats(0.01, 10.0)), min_size=1, max_size=8)


@given(FIGURES, st.randoms(use_true_random=False))
def test_order_does_not_matter_and_the_band_holds_the_rows(
    figures: list[tuple[float, float]], random: Any
) -> None:
    rows = [row(value, half, id=f"property.{k}") for k, (value, half) in enumerate(figures)]
    chosen = choose(rows)
    random.shuffle(rows)
    assert choose(rows) == chosen
    assert chosen is not None
    values = [value for value, _ in figures]
    assert min(values) - 1e-9 <= chosen.value <= max(values) + 1e-9
    assert chosen.low <= min(values)
    assert max(values) <= chosen.high
    assert chosen.high - chosen.low >= 2.0 * min(half for _, half in figures) - 1e-9
