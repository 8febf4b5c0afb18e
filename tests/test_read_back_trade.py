"""Cells of the trade's tables read back by eye against the reference they were carried from.

Each case was looked up by hand (`where` says in which row), not copied from `data/`. A case must
match exactly one row.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

DATA = Path(__file__).parents[1] / "data"
RANGES, INSERT, GUIDE, SEAT = (
    "interference_ranges",
    "insert_dimensions",
    "guide_dimensions",
    "seat_geometry",
)
Cells = dict[str, str]

CARRIED: list[tuple[str, Cells, Cells, str]] = [
    # table, which row, what its cells say, where in the reference
    (
        RANGES,
        {"source": "tm-5-6115-400-35", "position": "exhaust", "diameter_from": "1.6075"},
        {"minimum": "0.002", "maximum": "0.0035", "unit": "in", "head_known": "assumed"},
        "interference_ranges: table 2.1, standard size, exhaust",
    ),
    (
        RANGES,
        {"source": "tm-5-1185"},
        {"minimum": "0.0035", "form": "single", "seat_in": "block", "head_known": "assumed"},
        "interference_ranges: para 177 (6), side-valve engine",
    ),
    (
        RANGES,
        {"source": "radial-engine-loose-seat-report-1960s"},
        {"minimum": "0.005", "maximum": "0.007", "head_known": "stated", "seen": "secondary"},
        "interference_ranges: nearly 3 in seat, aluminium stated",
    ),
    (
        RANGES,
        {"form": "per-mm", "head_class": "aluminium"},
        {"minimum": "0.003", "maximum": "0.003", "unit": "mm", "diameter_to": "60"},
        "interference_ranges: per mm 0.003, 20 to 60 mm",
    ),
    (
        RANGES,
        {"source": "common-practice", "printed": "0.002-0.004 in when fitted new in production"},
        {"work": "production", "basis": "stands"},
        "interference_ranges: new castings, repairers use more",
    ),
    (
        RANGES,
        {"source": "tm-5-4310-276-14"},
        {"basis": "outlier", "minimum": "0.003", "maximum": "0.005"},
        "interference_ranges: insert smaller than its valve as printed",
    ),
    (
        RANGES,
        {"insert_class": "bronze", "seen": "text"},
        {"minimum": "0.008", "unit": "in", "diameter_from": "2", "head_known": "assumed"},
        "interference_ranges: 1933, hole 0.008 in under a ring of about 2 in",
    ),
    (
        RANGES,
        {"part": "cylinder-sleeve", "source": "tm-5-6115-545-34"},
        {"minimum": "-0.0045", "maximum": "-0.0005", "unit": "in"},
        "interference_ranges: wet sleeve, clearance as negative",
    ),
    (
        INSERT,
        {"feature": "counterbore-depth", "position": "intake", "source": "tm-9-6115-604-34"},
        {"minimum": "0.512", "maximum": "0.517", "unit": "in", "printed": "0.512 to 0.517 in"},
        "insert_dimensions: first row",
    ),
    (
        INSERT,
        {"feature": "wall", "source": "common-practice"},
        {"minimum": "3", "maximum": "5", "unit": "mm"},
        "insert_dimensions: radial wall thickness, car sizes",
    ),
    (
        INSERT,
        {"feature": "wall-thickness-effect"},
        {"minimum": "", "unit": "", "source": "us-4505988"},
        "insert_dimensions: wall thickness, qualitative",
    ),
    (
        GUIDE,
        {"feature": "outer-diameter", "source": "tm-9-6115-604-34"},
        {"minimum": "0.8456", "maximum": "0.8461", "unit": "in"},
        "guides_and_sleeves: first row",
    ),
    (
        GUIDE,
        {"feature": "least-insertion-pressure-as-printed"},
        {"basis": "outlier", "minimum": "220", "unit": "in lbf"},
        "guides_and_sleeves: 220 with a torque unit",
    ),
    (
        SEAT,
        {"feature": "seat-width", "source": "tm-5-3895-346-14"},
        {"printed": "3/64 to 5/64 in", "minimum": "0.046875", "maximum": "0.078125"},
        "seat_geometry: seat width, p. 99",
    ),
    (
        SEAT,
        {"feature": "seat-width", "valve_to": "30"},
        {"minimum": "0.8", "maximum": "1.2", "seen": "common-practice"},
        "seat_geometry: small valves under 30 mm",
    ),
    (
        SEAT,
        {"feature": "deck-stock-total", "source": "tm-10-3930-653-14p"},
        {"basis": "outlier", "maximum": "2"},
        "seat_geometry: 2.0 mm off the deck, do not use",
    ),
]

LIMITS: list[tuple[str, str, Cells]] = [  # common practice: rules of the trade, no source
    (INSERT, "as-found-ovality", {"maximum": "0.025", "unit": "mm"}),
    (INSERT, "as-found-taper", {"maximum": "0.013", "unit": "mm"}),
    (INSERT, "least-clean-cut", {"minimum": "0.05", "unit": "mm"}),
    (INSERT, "bridge-warn-aluminium", {"minimum": "2", "unit": "mm"}),
    (INSERT, "bridge-refuse-aluminium", {"minimum": "1", "unit": "mm"}),
    (INSERT, "hardness-warn-welded-head", {"minimum": "70", "unit": "HB"}),
    (INSERT, "removal-wall-least", {"minimum": "0.1", "unit": "mm"}),
    (INSERT, "removal-wall-default", {"minimum": "0.4", "unit": "mm"}),
    (INSERT, "light-press-share", {"printed": "a third", "unit": "1"}),
    (SEAT, "vacuum-pull", {"minimum": "20", "maximum": "25", "unit": "inHg"}),
]


@cache
def table(name: str) -> list[Cells]:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def only(name: str, which: Cells) -> Cells:
    found = [row for row in table(name) if which.items() <= row.items()]
    assert len(found) == 1, f"{which} is {len(found)} rows of {name}"
    return found[0]


@pytest.mark.parametrize(("name", "which", "cells", "where"), CARRIED, ids=[c[3] for c in CARRIED])
def test_cells_are_as_the_reference_prints_them(
    name: str, which: Cells, cells: Cells, where: str
) -> None:
    row = only(name, which)
    assert {column: row[column] for column in cells} == cells, where


@pytest.mark.parametrize(("name", "feature", "cells"), LIMITS, ids=[c[1] for c in LIMITS])
def test_limits_of_the_trade_are_common_practice(name: str, feature: str, cells: Cells) -> None:
    row = only(name, {"feature": feature})
    assert {column: row[column] for column in cells} == cells
    assert (row["source"], row["seen"]) == ("common-practice", "common-practice")


@pytest.mark.parametrize("name", [INSERT, GUIDE, SEAT])
def test_a_printed_inch_figure_is_the_cell(name: str) -> None:
    """What is held in inches was printed in inches; no cell hides a conversion."""
    inches = [row for row in table(name) if row["unit"] == "in"]
    assert len(inches) > 20
    for row in inches:
        assert row["printed"].endswith(("in", "minimum")), row["id"]


def test_every_choice_of_duty_fuel_and_position_has_one_that_serves() -> None:
    rows = [row for row in table("choices") if not row["valve_material"]]
    for duty, fuel in {(r["duty"], r["fuel"]) for r in rows if r["duty"] != "any"}:
        for position in ("intake", "exhaust"):
            said = {
                (row["insert_class"], row["verdict"])
                for row in rows
                if row["duty"] in (duty, "any")
                and row["fuel"] in (fuel, "any")
                and row["position"] in (position, "any")
                and not row["head_class"]
            }
            against = {ring for ring, verdict in said if verdict in ("avoid", "never")}
            assert {ring for ring, _ in said} - against, (duty, fuel, position)


@pytest.mark.parametrize("ring", ["high-chrome", "sintered-tool-steel", "cobalt-base"])
def test_hard_rings_never_go_with_titanium(ring: str) -> None:  # common practice
    row = only("choices", {"insert_class": ring, "valve_material": "titanium"})
    assert row["verdict"] == "never"


@pytest.mark.parametrize("fuel", ["gas", "hydrogen", "alcohol"])
def test_infiltrated_rings_never_run_on_dry_fuel(fuel: str) -> None:
    row = only("choices", {"insert_class": "sintered-copper-infiltrated", "fuel": fuel})
    assert row["verdict"] == "never"
    published = row["source"] == "seat-materials-for-cng-engines-paper-2021"
    assert published == (fuel == "gas")
