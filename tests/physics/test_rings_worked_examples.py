"""The two-ring formulas against figures printed in books; see the head of the file of examples.

Every case is marked `published` and carries its source key in its id.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
import yaml

from specdb.physics import limits, rings

pytestmark = pytest.mark.published

BOOK = yaml.safe_load(
    (Path(__file__).parents[1] / "outside" / "fit_worked_examples.yaml").read_text("utf-8")
)
MPA = {"psi": 0.006894757293168, "MPa": 1.0}


def cases(group: str) -> Any:
    rows = BOOK[group]
    return pytest.mark.parametrize(
        "row", rows, ids=[f"{row['source']}:{row['id']}" for row in rows]
    )


def matches(computed: float, printed: dict[str, Any]) -> bool:
    """Whether `computed` is what is printed, to half a unit of its last significant figure."""
    value = float(printed["text"])
    if "within" in printed:
        return abs(computed - value) <= printed["within"] * abs(value)
    last = 10.0 ** (math.floor(math.log10(abs(value))) + 1 - printed["figures"])
    return abs(computed - value) <= 0.5000001 * last


def plane_strain(modulus: float, poisson: float) -> tuple[float, float]:
    """The constants that turn the formulas of plane stress into those of plane strain."""
    return modulus / (1.0 - poisson * poisson), poisson / (1.0 - poisson)


def joint(row: dict[str, Any]) -> rings.PressFit[float]:
    given, unit = row["given"], MPA[row["stress_unit"]]
    ring = (given["ring_modulus"] * unit, given["ring_poisson"])
    hub = (given["hub_modulus"] * unit, given["hub_poisson"])
    if row.get("plane_strain"):
        ring, hub = plane_strain(*ring), plane_strain(*hub)
    return rings.press_fit(
        joint_mm=given["joint"],
        interference_mm=given["interference"],
        ring_bore_mm=given["ring_bore"],
        hub_outer_mm=given["hub_outer"],
        ring_modulus_mpa=ring[0],
        ring_poisson=ring[1],
        hub_modulus_mpa=hub[0],
        hub_poisson=hub[1],
    )


@cases("press_fits")
def test_pressure_and_stresses(row: dict[str, Any]) -> None:
    result, unit = joint(row), MPA[row["stress_unit"]]
    for quantity, printed in row["printed"].items():
        computed = getattr(result, f"{quantity}_mpa") / unit
        assert matches(computed, printed), (quantity, computed, printed)


def test_the_long_cylinder_tells_plane_stress_from_plane_strain() -> None:
    [row] = [row for row in BOOK["press_fits"] if row.get("plane_strain")]
    assert not matches(
        joint({**row, "plane_strain": False}).pressure_mpa, row["printed"]["pressure"]
    )


@cases("from_hoop_limit")
def test_interference_from_a_hoop_limit(row: dict[str, Any]) -> None:
    given = row["given"]
    # The pressure at which the hub's bore is at the limit is the "cracking" pressure for it.
    pressure = rings.cracking_pressure_hub(given["hoop_limit"], given["joint"], given["hub_outer"])
    compliance = rings.joint_compliance(
        given["joint"],
        given["ring_bore"],
        given["hub_outer"],
        given["modulus"],
        0.3,
        given["modulus"],
        0.3,
    )
    interference = rings.interference_for_pressure(pressure, given["joint"], compliance)
    assert matches(given["joint"] - interference, row["printed"]["hub_bore"])


@cases("by_heating")
def test_rise_of_temperature_for_assembly(row: dict[str, Any]) -> None:
    given, rise = row["given"], float(row["printed"]["rise_k"]["text"])
    strain = given["hub_expansion"] * rise
    bore = given["joint"]
    left = rings.interference_at(bore + given["interference"], bore, 0.0, strain)
    # Half a unit of the last figure of the temperature, in mm of clearance.
    assert abs(left + given["clearance"]) <= 0.005 * given["hub_expansion"] * given["joint"]


@cases("limits")
def test_interference_of_two_classes(row: dict[str, Any]) -> None:
    hole, shaft = (limits.Limits(*row["given"][part]) for part in ("hole", "shaft"))
    least, most = limits.fit_interference(hole, shaft)
    share = 0.5 if row.get("radial") else 1.0
    assert most * share == pytest.approx(float(row["printed"]["interference_max"]), abs=1e-9)
    assert least * share == pytest.approx(float(row["printed"]["interference_min"]), abs=1e-9)


@cases("classes")
def test_limits_of_size_from_table_rows(row: dict[str, Any]) -> None:
    given = row["given"]
    grades = [limits.GradeRow(g, 1.2, 2.0, given[g]) for g in ("IT6", "IT7")]
    deviations = [
        limits.DeviationRow("hole", "H", "all", 1.2, 2.0, 0.0),
        limits.DeviationRow("shaft", "s", "all", 1.2, 2.0, given["s"]),
    ]
    hole = limits.hole_limits("H7", given["basic"], grades, deviations)
    shaft = limits.shaft_limits("s6", given["basic"], grades, deviations)
    printed = {name: float(text) for name, text in row["printed"].items()}
    assert given["basic"] + hole.upper_mm == pytest.approx(printed["hole_max"], abs=1e-9)
    assert given["basic"] + shaft.lower_mm == pytest.approx(printed["shaft_min"], abs=1e-9)
    assert given["basic"] + shaft.upper_mm == pytest.approx(printed["shaft_max"], abs=1e-9)


STEEL, POISSON = 206843.0, {"steel": 1.0 / 3.0, "iron": 0.25}


def shrinkage_factor(metal: str, ratio: float, hollow: float | None) -> float:
    """C as the tables define it, from the pressure a joint of ours has: what the ring gives way
    over what the hub gives way, at one modulus."""
    bore = 0.0 if hollow is None else 250.0 / hollow
    fit = rings.press_fit(
        joint_mm=250.0,
        interference_mm=0.25,
        ring_bore_mm=bore,
        hub_outer_mm=250.0 * ratio,
        ring_modulus_mpa=STEEL,
        ring_poisson=POISSON["steel"],
        hub_modulus_mpa=STEEL,
        hub_poisson=POISSON[metal],
    )
    hub_strain = (fit.hub_hoop_joint_mpa + POISSON[metal] * fit.pressure_mpa) / STEEL
    return (0.25 / 250.0 - hub_strain) / hub_strain


@pytest.mark.parametrize(("metal", "ratio", "hollow", "printed"), BOOK["shrinkage_factors"]["rows"])
def test_shrinkage_factor_table(
    metal: str, ratio: float, hollow: float | None, printed: str
) -> None:
    computed = shrinkage_factor(metal, ratio, hollow)
    assert abs(computed - float(printed)) <= BOOK["shrinkage_factors"]["within"]


def test_shrinkage_factor_table_on_the_whole() -> None:
    rows = BOOK["shrinkage_factors"]["rows"]
    errors = [abs(shrinkage_factor(*row[:3]) - float(row[3])) for row in rows]
    assert len(rows) == 140
    assert sum(error <= 0.00101 for error in errors) >= 135


@cases("shrinkage_examples")
def test_shrinkage_examples(row: dict[str, Any]) -> None:
    factor = shrinkage_factor("steel", row["ratio"], row["hollow"])
    assert factor == pytest.approx(float(row["C"]), abs=0.0006)
    if "stress" in row:
        # The metric form of the handbook gives millimetres per INCH: a trap, 25.4 times too much.
        per_mm = row["stress"] * (1.0 + factor) / row["modulus"]
        assert round(per_mm * 25.4, 3) == float(row["allowance_mm_per_inch"])
