"""What must hold for any joint: scaling, linearity, limits, arrays like floats, refusals."""

from __future__ import annotations

import dataclasses
import math
import subprocess
import sys
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specdb.errors import BadRequest
from specdb.physics import rings

STRESSES = [field.name for field in dataclasses.fields(rings.PressFit)]

# Ring 38/31 in aluminium with a hub of twice the joint.
SEAT = {
    "joint_mm": 38.0,
    "interference_mm": 0.14,
    "ring_bore_mm": 31.0,
    "hub_outer_mm": 76.0,
    "ring_modulus_mpa": 205e3,
    "ring_poisson": 0.29,
    "hub_modulus_mpa": 72e3,
    "hub_poisson": 0.33,
}

shares = st.floats(0.0, 1.0 - 1e-9)
joints = st.fixed_dictionaries(
    {
        "joint_mm": st.floats(1.0, 500.0),
        "interference": st.floats(-0.01, 0.01),
        "ring_bore": st.one_of(st.just(0.0), shares),
        "joint_over_hub": st.one_of(st.just(0.0), shares),
        "ring_modulus_mpa": st.floats(5e4, 4e5),
        "ring_poisson": st.floats(0.1, 0.45),
        "hub_modulus_mpa": st.floats(5e4, 4e5),
        "hub_poisson": st.floats(0.1, 0.45),
    }
)


def built(shares: dict[str, float]) -> dict[str, float]:
    joint = dict(shares)
    d = joint["joint_mm"]
    joint["interference_mm"] = joint.pop("interference") * d
    joint["ring_bore_mm"] = joint.pop("ring_bore") * d
    share = joint.pop("joint_over_hub")
    outer = math.inf if share == 0.0 else d / share
    return {**joint, "hub_outer_mm": max(outer, math.nextafter(d, math.inf))}


def solve(joint: dict[str, Any], **change: Any) -> rings.PressFit[Any]:
    return rings.press_fit(**{**joint, **change})


@given(joints)
def test_every_stress_is_finite_and_has_its_sign(shares: dict[str, float]) -> None:
    fit = solve(built(shares))
    values = {name: getattr(fit, name) for name in STRESSES}
    assert all(type(value) is float and math.isfinite(value) for value in values.values())
    for name, value in values.items():
        compression = name.startswith("ring_hoop")
        assert value <= 0.0 if compression else value >= 0.0
        assert value != 0.0 or math.copysign(1.0, value) > 0.0, "minus zero"


@given(joints, st.floats(0.1, 1000.0))
def test_pressure_is_linear_in_the_press(shares: dict[str, float], factor: float) -> None:
    joint = built({**shares, "interference": abs(shares["interference"]) / 1000.0})
    once = solve(joint).pressure_mpa
    more = solve(joint, interference_mm=joint["interference_mm"] * factor).pressure_mpa
    assert more == pytest.approx(once * factor, rel=1e-12)


@given(joints, st.floats(0.01, 100.0))
def test_a_joint_twice_as_large_has_the_same_stresses(
    shares: dict[str, float], scale: float
) -> None:
    joint = built(shares)
    d = joint["joint_mm"]
    # Close to no wall at all the last bit of a diameter is a large part of the wall.
    thin = min(d - joint["ring_bore_mm"], joint["hub_outer_mm"] - d) / d
    larger = {k: v * scale if k.endswith("_mm") else v for k, v in joint.items()}
    for name in STRESSES:
        small, large = getattr(solve(joint), name), getattr(solve(larger), name)
        assert large == pytest.approx(small, rel=1e-14 / thin + 1e-12, abs=1e-300)


@given(joints)
def test_clearance_has_no_pressure(shares: dict[str, float]) -> None:
    joint = built(shares)
    joint["interference_mm"] = -abs(joint["interference_mm"])
    assert [getattr(solve(joint), name) for name in STRESSES] == [0.0] * len(STRESSES)


@given(joints)
def test_equilibrium_of_hoop_and_radial_stress(shares: dict[str, float]) -> None:
    """In each ring hoop plus radial stress is the same at both surfaces (theory of elasticity)."""
    fit = solve(built(shares))
    at_joint = fit.hub_hoop_joint_mpa - fit.pressure_mpa
    assert fit.hub_hoop_outer_mpa == pytest.approx(at_joint, rel=1e-9, abs=1e-9)
    at_joint = fit.ring_hoop_joint_mpa - fit.pressure_mpa
    if shares["ring_bore"] > 0.0:
        assert fit.ring_hoop_bore_mpa == pytest.approx(at_joint, rel=1e-9, abs=1e-9)
    else:
        assert fit.ring_hoop_bore_mpa == fit.ring_hoop_joint_mpa == -fit.pressure_mpa


@given(joints)
def test_compliance_and_interference_turn_the_pressure_round(shares: dict[str, float]) -> None:
    joint = built({**shares, "interference": abs(shares["interference"])})
    constants = {k: v for k, v in joint.items() if k != "interference_mm"}
    compliance = rings.joint_compliance(**constants)
    back = rings.interference_for_pressure(solve(joint).pressure_mpa, joint["joint_mm"], compliance)
    assert back == pytest.approx(joint["interference_mm"], rel=1e-12)


def test_a_very_thin_ring_is_a_hoop_under_pressure() -> None:
    """Known limit: the hoop stress of a thin ring is pressure times radius over wall."""
    fit = solve(SEAT, ring_bore_mm=37.99)
    assert fit.ring_hoop_joint_mpa == pytest.approx(-fit.pressure_mpa * 19.0 / 0.005, rel=1e-3)


def test_equal_materials_and_a_solid_part_in_endless_metal() -> None:
    """Known limit: a solid pin in endless metal of its own kind is pressed with E U / (2 d)."""
    fit = solve(
        SEAT, ring_bore_mm=0.0, hub_outer_mm=math.inf, hub_modulus_mpa=205e3, hub_poisson=0.29
    )
    assert fit.pressure_mpa == pytest.approx(205e3 * 0.14 / 38.0 / 2.0, rel=1e-12)
    assert fit.hub_hoop_outer_mpa == 0.0


def test_a_huge_hub_is_an_endless_one() -> None:
    far = solve(SEAT, hub_outer_mm=38e6).pressure_mpa
    assert far == pytest.approx(solve(SEAT, hub_outer_mm=math.inf).pressure_mpa, rel=1e-9)


def test_yield_begins_where_the_limits_say() -> None:
    ring = rings.elastic_limit_ring(400.0, 31.0, 38.0)
    hub = rings.elastic_limit_hub(230.0, 38.0, 76.0)
    iron = rings.cracking_pressure_hub(200.0, 38.0, 76.0)
    once = solve(SEAT)
    at = [solve(SEAT, interference_mm=0.14 * p / once.pressure_mpa) for p in (ring, hub, iron)]
    assert at[0].ring_von_mises_bore_mpa == pytest.approx(400.0, rel=1e-12)
    assert at[1].hub_von_mises_joint_mpa == pytest.approx(230.0, rel=1e-12)
    assert at[2].hub_hoop_joint_mpa == pytest.approx(200.0, rel=1e-12)
    assert rings.elastic_limit_ring(400.0, 0.0, 38.0) == 400.0


def test_the_ceiling_of_a_ring_is_above_its_first_yield() -> None:
    for bore in (1.0, 10.0, 31.0, 37.0):
        first = rings.elastic_limit_ring(400.0, bore, 38.0)
        assert first < rings.pressure_ceiling_ring(400.0, bore, 38.0) <= 2.0 * first


def test_arrays_say_what_floats_say_over_more_than_one_block() -> None:
    size = 40_000
    chance = np.random.default_rng(20)
    joint = {
        "joint_mm": chance.uniform(20.0, 60.0, size),
        "interference_mm": chance.uniform(-0.05, 0.2, size),
        "ring_modulus_mpa": chance.uniform(1e5, 2.2e5, size),
        "ring_poisson": 0.29,
        "hub_modulus_mpa": 72e3,
        "hub_poisson": chance.uniform(0.25, 0.35, size),
    }
    joint["ring_bore_mm"] = joint["joint_mm"] * chance.uniform(0.0, 0.9, size)
    joint["ring_bore_mm"][::7] = 0.0
    joint["hub_outer_mm"] = np.full(size, math.inf)
    before = {name: np.copy(value) for name, value in joint.items()}
    fit = solve(joint)
    for name, value in before.items():
        assert np.array_equal(joint[name], value), f"{name} was written to"
    for i in (0, 1, 7, 16383, 16384, 16385, 32768, size - 1):
        one = {k: float(v[i]) if np.ndim(v) else float(v) for k, v in joint.items()}
        for name in STRESSES:
            assert getattr(fit, name)[i] == pytest.approx(getattr(solve(one), name), rel=1e-14)


def test_arrays_broadcast() -> None:
    fit = solve(
        SEAT,
        interference_mm=np.array([0.05, 0.10, 0.15])[:, None],
        hub_outer_mm=np.array([57.0, math.inf]),
    )
    assert fit.pressure_mpa.shape == (3, 2)
    assert fit.pressure_mpa[1, 1] == pytest.approx(
        solve(SEAT, interference_mm=0.10, hub_outer_mm=math.inf).pressure_mpa, rel=1e-14
    )
    assert solve(SEAT, interference_mm=np.empty(0)).pressure_mpa.shape == (0,)
    assert type(solve(SEAT, interference_mm=np.float64(0.1)).pressure_mpa) is float
    assert type(solve(SEAT, interference_mm=np.array(0.1)).pressure_mpa) is float


BAD = [
    ("joint_mm", 0.0),
    ("joint_mm", -38.0),
    ("joint_mm", math.nan),
    ("joint_mm", math.inf),
    ("ring_bore_mm", 38.0),
    ("ring_bore_mm", -1.0),
    ("ring_bore_mm", math.nan),
    ("hub_outer_mm", 38.0),
    ("hub_outer_mm", math.nan),
    ("interference_mm", math.inf),
    ("interference_mm", -math.inf),
    ("interference_mm", math.nan),
    ("interference_mm", 38.0),
    ("ring_modulus_mpa", 0.0),
    ("hub_modulus_mpa", math.inf),
    ("hub_modulus_mpa", math.nan),
    ("ring_poisson", 1.0),
    ("hub_poisson", math.nan),
]


@pytest.mark.parametrize(("name", "value"), BAD)
@pytest.mark.parametrize("many", [False, True])
def test_what_cannot_be_is_refused(name: str, value: float, many: bool) -> None:
    given = np.array([SEAT[name], value, SEAT[name]]) if many else value
    with pytest.raises(BadRequest) as caught:
        solve(SEAT, **{name: given})
    assert "Accepted" in str(caught.value)
    if math.isfinite(value) and name != "joint_mm":
        assert caught.value.field == name
        assert f"{value:g}" in caught.value.message


def test_one_joint_needs_no_numpy() -> None:
    code = (
        "import sys; from specdb.physics.rings import press_fit, axial_force\n"
        f"fit = press_fit(**{SEAT!r}); axial_force(fit.pressure_mpa, 0.1, 38.0, 8.0)\n"
        "sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@settings(max_examples=50)
@given(st.floats(1.0, 200.0), st.floats(0.0, 0.99), st.floats(0.0, 500.0))
def test_close_in_is_the_hoop_strain_of_the_bore(d: float, q: float, p: float) -> None:
    """A surface without radial stress closes by its hoop stress over the modulus."""
    bore, modulus = q * d, 110e3
    joint = {**SEAT, "joint_mm": d, "ring_bore_mm": bore, "hub_outer_mm": math.inf}
    compliance = rings.joint_compliance(
        d, bore, math.inf, modulus, 0.3, SEAT["hub_modulus_mpa"], SEAT["hub_poisson"]
    )
    press = rings.interference_for_pressure(p, d, compliance)
    fit = solve(joint, interference_mm=press, ring_modulus_mpa=modulus, ring_poisson=0.3)
    strain = -fit.ring_hoop_bore_mpa / modulus
    expected = strain * bore
    assert rings.close_in_mm(p, d, bore, modulus) == pytest.approx(expected, rel=1e-9, abs=1e-15)


def test_small_sums() -> None:
    # Each by hand: 38.178 - 38.076 - 0.005 for a ring of 38.139861 in a bore of 38.0 (the strains
    # 0.001 and 0.002); 0.4 x 2 x 0.0063; 0.1 x 50 x pi 38 x 8.
    hot = rings.interference_at(38.178 / 1.001, 38.0, 0.001, 0.002, 0.005)
    assert hot == pytest.approx(0.097)
    assert rings.smoothing_mm(0.4, 0.0063, 0.0063) == pytest.approx(0.00504)
    assert rings.axial_force(50.0, 0.1, 38.0, 8.0) == pytest.approx(4775.22, rel=1e-6)
    assert rings.equivalent_hub_mm(38.0, 3.0) == 44.0
    with pytest.raises(BadRequest):
        rings.equivalent_hub_mm(38.0, 0.0)


# Steel seat 38/31 with 0.14 mm in aluminium and in cast iron (110 GPa, 0.26), by hub over joint:
# pressure and stretch of the hub's bore, worked out earlier by another program (derived).
IN_ALUMINIUM = [
    (1.5, 58.0, 150.7),
    (2.0, 72.8, 121.3),
    (2.5, 79.0, 109.1),
    (3.0, 82.2, 102.8),
    (4.0, 85.3, 96.7),
    (math.inf, 89.1, 89.1),
]
IN_IRON = [(1.5, 75.4), (2.0, 91.2), (3.0, 100.7), (math.inf, 107.3)]


def test_pressure_by_size_of_hub() -> None:
    for ratio, pressure, stretch in IN_ALUMINIUM:
        fit = solve(SEAT, hub_outer_mm=38.0 * ratio)
        assert fit.pressure_mpa == pytest.approx(pressure, abs=0.06)
        assert fit.hub_hoop_joint_mpa == pytest.approx(stretch, abs=0.06)
    for ratio, pressure in IN_IRON:
        fit = solve(SEAT, hub_outer_mm=38.0 * ratio, hub_modulus_mpa=110e3, hub_poisson=0.26)
        assert fit.pressure_mpa == pytest.approx(pressure, abs=0.06)
