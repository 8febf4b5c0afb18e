"""The head round a ring as `fit` takes it: pocket, thin metal on one side, metal below.

`derived` marks figures of the project's theory notes, from an earlier finite-element model of
their own; they are independent of the table.
"""

from __future__ import annotations

from typing import Any

import pytest

from specdb.database import Database
from specdb.errors import BadRequest, NotKnown
from specdb.physics import pocket
from specdb.records.fit import FitResult

# High-chrome: its strength is not known, so nothing but the elastic figures is in play.
JOINT: dict[str, Any] = {
    "insert_diameter": "38.14 mm",
    "bore": "38 mm",
    "insert_inner": "31 mm",
    "height": "8 mm",
    "head": "al-si7mg-t6",
    "insert": "steel-carbon-low-alloy",
}


def fit(db: Database, **changed: Any) -> FitResult:
    return db.fit(**{**JOINT, **changed})


def share(found: FitResult) -> float:
    return found.pressure_mpa.value / found.pressure_formula_mpa.value


def test_a_flush_ring_in_a_deep_head_derived(db: Database) -> None:
    """Ring 38/31, 8 high, 76 of head, 32 below: 1.280; squeeze 660, 564 and 464 against 435."""
    found = fit(db, hub_outer="76 mm", metal_below="32 mm")
    assert found.pocket_factor is not None
    assert found.squeeze_bottom_mpa is not None
    assert found.squeeze_top_mpa is not None
    assert found.pocket_factor.value == pytest.approx(1.280, rel=0.01)
    assert share(found) == pytest.approx(found.pocket_factor.value)
    middle = found.insert_hoop_bore_mpa.value
    # The ends of the ring are where the table is least sure.
    assert found.squeeze_bottom_mpa.value / middle == pytest.approx(660 / 564, rel=0.05)
    assert found.squeeze_top_mpa.value / middle == pytest.approx(464 / 564, rel=0.05)
    assert any("conically" in text for text in found.remarks)


def test_the_error_of_the_table_is_in_the_bands(db: Database) -> None:
    """A fifth of the formula's squeeze at the ring's ends, a twentieth of its stretch: what
    `tests/physics/test_pocket.py` finds at shapes left out of the table."""
    found = fit(db, hub_outer="76 mm", metal_below="32 mm")
    pressure, q, hub = found.pressure_formula_mpa.value, 31 / 38, 38 / 76
    squeeze = 2 * pressure / (1 - q * q)
    stretch = pressure * (1 + hub * hub) / (1 - hub * hub)
    for end in (found.squeeze_bottom_mpa, found.squeeze_top_mpa):
        assert end is not None
        assert end.value - end.low > pocket.EDGE_ERROR * squeeze
        assert end.high - end.value > pocket.EDGE_ERROR * squeeze
        assert end.high <= 0.0
    head = found.head_hoop_bore_mpa
    assert head.high - head.value > pocket.STRETCH_ERROR * stretch
    assert head.value - head.low > pocket.STRETCH_ERROR * stretch


@pytest.mark.parametrize(
    ("told", "thickness", "kept"),
    [("edge", 1.9, 0.737), ("edge", 3.8, 0.811), ("edge", 9.5, 0.913), ("bridge", 3.8, 0.981)],
)
def test_a_floor_that_carries_part_of_a_bridge_is_in_the_band_derived(
    db: Database, told: str, thickness: float, kept: float
) -> None:
    """`derived`: what is kept of the mean pressure beside thin metal, in three dimensions, of a
    steel ring 38/31, 8 high, with 40 below (`scripts/solid_model.py`)."""
    thick = fit(db, metal_below="40 mm").pressure_mpa.value
    thin = fit(db, metal_below="40 mm", **{told: thickness}).pressure_mpa
    assert thin.low < kept * thick < thin.high
    assert thin.value <= kept * thick, "the value is on the low side, for the grip"


def test_the_metal_below_decides_and_its_lack_is_in_the_band(db: Database) -> None:
    untold = fit(db, hub_outer="76 mm")
    factors = {}
    for below in (8, 16, 64):
        found = fit(db, hub_outer="76 mm", metal_below=below).pocket_factor
        assert found is not None
        factors[below] = found
    assert factors[8].value < factors[16].value < factors[64].value
    assert untold.pocket_factor is not None
    assert untold.pocket_factor.low == pytest.approx(factors[8].low)
    assert any("metal_below" in text for text in untold.assumed)
    assert not any("metal_below" in text for text in fit(db, metal_below=16).assumed)


def test_outside_the_table_it_is_the_plain_formula_and_says_so(db: Database) -> None:
    found = fit(db, height="25 mm")
    assert found.pocket_factor is None
    assert found.pressure_mpa.value == pytest.approx(found.pressure_formula_mpa.value)
    assert "height" in found.unknown["pocket_factor"]
    assert "two-ring formula" in found.unknown["pocket_factor"]


def test_every_corner_it_was_read_from_can_be_opened(db: Database) -> None:
    found = fit(db, bridge="3 mm")
    assert found.pocket_factor is not None
    rows = found.pocket_factor.sources
    assert len(rows) == len(set(rows)) >= 2
    for row in (*rows, *found.bridges[0].mean_pressure_factor.sources):
        assert found.facts[row].seen == "derived"
    assert any(row.startswith("pocket-factor.") for row in found.pressure_mpa.sources)
    assert not any(row.startswith("pocket-factor.") for row in found.pressure_formula_mpa.sources)


def test_a_straight_edge_costs_pressure_derived(db: Database) -> None:
    """Mean pressure beside an edge of 8 and 19 mm over that of thick metal: 69.3 and 79.9 in a
    plate where thick metal has 88.2 (89.1 less what the plate's own end costs)."""
    for edge, mean in ((8, 69.3), (19, 79.9)):
        (found,) = fit(db, edge=edge).bridges
        assert found.kind == "edge"
        assert found.mean_pressure_factor.value == pytest.approx(mean / 88.2, rel=0.015)
        assert found.pressure_mpa.value < mean / 88.2 * fit(db).pressure_mpa.value


def test_bridge_and_edge_both_count(db: Database) -> None:
    alone, both = fit(db), fit(db, bridge="2.5 mm", edge="5 mm")
    lost = 1.0
    for each in both.bridges:
        lost *= each.mean_pressure_factor.value
    assert [each.kind for each in both.bridges] == ["neighbour", "edge"]
    assert both.pressure_mpa.value == pytest.approx(alone.pressure_mpa.value * lost)
    assert both.press_force_n.value == pytest.approx(alone.press_force_n.value * lost)
    assert both.thin_metal is None


def test_limits_of_a_bridge_common_practice(db: Database) -> None:
    """`common practice`: under 2 mm in alloy warn, under 1 mm refuse unless made that thin."""

    def said(**asked: Any) -> str:
        return " ".join(fit(db, **asked).remarks)

    assert "common practice" not in said(bridge="2.5 mm")
    assert "under 2 mm is a warning (common practice)" in said(bridge="1.9 mm")
    thin = said(bridge="1.2 mm", edge="0.9 mm")
    assert "refused under 1 mm unless the head was made that thin (common practice)" in thin
    assert "table does not reach" in thin
    iron = fit(db, bridge="1.9 mm", head="grey-iron-gjl-250")
    assert "common practice" not in " ".join(iron.remarks)


def test_counterbores_that_overlap_have_no_pressure_common_practice(db: Database) -> None:
    with pytest.raises(NotKnown, match="in sequence"):
        fit(db, bridge="-0.5 mm")


def test_metal_all_round_and_metal_on_one_side_are_two_things(db: Database) -> None:
    for all_round in ({"hub_outer": "80 mm"}, {"thinnest_metal": "4 mm"}):
        with pytest.raises(BadRequest, match="one side"):
            fit(db, bridge="3 mm", **all_round)


def test_the_cap_of_a_soft_ring_stays_where_it_was(db: Database) -> None:
    """A ring that yields carries no more in a pocket: the ceiling is that of its wall."""
    soft = {"insert": "steel-16cr-2ni-martensitic", "insert_inner": "35.5"}
    capped = fit(db, **soft)
    assert capped.pressure_ceiling_mpa is not None
    assert capped.pressure_mpa.value == pytest.approx(capped.pressure_ceiling_mpa.value, rel=1e-3)
    plain = fit(db, **soft, height="25 mm")
    assert plain.pocket_factor is None
    assert plain.pressure_ceiling_mpa == capped.pressure_ceiling_mpa
    assert capped.insert_yield_press_mm is not None
    assert plain.insert_yield_press_mm is not None
    assert capped.insert_yield_press_mm.value < plain.insert_yield_press_mm.value


def test_a_bridge_past_its_strength_says_how_far_and_what_to_do(db: Database) -> None:
    """A round plate's stretch over the head's strength, and the row's own ratio, are one thing."""
    (found,) = fit(db, bridge="3 mm").bridges
    ratio = found.yield_ratio
    assert ratio is not None
    (said,) = [text for text in fit(db, bridge="3 mm").remarks if "metal at the bridge" in text]
    stretch = max(found.bore_stretch_mpa.value, found.far_stretch_mpa.value)
    assert f"stretch {stretch:.0f} MPa, {ratio.value:.2f} times its strength" in said
    assert "probably high" in said
    assert "low end of the press" in said
    assert ("leave more metal" in said) is (ratio.value > 1.5)
    iron = fit(db, bridge="2 mm", head="grey-iron-gjl-250").remarks
    assert any("may crack" in text and "leave more metal" in text for text in iron)
