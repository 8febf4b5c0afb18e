"""Our curves against published fits, published contraction figures and pure elements.

Expected figures: `tests/outside/expansion.yaml`, typed from their sources. The fits are evaluated
here by their printed formula, not by the build's reader.
"""

from __future__ import annotations

import importlib.util
import os
from pathlib import Path
from typing import Any

import pytest
import yaml

from specdb.database import Database

OUTSIDE = yaml.safe_load(
    (Path(__file__).parents[1] / "outside" / "expansion.yaml").read_text(encoding="utf-8")
)
ZERO_K = 273.15


def micro(db: Database, material: str, at: float | str) -> tuple[float, float, float]:
    """Strain from 20 degC with its band, 1e-6."""
    strain = db.material(material).expansion_strain(at)
    return strain.value * 1e6, strain.low * 1e6, strain.high * 1e6


def printed(fit: dict[str, Any], kelvin: float) -> float:
    """The strain from 293 K a fit prints, 1e-6."""
    if kelvin < fit["t_low"]:
        return 10.0 * fit["f"]
    return 10.0 * sum(fit[name] * kelvin**power for power, name in enumerate("abcde"))


@pytest.mark.parametrize("fit", OUTSIDE["fits"], ids=lambda f: f"published-{f['material']}")
def test_published_fits_over_their_whole_range(db: Database, fit: dict[str, Any]) -> None:
    """Published (source of each fit): from 4 K to its end our curve is the fit, to a tenth of its
    stated error, or 5e-6 where that is less (one fit has a corner, a smooth curve has none)."""
    reaches_room = fit["to_k"] >= ZERO_K + 20.0
    zero = printed(fit, ZERO_K + 20.0) if reaches_room else 0.0
    kelvins = [4.0 + k * (fit["to_k"] - 4.0) / 150.0 for k in range(151)]
    for kelvin in kelvins:
        expected = printed(fit, kelvin) - zero
        ours, low, high = micro(db, fit["material"], f"{kelvin:.6f} K")
        allowed = max(0.1 * fit["error_percent"] / 100.0 * abs(expected), 5.0)
        assert abs(ours - expected) <= allowed, kelvin
        assert low - 5.0 <= expected <= high + 5.0


@pytest.mark.parametrize("row", OUTSIDE["contraction"], ids=lambda r: f"published-{r['material']}")
def test_published_contraction(db: Database, row: dict[str, Any]) -> None:
    """Published (source of each row): contraction from 20 degC in freezer, dry ice, nitrogen."""
    for at, expected in row["at"].items():
        assert micro(db, row["material"], float(at))[0] == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize(
    "row", OUTSIDE["estimated_contraction"], ids=lambda r: f"published-{r['material']}"
)
def test_estimates_of_others_agree_within_their_margin(db: Database, row: dict[str, Any]) -> None:
    """Published as estimates (source of each row): classes nobody has measured cold. Our figure is
    within their margin and their figure within our band."""
    for at, expected in row["at"].items():
        ours, low, high = micro(db, row["material"], float(at))
        assert abs(ours - expected) <= row["margin_percent"] / 100.0 * abs(expected)
        assert low <= expected <= high


@pytest.mark.parametrize("row", OUTSIDE["contraction"], ids=lambda r: f"published-{r['material']}")
def test_a_constant_coefficient_over_predicts_in_nitrogen(
    db: Database, row: dict[str, Any]
) -> None:
    """Published: by a quarter to a third."""
    wrong = -row["constant"] * (195.8 + 20.0)
    excess = 100.0 * (wrong / micro(db, row["material"], -195.8)[0] - 1.0)
    assert excess == pytest.approx(row["excess"], abs=1.0)
    assert 24.0 <= excess <= 34.0


ONLY_OVERLAP = {
    ("cu-be-c17200", 100): "its cold fit is steeper at 20 degC than its handbook mean to 100",
    ("cu-be-c17510", 100): "one row, 20-200; spread like C17200",
    ("white-iron-ni-cr", 100): "the judgement is one for two irons; this one's rows lie lower",
}
"""Where the judgement and the rows differ: there only the bands must overlap."""


@pytest.mark.parametrize(
    ("key", "row"),
    [(key, row) for row in OUTSIDE["recommended"] for key in row["keys"]],
    ids=lambda each: each if isinstance(each, str) else each["support"].replace(" ", "-"),
)
def test_recommended_means(db: Database, key: str, row: dict[str, Any]) -> None:
    """Published judgement (support in the test's name): our mean lies inside it."""
    for end, mean, half in zip((100, 200, 300), row["mean"], row["half"], strict=True):
        ours = db.material(key).mean_expansion(20.0, float(end)).scaled(1e6, "1e-6/K")
        assert ours.low <= mean + half, end
        assert mean - half <= ours.high, end
        if (key, end) not in ONLY_OVERLAP:
            assert abs(ours.value - mean) <= half, end


HEAVY = importlib.util.find_spec("pymatgen") is not None
CI = os.environ.get("CI") == "true"
LIKE = {
    "Al": ("al-6061-t6", 1.5),
    "Fe": ("steel-carbon-low-alloy", 1.0),
    "Cu": ("copper-pure", 0.5),
    "Ni": ("nickel-n07718", 1.5),
}
"""Element -> the nearest material held, and how far an alloy may lie from it, 1e-6/K."""


@pytest.mark.skipif(not HEAVY and not CI, reason="pymatgen-core is not installed here")
@pytest.mark.parametrize("symbol", LIKE)
def test_pure_elements(db: Database, symbol: str) -> None:
    """Published (the library's own table of elements): expansion at room temperature, 1e-6/K."""
    from pymatgen.core import Element

    material, scatter = LIKE[symbol]
    expected = float(Element(symbol).coefficient_of_linear_thermal_expansion) * 1e6
    ours = db.material(material).value("instantaneous_linear_expansion", 20.0).value
    assert abs(ours - expected) <= scatter, (ours, expected)
