"""How a curve is drawn, on rows made up here."""

from __future__ import annotations

from typing import Any

import pytest

from specdb.build.curves import CURVE_NODES, PROPERTY_NODES, USUAL_VALUES, CurveTables, curves
from specdb.build.expand import Expanded, expand, live_in
from specdb.build.read import read_tables
from specdb.store import assets

Row = dict[str, Any]
PROPERTIES = {
    "mean_linear_expansion": "1e-6/K",
    "expansion_strain": "1e-6",
    "instantaneous_linear_expansion": "1e-6/K",
    "youngs_modulus": "GPa",
    "proof_strength": "MPa",
}


def row(material: str, name: str, at: float | None, value: float, half: float, **more: Any) -> Row:
    given = {
        "id": f"property.{material}.{name}.{at}.{value}",
        "material": material,
        "property": name,
        "temperature_c": at,
        "temperature_from_c": 20.0,
        "value_house": value,
        "uncertainty_house": half,
        "condition": "typical",
        "source": "a",
        "seen": "text",
        "basis": "stands",
    }
    return {**given, **more}


def mean(material: str, end: float, value: float, half: float = 0.3, **more: Any) -> Row:
    return row(material, "mean_linear_expansion", end, value, half, **more)


def proxy(material: str, name: str, stands_in: str, extra: str = "5") -> Row:
    return {
        "id": f"proxy.{material}.{name}",
        "material": material,
        "property": name,
        "stands_in": stands_in,
        "extra_percent": extra,
        "basis": "stands",
    }


def made(*rows: Row, proxies: tuple[Row, ...] = ()) -> CurveTables:
    names = {each["material"] for each in (*rows, *proxies)}
    return curves(
        {
            "vocabulary": [
                {"list": "property", "word": word, "unit": unit}
                for word, unit in PROPERTIES.items()
            ],
            "materials": [{"key": name} for name in names],
            "material_properties": list(rows),
            "expansion_fits": [],
            "proxies": list(proxies),
        }
    )


def nodes(tables: CurveTables, material: str) -> dict[float, Row]:
    return {
        node["temperature_c"]: node for node in tables.curve_nodes if node["material"] == material
    }


def test_a_mean_is_met() -> None:
    found = nodes(made(mean("m", 200.0, 12.0)), "m")
    assert found[20.0]["strain"] == 0.0
    assert found[200.0]["strain"] == pytest.approx(12e-6 * 180.0, rel=1e-3)
    assert found[200.0]["high"] - found[200.0]["strain"] == pytest.approx(0.3e-6 * 180.0, rel=0.02)
    assert max(found) == 200.0
    assert min(found) == 20.0


def test_means_strains_and_slopes_make_one_curve() -> None:
    rows = [
        mean("m", 100.0, 11.0),
        row("m", "expansion_strain", 300.0, 12.0 * 280.0, 30.0),
        row("m", "instantaneous_linear_expansion", 20.0, 10.5, 0.3),
    ]
    found = nodes(made(*rows), "m")
    assert found[100.0]["strain"] / 80e-6 == pytest.approx(11.0, abs=0.1)
    assert found[300.0]["strain"] / 280e-6 == pytest.approx(12.0, abs=0.1)
    assert found[20.0]["slope"] == pytest.approx(10.5e-6, abs=0.2e-6)


def test_rows_that_do_not_reach_room_temperature_stay_off() -> None:
    rows = [mean("m", 200.0, 12.0), mean("m", 900.0, 17.0, temperature_from_c=400.0)]
    assert max(nodes(made(*rows), "m")) == 200.0
    assert not made(mean("n", 900.0, 17.0, temperature_from_c=400.0)).curve_nodes


def test_an_odd_figure_widens_the_band_and_makes_no_wiggle() -> None:
    rows = [mean("m", 100.0, 12.5), mean("m", 200.0, 11.5), mean("m", 300.0, 12.5)]
    found = nodes(made(*rows), "m")
    half = (found[200.0]["high"] - found[200.0]["strain"]) / 180e-6
    assert half >= abs(found[200.0]["strain"] / 180e-6 - 11.5) - 1e-6
    slopes = [node["slope"] for _, node in sorted(found.items())]
    assert max(slopes) < 1.5 * min(slopes)


def cold(name: str, *, scale: float = 1.0) -> list[Row]:
    strains = {-50.0: -1000.0, -100.0: -1600.0, -150.0: -2100.0, -196.0: -2400.0}
    return [
        row(name, "expansion_strain", at, scale * strain, 20.0) for at, strain in strains.items()
    ]


def test_a_stand_in_is_scaled_to_meet_and_flagged() -> None:
    rows = [*cold("s"), mean("s", 100.0, 20.0), mean("m", 100.0, 10.0)]
    tables = made(*rows, proxies=(proxy("m", "expansion-below", "s"),))
    m, s = nodes(tables, "m"), nodes(tables, "s")
    assert m[-196.0]["strain"] / s[-196.0]["strain"] == pytest.approx(0.5, abs=0.03)
    assert m[-196.0]["origin"] == "proxy"
    assert m[100.0]["origin"] == "own"
    assert "proxy.m.expansion-below" in m[-196.0]["sources"].split(";")

    def share(node: Row) -> float:
        return (node["high"] - node["strain"]) / abs(node["strain"])

    assert share(m[-196.0]) > 0.05 > share(s[-196.0])
    assert share(m[-196.0]) == pytest.approx(
        (0.05**2 + 0.03**2 + share(s[-196.0]) ** 2) ** 0.5, rel=0.1
    )


def test_two_may_stand_in_for_each_other_on_two_sides_but_not_on_one() -> None:
    rows = [*cold("s"), mean("s", 100.0, 20.0), mean("m", 300.0, 11.0)]
    crossed = (proxy("m", "expansion-below", "s"), proxy("s", "expansion-above", "m"))
    tables = made(*rows, proxies=crossed)
    assert max(nodes(tables, "s")) == 300.0
    assert min(nodes(tables, "m")) == -196.0
    circle = (proxy("m", "expansion-below", "s"), proxy("s", "expansion-below", "m"))
    with pytest.raises(ValueError, match="circle"):
        made(*rows, proxies=circle)


def test_a_material_without_a_curve_borrows_all_of_it() -> None:
    rows = [*cold("s"), mean("s", 200.0, 20.0)]
    both = (proxy("m", "expansion-below", "s"), proxy("m", "expansion-above", "s"))
    tables = made(*rows, proxies=both)
    m, s = nodes(tables, "m"), nodes(tables, "s")
    assert m[200.0]["strain"] == pytest.approx(s[200.0]["strain"])
    assert {node["origin"] for node in m.values()} == {"proxy"}
    assert m[200.0]["high"] > s[200.0]["high"]


def test_rows_of_neighbours_extend_and_never_mix() -> None:
    own = [mean("m", 100.0, 20.0)]
    beside = [mean("m", end, 25.0, basis="proxy") for end in (100.0, 300.0)]
    alone, extended = nodes(made(*own), "m"), nodes(made(*own, *beside), "m")
    assert extended[100.0] == alone[100.0]
    assert extended[300.0]["origin"] == "proxy"
    only = nodes(made(*beside), "m")
    assert {node["origin"] for node in only.values()} == {"proxy"}


@pytest.mark.parametrize("basis", ["outlier", "example", "unverified", "superseded"])
def test_doubtful_rows_change_nothing(basis: str) -> None:
    doubtful = [mean("m", 100.0, 30.0, basis=basis, half=0.1), mean("m", 500.0, 30.0, basis=basis)]
    assert made(mean("m", 100.0, 20.0), *doubtful) == made(mean("m", 100.0, 20.0))


def test_strength_is_not_borrowed_even_when_declared() -> None:
    rows = [row("s", "proof_strength", 20.0, 300.0, 10.0), mean("m", 100.0, 20.0)]
    tables = made(*rows, proxies=(proxy("m", "proof_strength", "s"),))
    assert {node["material"] for node in tables.property_nodes} == {"s"}


def test_modulus_with_temperature_is_scaled_to_the_own_value() -> None:
    rows = [
        row("s", "youngs_modulus", 20.0, 200.0, 4.0),
        row("s", "youngs_modulus", 200.0, 190.0, 4.0),
        row("m", "youngs_modulus", 22.0, 100.0, 2.0),
    ]
    tables = made(*rows, proxies=(proxy("m", "youngs_modulus-with-temperature", "s"),))
    hot = [n for n in tables.property_nodes if n["material"] == "m" and n["temperature_c"] == 200.0]
    assert hot[0]["value"] == pytest.approx(95.0)
    assert hot[0]["origin"] == "proxy"
    assert hot[0]["high"] - hot[0]["value"] > 0.05 * 95.0


@pytest.fixture(scope="module")
def expanded() -> Expanded:
    tables, bad = read_tables(assets.data())
    found, wrong = expand(tables)
    assert not bad
    assert not wrong
    return live_in(found, 1)


def test_the_same_rows_in_any_order_give_the_same_tables(expanded: Expanded) -> None:
    backwards = {table: rows[::-1] for table, rows in expanded.items()}
    assert curves(expanded) == curves(backwards)


def test_columns_are_as_declared(expanded: Expanded) -> None:
    found = curves(expanded)
    for rows, columns in zip(found, (CURVE_NODES, PROPERTY_NODES, USUAL_VALUES), strict=True):
        for each in rows:
            assert list(each) == list(columns)
            for name, kind in columns.items():
                empty = name == "temperature_from_c" and each[name] is None
                assert empty or isinstance(each[name], kind)


def hot_strength(state: str, *conditions: tuple[str, float]) -> dict[float, float]:
    rows = [
        row("m", "proof_strength", at, 100.0 + k, 5.0, condition=condition)
        for k, (condition, at) in enumerate(conditions)
    ]
    tables = made(row("m", "proof_strength", 20.0, 300.0, 10.0), *rows)
    return {n["temperature_c"]: n["value"] for n in tables.property_nodes if n["state"] == state}


SOAKED, QUICK = "after conditioning at test temperature", "unconditioned, tested at temperature"


def test_strength_of_a_running_head_and_of_a_short_heating() -> None:
    both = ((SOAKED, 250.0), (QUICK, 250.0), (QUICK, 180.0))
    assert hot_strength("running", *both) == {20.0: 300.0, 250.0: 100.0}
    assert hot_strength("short", *both) == {20.0: 300.0, 250.0: 101.0, 180.0: 102.0}
    assert hot_strength("running", (QUICK, 250.0), (QUICK, 180.0)) == {20.0: 300.0, 180.0: 101.0}
    assert hot_strength("short", (SOAKED, 250.0)) == {20.0: 300.0, 250.0: 100.0}
    limit = ("upper limit of the family", 250.0)
    assert hot_strength("running", limit) == {20.0: 300.0}
