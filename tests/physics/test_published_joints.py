"""Joints described in print: the sums must behave as the shop that wrote them saw.

Each is marked by what it rests on; the source keys stand in tests/outside/published_joints.yaml.
"""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import Any

import pytest
import yaml

from specdb.physics import rings
from specdb.physics.curves import Curve, property_at

OUTSIDE = Path(__file__).parents[1] / "outside"
JOINTS = yaml.safe_load((OUTSIDE / "published_joints.yaml").read_text("utf-8"))


def steel() -> Curve:
    points = yaml.safe_load((OUTSIDE / "cold_steel.yaml").read_text("utf-8"))["strain"]["points"]
    strain = [value * 1e-6 for value in points.values()]
    return Curve([kelvin - 273.15 for kelvin in points], strain, strain, strain, "steel")


def ends(joint: dict[str, Any]) -> list[float]:
    """Interference at the corners of the tolerance field."""
    found = [ring - bore for ring, bore in product(joint["ring_outer"], joint["bore"])]
    assert min(found) == pytest.approx(joint["interference"][0], abs=0.001)
    assert max(found) == pytest.approx(joint["interference"][1], abs=0.001)
    return found


@pytest.mark.published
def test_dry_ice_alone_still_needs_driving() -> None:
    joint = JOINTS["iron_head_dry_ice"]
    cold = steel().strain(-78.5)
    left = [rings.interference_at(41.783 + press, 41.783, cold, 0.0) for press in ends(joint)]
    assert all(0.0 < press < 0.065 for press in left)
    assert min(left) < 0.01


@pytest.mark.published
def test_hot_water_alone_still_needs_driving() -> None:
    joint = JOINTS["iron_head_hot_water"]
    for head_c, press in product(joint["head_c"], ends(joint)):
        hot = joint["assumed"]["head_expansion"] * (head_c - 20.0)
        assert 0.0 < rings.interference_at(50.876 + press, 50.876, 0.0, hot) < 0.07


@pytest.mark.published
def test_the_assembly_of_1933_is_just_free_and_neither_half_of_it_would_be() -> None:
    joint = JOINTS["news_item_1933"]
    points = joint["ring_strain"]["points"]
    kelvin = joint["ring_c"] + 273.15
    cold = property_at(tuple(points), tuple(points.values()), kelvin) * 1e-6
    hot = joint["assumed"]["head_expansion"] * (joint["head_c"] - 20.0)

    def left(ring_strain: float, head_strain: float) -> float:
        outer = joint["ring_outer"]
        bore = outer - joint["interference"]
        return rings.interference_at(outer, bore, ring_strain, head_strain)

    assert -0.05 < left(cold, hot) < 0.0
    assert left(cold, 0.0) > 0.04
    assert left(0.0, hot) > 0.04


@pytest.mark.published
def test_a_ring_hotter_than_its_head_is_squeezed_and_a_hot_head_lets_go() -> None:
    joint = JOINTS["air_cooled_seat_came_loose"]
    ring = joint["assumed"]["ring_expansion"] * (joint["ring_c"] - 20.0)

    def left(press: float, head_c: float) -> float:
        head = joint["assumed"]["head_expansion"] * (head_c - 20.0)
        return rings.interference_at(joint["joint"] + press, joint["joint"], ring, head)

    for press in joint["interference"]:
        # The head still cool: about twice the press it was fitted with, then less as it follows.
        assert left(press, 100.0) > 1.7 * press
        assert left(press, 100.0) > left(press, 150.0) > press
        assert left(press, 250.0) < 0.5 * press
