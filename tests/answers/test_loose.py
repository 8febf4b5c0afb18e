"""Loose: every line is a row's, every row on the subject has its line, every figure a limit's."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest

from specdb.answers.loose import LIMITS, STEPS
from specdb.database import Database
from specdb.errors import Misuse

DATA = Path(__file__).parents[2] / "data"
ABOUT = ["loose-ring", "counterbore", "welded-head"]


def table(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row.get("basis") == "stands"]


@pytest.mark.parametrize("about", ABOUT)
def test_the_lines_are_the_rows_of_the_table_and_none_is_missing(db: Database, about: Any) -> None:
    found = db.loose(about=about)
    rows = {
        row["id"]: row["statement"]
        for row in table("insert_dimensions")
        if row["feature"] in STEPS[about] and row["statement"]
    }
    said = {step.sources[0]: step.text for step in (*found.steps, *found.never)}
    assert said == rows
    assert set(STEPS[about]) <= {row["feature"] for row in table("insert_dimensions")}
    assert all(row in found.facts for row in rows)


@pytest.mark.parametrize("about", ABOUT)
def test_the_limits_are_the_cells_of_the_table(db: Database, about: Any) -> None:
    cells = {
        row["id"]: {row["minimum"], row["maximum"]}
        for row in table("insert_dimensions")
        if row["feature"] in LIMITS
    }
    found = db.loose(about=about)
    assert found.checks
    for check in found.checks:
        assert f"{check.limit:g}" in cells[check.sources[0]], check.what


CAUTIONS = [  # caution, its figure, the row of the same limit
    ("welded-head-soft", "70", "insert.hardness-warn-welded-head.any.1"),
    ("tip-not-through", "0.25", "seat.tip-grinding.any.1"),
    ("square-and-home", "0.03", "insert.feeler-under-ring.any.1"),
    ("water-jacket-unseen", "0.5", "insert.oversize-before-jacket-check.any.1"),
    ("aged-head-ceiling", "150", "insert.oven-ceiling-age-hardened.any.1"),
    ("aged-head-ceiling", "180", "insert.oven-flagged-age-hardened.any.1"),
    ("aged-head-ceiling", "200", "insert.oven-never-age-hardened.any.1"),
]


@pytest.mark.parametrize(("key", "figure", "row"), CAUTIONS)
def test_a_figure_in_a_caution_is_the_limit_of_its_row(key: str, figure: str, row: str) -> None:
    (caution,) = [each for each in table("cautions") if each["key"] == key]
    (limit,) = [
        each
        for name in ("insert_dimensions", "seat_geometry")
        for each in table(name)
        if each["id"] == row
    ]
    assert figure in re.findall(r"\d+(?:\.\d+)?", caution["text"])
    assert float(figure) in {float(limit[end]) for end in ("minimum", "maximum") if limit[end]}


def test_what_never_to_do_is_apart(db: Database) -> None:
    never = [step.text for step in db.loose(about="loose-ring").never]
    assert any("knurl, punch or glue" in text for text in never)
    assert any("used counterbore" in text for text in never)


@pytest.mark.parametrize(
    ("ring", "bore", "words"),
    [  # common practice: a smaller ring has yielded, a bigger counterbore tells of the head
        (38.12, 38.00, ["has yielded"]),
        (38.16, 38.04, ["head has yielded"]),
        (38.12, 38.04, ["smaller than new has yielded", "head has yielded"]),
        (38.157, 38.003, []),  # within the error of reading
    ],
)
def test_the_readings_say_which_part_gave(
    db: Database, ring: float, bore: float, words: list[str]
) -> None:
    found = db.loose(ring_new=38.16, ring=ring, bore_new=38.00, bore=bore)
    assert len(found.found) == len(words)
    for step, expected in zip(found.found, words, strict=True):
        assert expected in step.text
        assert expected in found.why
    assert found.verdict == "stop"
    assert found.why.startswith("an oversize ring")


def test_a_loose_ring_in_a_soft_head_gets_an_oversize_ring_and_both_causes(db: Database) -> None:
    """common practice: never refit; under 70 HB the casting is soft."""
    found = db.loose(ring_new=38.16, ring=38.12, hardness_hb=60)
    for words in (
        "an oversize ring",
        "smaller than new has yielded",
        "hardness",
        "60, wanted 70 HB, at least",
    ):
        assert words in found.why


GOOD: dict[str, Any] = {
    "bore": [38.01, 38.02],
    "bore_bottom": 38.01,
    "floor_flatness": 0.02,
    "corner_radius": 0.3,
    "hardness_hb": 90,
}


@pytest.mark.parametrize(
    ("change", "verdict"),
    [  # common practice: ovality 0.025, taper 0.013, floor 0.025, radius 0.4, 70 HB
        ({}, "go on"),
        ({"bore": [38.00, 38.03]}, "stop"),
        ({"bore_bottom": 38.035}, "stop"),
        ({"floor_flatness": 0.03}, "stop"),
        ({"corner_radius": 0.5}, "stop"),
        ({"corner_radius": 0.5, "chamfer": 0.6}, "go on"),
        ({"corner_radius": 0.3, "chamfer": 0.3}, "stop"),
        ({"hardness_hb": 69}, "stop"),
        ({"hardness_hb": 69, "head": "grey-iron"}, "go on"),
        ({"hardness_hb": None}, "measure first"),
        ({"bore_bottom": ()}, "measure first"),
    ],
)
def test_the_gate_before_a_counterbore_is_used(
    db: Database, change: dict[str, Any], verdict: str
) -> None:
    asked = {name: value for name, value in {**GOOD, **change}.items() if value is not None}
    assert db.loose(about="counterbore", **asked).verdict == verdict


@pytest.mark.parametrize(("hardness", "verdict"), [(69, "stop"), (70, "go on"), (95, "go on")])
def test_a_soft_head_stops_the_work_common_practice(
    db: Database, hardness: float, verdict: str
) -> None:
    assert db.loose(about="welded-head", hardness_hb=hardness).verdict == verdict
    assert db.loose(about="welded-head").verdict == "measure first"


def test_an_unknown_subject_is_refused(db: Database) -> None:
    with pytest.raises(Misuse) as refused:
        db.loose(about="guide")
    assert refused.value.field == "about"


def test_what_is_missing_to_find_the_cause_is_named(db: Database) -> None:
    said = db.loose(ring_new=38.16, ring=38.10, bore=38.02).unknown["found"]
    assert "(bore_new)" in said
    assert not any(f"({told})" in said for told in ("ring_new", "ring", "bore"))
    assert "(ring_new)" in db.loose().unknown["found"]
