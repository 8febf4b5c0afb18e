"""Every material a joint can be made of answers what a joint asks."""

from __future__ import annotations

import csv
import itertools
from typing import Any

import pytest

from specdb.database import Database
from specdb.store import assets
from specdb.store.asof import Reader
from specdb.store.query import materials as rows


def listed(table: str) -> list[dict[str, str]]:
    with (assets.data() / f"{table}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


JOINED = [r["key"] for r in listed("materials") if r["family"] in ("head", "insert", "guide")]
ALL = [r["key"] for r in listed("materials")]
CLASSES = [r["key"] for r in listed("insert_classes")]


def test_there_are_materials_to_ask() -> None:
    assert len(JOINED) > 40
    assert len(CLASSES) == 10


@pytest.mark.parametrize("key", [*JOINED, *CLASSES])
def test_what_fit_and_shrink_ask(db: Database, key: str) -> None:
    m = db.material(key)
    for at in (-196.0, -195.8, -78.5, -18.0, 0.0, 100.0, 150.0, 200.0):
        strain = m.expansion_strain(at)
        assert strain.low < strain.value < strain.high or at == 20.0
        assert (strain.value > 0) == (at > 20.0)
        assert 40.0 < m.value("specific_heat", at).value < 1500.0
    for at in (20.0, 100.0, 150.0, 200.0):
        assert 30.0 < m.value("youngs_modulus", at).value < 250.0
        assert 0.2 < m.value("poissons_ratio", at).value < 0.4
        assert 2500.0 < m.value("density", at).value < 9500.0
    assert 5.0 < m.value("thermal_conductivity").value < 450.0


@pytest.mark.parametrize("key", ALL)
def test_curves_rise_inside_their_bands(reader: Reader, key: str) -> None:
    nodes = rows.curve(reader, key)
    for before, after in itertools.pairwise(nodes):
        assert before["temperature_c"] < after["temperature_c"]
        assert before["strain"] < after["strain"]
    for node in nodes:
        assert node["low"] <= node["strain"] <= node["high"]
        assert node["slope"] > 0


@pytest.mark.parametrize("key", ALL)
def test_no_wiggles(reader: Reader, key: str) -> None:
    """Above room temperature the slope of no material swings by more than 2 % within 20 K unless
    it goes on the same way: it turns at most twice."""
    slopes = [n["slope"] for n in rows.curve(reader, key) if n["temperature_c"] >= 20.0]
    steps = [b - a for a, b in itertools.pairwise(slopes) if abs(b - a) > 0.002 * a]
    turns = sum((a > 0) != (b > 0) for a, b in itertools.pairwise(steps))
    assert turns <= 2


def facts(reader: Reader) -> dict[str, dict[str, Any]]:
    return {row["id"]: row for row in reader.all("SELECT id, basis FROM facts ORDER BY id")}


@pytest.mark.parametrize("table", ["curve_nodes", "property_nodes", "usual_values"])
def test_own_figures_stand_on_standing_rows(reader: Reader, table: str) -> None:
    """No average uses a row marked proxy, outlier, example, unverified or superseded; what is
    borrowed may name a proxy, never the rest."""
    held = facts(reader)
    seen = 0
    read = f"SELECT origin, sources FROM {table} WHERE as_of = :ordinal ORDER BY origin, sources"
    for row in reader.all(read):
        allowed = {"stands", "proxy"} if row["origin"] == "proxy" else {"stands"}
        for each in row["sources"].split(";"):
            seen += 1
            assert held[each]["basis"] in allowed, each
    assert seen > 500


def test_borrowing_is_said_and_wider(db: Database) -> None:
    m = db.material("al-si7mg-t6")
    assert m.origin("expansion_strain", 100.0) == "own"
    assert m.origin("expansion_strain", -196.0) == "proxy"
    assert any("al-6061-t6" in row for row in m.expansion_strain(-196.0).sources)
    assert not any("al-6061-t6" in row for row in m.expansion_strain(100.0).sources)

    def share(material: str) -> float:
        strain = db.material(material).expansion_strain(-196.0)
        return (strain.high - strain.low) / abs(strain.value)

    assert share("al-si7mg-t6") > share("al-6061-t6")
    named = m.expansion_strain(-196.0).sources
    assert "proxy.al-si7mg-t6.expansion-below" in named
    assert any(each.startswith("fit.al-6061-t6") for each in named)


STRENGTHS = ("proof_strength", "tensile_strength", "compressive_yield")


def test_strength_is_never_borrowed(reader: Reader) -> None:
    for row in reader.all(
        "SELECT material, property, origin, sources FROM property_nodes WHERE as_of = :ordinal"
    ):
        if row["property"] in STRENGTHS:
            assert row["origin"] in ("own", "minimum")
            assert all(f".{row['material']}." in each for each in row["sources"].split(";"))
