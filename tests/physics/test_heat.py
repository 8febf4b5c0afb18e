"""The two clocks and the air, against figures worked out by others and elsewhere."""

from __future__ import annotations

import functools
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml
from CoolProp import CoolProp
from scipy.optimize import curve_fit

from specdb.errors import BadRequest, OutOfRange
from specdb.physics import air, heat
from specdb.physics.curves import Curve, Table
from tests.physics import warming

COLD = yaml.safe_load(
    (Path(__file__).parents[1] / "outside" / "cold_steel.yaml").read_text("utf-8")
)


def steel(warm: bool = True) -> Curve:
    points = {**COLD["strain"]["points"], **(COLD["warm_point"] if warm else {})}
    strain = [value * 1e-6 for value in points.values()]
    return Curve([kelvin - 273.15 for kelvin in points], strain, strain, strain, "steel")


@functools.cache
def iron() -> Table:
    """Specific heat of iron as the table of seconds took it: a Debye model through its points."""
    points = COLD["specific_heat"]["points"]

    def model(kelvin: Any, theta: float, electrons: float) -> Any:
        x = np.linspace(1e-6, 1.0, 400)[:, None] * theta / np.atleast_1d(kelvin)
        lattice = np.trapezoid(x**4 * np.exp(x) / np.expm1(x) ** 2, x, axis=0)
        share = (np.atleast_1d(kelvin) / theta) ** 3 * lattice
        return 9.0 * 8.314462 / 0.055845 * share + electrons * np.atleast_1d(kelvin)

    fitted, _ = curve_fit(model, list(points), list(points.values()), p0=[440.0, 0.1])
    kelvin = np.arange(70.0, 376.0, 5.0)
    assert np.allclose(model(list(points), *fitted), list(points.values()), atol=2.0)
    return Table(tuple(kelvin - 273.15), tuple(model(kelvin, *fitted)), "iron")


def ring(**change: Any) -> heat.Ring:
    cp = iron()
    sizes = {"outer_mm": 38.0, "inner_mm": 31.0, "height_mm": 8.0, "density_kg_m3": 7850.0}
    return heat.Ring(**{**sizes, "specific_heat": cp, "expansion": steel(), **change})


def test_the_ring_itself() -> None:
    # Worked out beside the table: 23.8 g, 2492.9 mm2.
    assert ring().mass_kg == pytest.approx(0.0238, abs=5e-5)
    assert ring().surface_mm2 == pytest.approx(2492.9, abs=0.05)


def in_air(row: dict[str, Any], column: list[float], **change: Any) -> float | None:
    h, emissivity, humidity = column
    given = {
        "start_c": row["start_c"],
        "until_strain": row["left"] * ring().expansion.strain(row["start_c"]),
        "air_c": 20.0,
        "coefficient_w_m2k": h,
        "emissivity": emissivity,
        "humidity": humidity,
        **change,
    }
    return heat.air_seconds(ring(), **given)


@pytest.mark.memory  # derived-warm-up-integrations: its coefficients are recalled
@pytest.mark.parametrize(
    "row", COLD["warm_up"]["rows"], ids=lambda r: f"{r['start_c']}:{r['left']}"
)
def test_seconds_in_air(row: dict[str, Any]) -> None:
    """Stepped in time there, an integral over temperature here; printed in whole seconds."""
    at = ring().expansion.temperature_at(row["left"] * ring().expansion.strain(row["start_c"]))
    assert at == pytest.approx(row["at_c"], abs=0.8)
    for column, seconds in zip(COLD["warm_up"]["columns"], row["seconds"], strict=True):
        computed = in_air(row, column)
        assert computed is not None
        assert abs(computed - seconds) <= 1.0 + 0.003 * seconds, (column, computed, seconds)


def in_bore(row: dict[str, Any], **change: Any) -> tuple[float, float | None]:
    """Clearance at entry and seconds for a row of the table of seizures."""
    hotter = COLD["seizure"]["head_expansion"] * (row["head_c"] - 20.0)
    bore = (38.0 - row["interference_mm"]) * (1.0 + hotter)
    clearance = bore - 38.0 * (1.0 + ring().expansion.strain(row["start_c"]))
    given = {
        "start_c": row["start_c"],
        "bore_mm": bore,
        "head_c": row["head_c"],
        "roughness_mm": 0.003,
        **change,
    }
    return clearance, heat.bore_seconds(ring(), **given)


@pytest.mark.memory  # derived-warm-up-integrations
@pytest.mark.parametrize(
    "row", COLD["seizure"]["rows"], ids=lambda r: f"{r['start_c']}:{r['head_c']}"
)
def test_seconds_in_the_bore(row: dict[str, Any]) -> None:
    clearance, seconds = in_bore(row)
    assert max(0.0, clearance) == pytest.approx(row["clearance_mm"], abs=0.0011)
    assert seconds is not None
    assert abs(seconds - row["seconds"]) <= 0.05 + 0.015 * row["seconds"]


def test_floor_contact_shortens_the_time_in_the_bore() -> None:
    for row in COLD["seizure"]["rows"]:
        free, touching = in_bore(row)[1], in_bore(row, floor_w_m2k=500.0)[1]
        assert free is not None
        assert touching is not None
        assert touching < free or free == 0.0


def test_half_the_step_changes_nothing_that_matters() -> None:
    for row in COLD["warm_up"]["rows"]:
        for column in COLD["warm_up"]["columns"]:
            coarse, fine = in_air(row, column), in_air(row, column, steps=2 * heat.STEPS)
            assert coarse == pytest.approx(fine, rel=1e-3)
    for row in COLD["seizure"]["rows"]:
        assert in_bore(row)[1] == pytest.approx(in_bore(row, steps=2 * heat.STEPS)[1], rel=1e-3)


def test_constant_properties_have_a_closed_form() -> None:
    """t = m c / (h A) ln of the differences, where nothing but convection is left."""
    cp = Table([-200.0, 100.0], [450.0, 450.0])
    part = ring(specific_heat=cp)
    until = part.expansion.strain(-68.0)
    seconds = heat.air_seconds(
        part, start_c=-195.8, until_strain=until, air_c=20.0, coefficient_w_m2k=10.0, emissivity=0.0
    )
    constant = part.mass_kg * 450.0 / (10.0 * part.surface_mm2 * 1e-6)
    assert seconds == pytest.approx(constant * math.log(215.8 / 88.0), rel=1e-6)
    # The same table prints 382 s for it (to -68.3 degC, where half of the contraction is left).
    assert seconds == pytest.approx(382.0, rel=0.01)


def body() -> warming.Body:
    part = ring()
    sizes = (part.outer_mm, part.inner_mm, part.height_mm, part.density_kg_m3)
    return warming.Body(*sizes, part.specific_heat.at, part.expansion.strain)


@pytest.mark.parametrize("row", COLD["seizure"]["rows"][::3], ids=lambda r: str(r["start_c"]))
@pytest.mark.parametrize("floor", [0.0, 500.0])
def test_a_solver_in_time_arrives_at_the_same_second(row: dict[str, Any], floor: float) -> None:
    bore = (38.0 - row["interference_mm"]) * (
        1.0 + COLD["seizure"]["head_expansion"] * (row["head_c"] - 20.0)
    )
    gain = warming.bore_gain(body(), bore, row["head_c"], air.conductivity_w_mk, floor)
    seconds = warming.lumped(body(), row["start_c"], bore, gain)
    assert in_bore(row, floor_w_m2k=floor)[1] == pytest.approx(seconds, rel=1e-3)


@pytest.mark.parametrize("humidity", [0.0, 0.5])
def test_a_solver_in_time_arrives_at_the_same_second_in_air(humidity: float) -> None:
    def frost(t: float) -> float:
        vapour = air.vapour_density_kg_m3(20.0, humidity) - air.vapour_density_kg_m3(t)
        carried = 25.0 / (air.heat_per_volume_j_m3k(20.0) * warming.LEWIS)
        return warming.LATENT * carried * max(0.0, vapour) if humidity else 0.0

    for row in COLD["warm_up"]["rows"]:
        size = 38.0 * (1.0 + row["left"] * ring().expansion.strain(row["start_c"]))
        gain = warming.air_gain(body(), 20.0, 25.0, 0.95, frost)
        seconds = warming.lumped(body(), row["start_c"], size, gain)
        assert in_air(row, [25.0, 0.95, humidity]) == pytest.approx(seconds, rel=1e-3)


@pytest.mark.parametrize("row", COLD["seizure"]["rows"][::3], ids=lambda r: str(r["start_c"]))
def test_conduction_through_the_wall_only_gives_more_time(row: dict[str, Any]) -> None:
    """The head warms the skin first, and a warm skin takes less heat: with steel of 30 W/(m K),
    a low figure, a few per cent more time than one temperature all through would leave."""
    bore = (38.0 - row["interference_mm"]) * (
        1.0 + COLD["seizure"]["head_expansion"] * (row["head_c"] - 20.0)
    )
    given = (row["start_c"], bore, row["head_c"], air.conductivity_w_mk)
    ours = in_bore(row)[1]
    assert ours is not None
    assert 1.0 < warming.through_the_wall(body(), *given, metal=30.0) / ours < 1.15
    one = warming.through_the_wall(body(), *given, metal=3e4)
    assert one == pytest.approx(ours, rel=2e-3)


def test_never_and_at_once() -> None:
    row, column = COLD["warm_up"]["rows"][0], [10, 0.3, 0]
    assert in_air(row, column, until_strain=0.001) is None  # the room is too cold
    at_room = ring().expansion.strain(20.0)
    assert in_air(row, column, until_strain=at_room) is None  # it gets there in endless time
    assert in_air(row, column, until_strain=-0.01) == 0.0
    assert in_air(row, column, until_strain=at_room - 1e-7) < 36000.0  # all but the whole way
    wide = {"interference_mm": -0.05, "start_c": -195.8, "head_c": 20.0}
    assert in_bore(wide)[1] is None
    assert in_bore({**wide, "interference_mm": 0.10})[1] == 0.0


def test_a_curve_that_ends_too_soon_says_so() -> None:
    short = ring(expansion=steel(warm=False))
    with pytest.raises(OutOfRange, match="known from"):
        heat.bore_seconds(short, start_c=-195.8, bore_mm=38.02, head_c=150.0, roughness_mm=0.003)


@pytest.mark.published  # fluid-property-library-8-0-0
def test_air_against_its_equation_of_state() -> None:

    for kelvin in range(120, 501, 10):
        reference = CoolProp.PropsSI("L", "T", kelvin, "P", 101325, "Air")
        assert air.conductivity_w_mk(kelvin - 273.15) == pytest.approx(reference, rel=0.0165)
    for celsius in (-40, 0, 20, 40):
        kelvin = celsius + 273.15
        density = CoolProp.PropsSI("D", "T", kelvin, "P", 101325, "Air")
        warmth = CoolProp.PropsSI("C", "T", kelvin, "P", 101325, "Air")
        assert air.heat_per_volume_j_m3k(celsius) == pytest.approx(density * warmth, rel=0.005)


@pytest.mark.published  # fluid-property-library-8-0-0
def test_moisture_against_a_reference_equation() -> None:

    for celsius in range(-60, 41, 5):
        reference = CoolProp.HAPropsSI("P_w", "T", celsius + 273.15, "P", 101325, "R", 1.0)
        assert air.vapour_pressure_pa(celsius) == pytest.approx(reference, rel=0.01)
    assert air.vapour_pressure_pa(-195.8) == pytest.approx(0.0, abs=1e-9)
    assert air.vapour_density_kg_m3(20.0, 0.5) == pytest.approx(0.00864, rel=0.01)


@pytest.mark.published  # fluid-property-library-8-0-0: 77.355 K at one atmosphere
def test_nitrogen_boils_where_the_table_of_media_says() -> None:
    import csv

    boiling = CoolProp.PropsSI("T", "P", 101325, "Q", 0, "Nitrogen") - 273.15
    path = Path(__file__).parents[2] / "data" / "media.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if "liquid-nitrogen" in row.values()]
    assert rows
    for row in rows:
        stated = [float(row[k]) for k in row if k in ("temperature", "value", "temperature_c")]
        assert stated
        assert stated[0] == pytest.approx(boiling, abs=0.2)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("coefficient_w_m2k", 0.0),
        ("coefficient_w_m2k", math.nan),
        ("emissivity", 1.5),
        ("humidity", -0.1),
        ("humidity", math.nan),
    ],
)
def test_impossible_surroundings_are_refused(name: str, value: float) -> None:
    with pytest.raises(BadRequest, match="Accepted"):
        in_air(COLD["warm_up"]["rows"][0], [10, 0.3, 0], **{name: value})


@pytest.mark.parametrize(
    "sizes",
    [{"inner_mm": 38.0}, {"outer_mm": math.nan}, {"height_mm": 0.0}, {"density_kg_m3": -1.0}],
)
def test_impossible_rings_are_refused(sizes: dict[str, float]) -> None:
    with pytest.raises(BadRequest, match="Accepted"):
        ring(**sizes)


# -- off centre, and the skin of the head


@pytest.mark.parametrize("off_centre", [0.0, 0.5, 0.9, 1.0])
def test_off_centre_the_film_is_the_mean_round_the_ring(off_centre: float) -> None:
    """The mean of 1 / (f - e cos a) over a turn, by adding up 100,000 places."""
    half, roughness = 0.02, 0.003
    angles = (math.tau * (k + 0.5) / 100_000 for k in range(100_000))
    mean = sum(1 / (half * (1 - off_centre * math.cos(a)) + roughness) for a in angles) / 100_000
    film = math.sqrt((half + roughness) ** 2 - (off_centre * half) ** 2)
    assert 1 / mean == pytest.approx(film, rel=1e-6)


def test_a_ring_that_touches_one_side_has_less_time() -> None:
    asked = {"start_c": -195.8, "bore_mm": 37.97, "head_c": 20.0, "roughness_mm": 0.003}
    middle, aside, touching = (
        heat.bore_seconds(ring(), **asked, off_centre=at) for at in (0.0, 0.7, 1.0)
    )
    assert middle is not None
    assert aside is not None
    assert touching is not None
    assert touching < aside < middle
    with pytest.raises(BadRequest, match="off_centre"):
        heat.bore_seconds(ring(), **asked, off_centre=1.1)


@pytest.mark.memory
def test_the_skin_of_a_half_space_under_a_constant_flux() -> None:
    """`memory`: 2 q sqrt(a t / pi) / k, of every textbook on conduction; against explicit steps
    of the equation itself, 100 kW/m2 for 3 s into aluminium (k 150, rho 2700, c 900)."""
    k, rho, c, flux, seconds = 150.0, 2700.0, 900.0, 1e5, 3.0
    step, time = 2e-4, 1e-4
    steps, cells = int(seconds / time), 600
    warm = np.zeros(cells)
    for _ in range(steps):
        flow = k * np.diff(warm) / step
        warm[0] += time * (flux + flow[0]) / (rho * c * step)
        warm[1:-1] += time * np.diff(flow) / (rho * c * step)
    surface = warm[0] + flux * step / 2 / k
    found = heat.skin_cooling_k(flux * seconds * 1e-3, 1e3, seconds, k, rho, c)
    assert found == pytest.approx(surface, rel=0.01)
