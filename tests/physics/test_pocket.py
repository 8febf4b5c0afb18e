"""The pocket factors: figures of an earlier model, limits, scaling, points left out of the table.

`derived` marks figures of the project's theory notes, from a finite-element model of their own
(contact by Lagrange multipliers, written apart from the one the table comes from).
"""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import astuple
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scripts import factor_rows, pocket_factors
from scripts.pocket_model import Case, solve
from specdb.errors import BadRequest, OutOfRange
from specdb.physics import pocket
from specdb.physics.bundled import grids
from specdb.physics.pocket import POCKET
from specdb.store import assets
from tests.tables import add, copied, read, withdraw

TABLE = grids(POCKET)
SEAT: dict[str, Any] = {
    "joint_mm": 38.0,
    "ring_bore_mm": 31.0,
    "height_mm": 8.0,
    "hub_outer_mm": 76.0,
    "ring_modulus_mpa": 205e3,
    "hub_modulus_mpa": 72e3,
}
WALL, HEIGHT, MODULI = 31 / 38, 8 / 38, 205 / 72


def factor(**changed: Any) -> Any:
    return pocket.pressure_factor(**{**SEAT, **changed})


# --- the model and the table against the earlier model --------------------------------------------

SOLVED = {
    "32 mm below": (Case(WALL, HEIGHT, 0.5, 4.0, MODULI), 1.280),
    "twice the head, 72 mm below": (Case(WALL, HEIGHT, 0.25, 9.0, MODULI), 1.274),
    "no step": (Case(WALL, HEIGHT, 0.5, 4.0, MODULI, port=1.0), 1.216),
    "mid-depth": (Case(WALL, HEIGHT, 0.5, 4.0, MODULI, port=1.0, above=4.0), 1.559),
}


@pytest.mark.parametrize(("case", "ratio"), SOLVED.values(), ids=SOLVED)
def test_the_model_gives_the_figures_known_derived(case: Case, ratio: float) -> None:
    assert solve(case).pressure == pytest.approx(ratio, rel=0.002)


def test_squeeze_and_stretch_of_the_model_derived() -> None:
    """Hoop at the bore -660, -564, -464 MPa where the formula has -435.3; hoop of the pocket wall
    at mid-height 83 MPa where the formula has 121.3."""
    found = solve(Case(WALL, HEIGHT, 0.5, 4.0, MODULI))
    assert found.squeeze_bottom == pytest.approx(660 / 435.3, rel=0.01)
    assert found.squeeze_middle == pytest.approx(564 / 435.3, rel=0.02)
    assert found.squeeze_top == pytest.approx(464 / 435.3, rel=0.01)
    assert found.stretch == pytest.approx(83 / 121.3, rel=0.02)


def test_the_table_gives_the_figures_known_derived() -> None:
    assert factor(metal_below_mm=32.0) == pytest.approx(1.280, rel=0.01)
    assert factor(hub_outer_mm=152.0, metal_below_mm=72.0) == pytest.approx(1.274, rel=0.01)
    assert factor(placement="mid-depth") == pytest.approx(1.559, rel=0.01)
    # With a relief at the lower edge, over the force of the full height: 1.11, 1.17, 1.31.
    for below, ratio in ((8.0, 1.11), (16.0, 1.17), (64.0, 1.31)):
        assert factor(metal_below_mm=below) == pytest.approx(ratio, rel=0.01)
    # Iron 110 GPa with nu 0.26, the same relief: 1.20.
    iron = factor(metal_below_mm=32.0, hub_modulus_mpa=110e3)
    assert iron == pytest.approx(1.20, rel=0.02)


def test_finer_meshes_change_next_to_nothing() -> None:
    case = Case(0.8, 0.2, 0.5, 2.0, 2.8)
    coarse, fine = astuple(solve(case)), astuple(solve(case, 16))
    assert coarse == pytest.approx(fine, abs=0.003)
    assert coarse[0] == pytest.approx(fine[0], abs=0.0007)


# --- limits ------------------------------------------------------------------------------------


def test_two_rings_of_equal_height_are_the_formula() -> None:
    found = solve(Case(WALL, HEIGHT, 0.5, 0.0, MODULI, port=1.0))
    assert astuple(found) == pytest.approx((1.0,) * 5, abs=1e-4)


def test_with_less_and_less_metal_below_it_comes_down_to_the_formula() -> None:
    ratios = [
        solve(Case(WALL, HEIGHT, 0.5, below, MODULI, port=1.0)).pressure
        for below in (1.0, 0.25, 0.05, 0.01)
    ]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[-1] == pytest.approx(1.0, abs=0.01)


def test_a_long_guide_hardly_feels_its_ends() -> None:
    long = solve(Case(0.58, 4.0, 0.5, 0.0, 1.5, port=1.0, proud=1.0))
    assert long.pressure == pytest.approx(1.0, abs=0.015)
    assert long.squeeze_middle == pytest.approx(1.0, abs=0.005)


def test_a_stiff_ring_in_a_soft_head_feels_the_pocket_most() -> None:
    assert factor() > factor(ring_modulus_mpa=100e3) > 1.0
    # The thinner the ring, the more of the give is its own.
    assert factor(ring_bore_mm=26.0) > factor() > factor(ring_bore_mm=35.0) > 1.0


def test_endless_metal_is_metal_wide_enough() -> None:
    assert factor(hub_outer_mm=math.inf) == pytest.approx(factor(hub_outer_mm=38 * 16), rel=2e-3)


# --- interpolation ------------------------------------------------------------------------------


def test_a_point_of_the_table_is_itself() -> None:
    grid = TABLE["flush"]
    for number in (0, 1234, len(grid.points()) - 1):
        shape = pocket.Shape(*grid.points()[number])
        found = pocket.factors_at("flush", grid, shape)
        assert found.pressure == pytest.approx(grid.values["pressure"][number], rel=1e-12)
        assert found.squeeze_top == pytest.approx(grid.values["squeeze_top"][number], rel=1e-9)


@pytest.mark.parametrize("placement", TABLE)
def test_points_left_out_are_within_the_error_stated(placement: str) -> None:
    grid = TABLE[placement]
    for shape in pocket_factors.left_out(7, 6, placement):
        ours = pocket.factors_at(placement, grid, pocket.Shape(*shape))
        true = solve(pocket_factors.case(placement, shape))
        assert ours.pressure == pytest.approx(true.pressure, rel=pocket.PRESSURE_ERROR)
        assert ours.squeeze_middle == pytest.approx(true.squeeze_middle, rel=pocket.PRESSURE_ERROR)
        assert ours.squeeze_bottom == pytest.approx(true.squeeze_bottom, abs=pocket.EDGE_ERROR)
        assert ours.squeeze_top == pytest.approx(true.squeeze_top, abs=pocket.EDGE_ERROR)
        assert ours.stretch == pytest.approx(true.stretch, abs=pocket.STRETCH_ERROR)


# --- the data and the script that computed them ---------------------------------------------------

POINTS = [(name, at) for name, grid in TABLE.items() for at in grid.points()]


def test_every_row_is_a_point_the_script_solves() -> None:
    wanted = {
        (placement, at)
        for placement, axes in pocket_factors.GRIDS.items()
        for at in itertools.product(*axes)
    }
    assert set(POINTS) == wanted
    rows = {row["id"]: row for row in read(assets.data() / "pocket_factors.csv")}
    for point in POINTS:
        made = factor_rows.row(POCKET, "whdbm", point, [1.0] * len(POCKET.factors))
        held = rows[made["id"]]
        assert {held[name] for name in POCKET.ratios} == {made[name] for name in POCKET.ratios}


@pytest.mark.parametrize(
    ("placement", "at"),
    [(name, random.Random(8).choice(grid.points())) for name, grid in TABLE.items()],
)
def test_the_figures_are_what_the_model_gives(placement: str, at: tuple[float, ...]) -> None:
    """Points drawn from the table, solved again: the data cannot drift from the script."""
    grid = TABLE[placement]
    place = grid.points().index(at)
    for factor, true in zip(
        POCKET.factors, astuple(solve(pocket_factors.case(placement, at))), strict=True
    ):
        # half of the last figure written, and a little for another machine's arithmetic
        written = 0.6e-3 if abs(true) >= 1.0 else 0.6e-4
        assert grid.values[factor.name][place] == pytest.approx(true, abs=written)


def test_what_was_withdrawn_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copied(tmp_path / "data")
    row = next(row for row in read(tmp_path / "data/pocket_factors.csv") if "guide" in row["id"])
    again = {**row, "id": "pocket-factor.again", "pressure_factor": "9.5", "release": "next"}
    add(tmp_path / "data", "pocket_factors", again)
    withdraw(tmp_path / "data", row["id"], "a test")
    monkeypatch.setattr(assets, "data", lambda: tmp_path / "data")
    found = grids.__wrapped__(POCKET)
    assert 9.5 in found["guide-boss"].values["pressure"]
    assert found["flush"] == TABLE["flush"]


# --- what must hold for any joint -----------------------------------------------------------------

joints = st.fixed_dictionaries(
    {
        "joint_mm": st.floats(15.0, 80.0),
        "wall": st.floats(0.59, 0.93),
        "height": st.floats(0.09, 0.49),
        "hub": st.one_of(st.just(0.0), st.floats(0.01, 0.91)),
        "below": st.one_of(st.none(), st.floats(0.26, 20.0)),
        "stiffness": st.floats(0.61, 3.9),
    }
)


def built(shares: dict[str, Any]) -> dict[str, Any]:
    d, below = shares["joint_mm"], shares["below"]
    height = shares["height"] * d
    return {
        "joint_mm": d,
        "ring_bore_mm": shares["wall"] * d,
        "height_mm": height,
        "hub_outer_mm": d / shares["hub"] if shares["hub"] else math.inf,
        "ring_modulus_mpa": 72e3 * shares["stiffness"],
        "hub_modulus_mpa": 72e3,
        "metal_below_mm": None if below is None else below * height,
    }


@given(joints)
def test_never_nan_and_never_below_the_formula(shares: dict[str, Any]) -> None:
    found = pocket.factors(**built(shares))
    assert found.why is None
    assert all(math.isfinite(each) for each in astuple(found)[:5])
    assert 1.0 <= found.pressure < 3.5
    assert 0.0 < found.stretch < 1.2


@given(joints, st.floats(0.01, 100.0))
def test_a_joint_twice_as_large_has_the_same_factor(shares: dict[str, Any], scale: float) -> None:
    joint = built(shares)
    larger = {k: v * scale if k.endswith("_mm") and v is not None else v for k, v in joint.items()}
    assert pocket.pressure_factor(**larger) == pytest.approx(pocket.pressure_factor(**joint))


@settings(max_examples=20)
@given(st.lists(joints, min_size=1, max_size=5))
def test_arrays_are_joint_by_joint(many: list[dict[str, Any]]) -> None:
    each = [built({**shares, "below": shares["below"] or 5.0}) for shares in many]
    block = {name: np.array([joint[name] for joint in each]) for name in each[0]}
    alone = [pocket.pressure_factor(**joint) for joint in each]
    assert pocket.pressure_factor(**block) == pytest.approx(alone, rel=1e-12)
    found = pocket.factors(**block)
    assert found.squeeze_bottom.shape == (len(each),)


def test_lengths_scale_in_the_model_too() -> None:
    """The model works in joint radii, so a larger joint is the same case; a column broadcasts."""
    heights = np.array([[6.0], [8.0]])
    found = factor(height_mm=heights, hub_outer_mm=np.array([60.0, 76.0, math.inf]))
    assert found.shape == (2, 3)
    assert found[1, 1] == pytest.approx(factor())


# --- outside, and what cannot be ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"ring_bore_mm": 20.0}, "ring inside over outside"),
        ({"ring_bore_mm": 0.0}, "ring inside over outside"),
        ({"height_mm": 30.0}, "ring height over diameter"),
        ({"hub_outer_mm": 39.0}, "joint over outside"),
        ({"metal_below_mm": 0.5}, "metal below"),
        ({"ring_modulus_mpa": 500e3}, "stiffness"),
    ],
)
def test_outside_the_table(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        factor(**changed)
    found = pocket.factors(**{**SEAT, **changed})
    assert astuple(found)[:5] == (1.0,) * 5
    assert found.why is not None
    assert said in found.why


def test_outside_for_some_of_many() -> None:
    found = pocket.factors(**{**SEAT, "height_mm": np.array([8.0, 30.0])})
    assert found.pressure[0] == pytest.approx(factor())
    assert found.pressure[1] == 1.0
    assert found.why is not None


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(BadRequest, match="placement"):
        factor(placement="sideways")
    with pytest.raises(BadRequest, match="metal_below_mm"):
        factor(metal_below_mm=-1.0)
    with pytest.raises(BadRequest, match="height_mm"):
        factor(height_mm=0.0)
    with pytest.raises(BadRequest, match="boss"):
        factor(placement="guide-boss", metal_below_mm=5.0)
    with pytest.raises(BadRequest, match="ring_bore_mm"):
        factor(ring_bore_mm=38.0)
