"""Which recommended row holds at a diameter, over plain rows."""

from __future__ import annotations

from typing import Any

import pytest

from specdb.answers.recommended import Case, at, closest, segments


def row(
    name: str, low: float | None, high: float | None, least: float, most: float, **more: str
) -> dict[str, Any]:
    return {
        "id": name,
        "insert_class": "any",
        "position": "any",
        "retention": "none",
        "seat_in": "head",
        "diameter_from_mm": low,
        "diameter_to_mm": high,
        "minimum_mm": least,
        "maximum_mm": most,
        "rule": name,
        "sources": f"{name}.a;{name}.b",
        **more,
    }


CASE = Case(("cobalt-base", "cobalt-alloy", "any"), "exhaust")


def test_where_two_rows_meet_the_upper_takes_over() -> None:
    found = segments([row("low", 20, 30, 0.1, 0.2), row("high", 30, 40, 0.2, 0.3)], CASE)
    names = [at(found, diameter).rule for diameter in (20.0, 29.999, 30.0, 40.0)]  # type: ignore[union-attr]
    assert names == ["low", "low", "high", "high"]
    assert at(found, 19.99) is None
    assert at(found, 40.01) is None


def test_a_gap_is_a_gap() -> None:
    found = segments([row("low", 20, 25, 0.1, 0.2), row("high", 30, 40, 0.2, 0.3)], CASE)
    assert at(found, 27.0) is None
    assert at(found, 25.0) is not None
    near = closest(found, 26.0)
    assert near is not None
    assert near.rule == "low"


def test_the_closest_class_then_the_very_position_wins() -> None:
    rows = [
        row("any", 20, 60, 0.10, 0.20),
        row("here", 20, 60, 0.11, 0.20, position="exhaust"),
        row("wide", 30, 40, 0.12, 0.20, insert_class="cobalt-alloy"),
        row("own", 35, 36, 0.13, 0.20, insert_class="cobalt-base"),
        row("other", 20, 60, 0.01, 0.02, insert_class="bronze"),
        row("elsewhere", 20, 60, 0.01, 0.02, position="intake"),
        row("peened", 20, 60, 0.01, 0.02, retention="peened-or-staked"),
        row("block", 20, 60, 0.01, 0.02, seat_in="block"),
    ]
    found = segments(rows, CASE)
    held = {diameter: at(found, diameter) for diameter in (25.0, 33.0, 35.5, 50.0)}
    assert {d: each.rule for d, each in held.items() if each} == {
        25.0: "here",
        33.0: "wide",
        35.5: "own",
        50.0: "here",
    }
    assert held[25.0] is not None
    assert held[25.0].sources == ("here.a", "here.b")


def test_an_open_end_goes_on() -> None:
    found = segments([row("open", None, None, 0.1, 0.2)], CASE)
    assert at(found, 1.0) is not None
    assert at(found, 900.0) is not None


@pytest.mark.parametrize("retention", ["peened", "staked"])
def test_peened_and_staked_read_their_own_rows(retention: str) -> None:
    rows = [row("plain", 20, 60, 0.1, 0.2)]
    rows.append(row("kept", 20, 60, 0.05, 0.1, retention="peened-or-staked"))
    found = segments(rows, Case(("any",), "exhaust", retention))
    assert [each.rule for each in found] == ["kept"]
