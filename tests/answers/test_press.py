"""The press of a ring over plain figures: pressure, caps, forces, and how bands come about.

`derived` marks figures worked out for the theory notes of the project, by hand and by finite
elements: independent of this code, but not published.
"""

from __future__ import annotations

import dataclasses
import math

import pytest

from specdb.answers.press import Hub, Part, Pocket, Press, figures
from specdb.estimate import Estimate, exact, plus_minus


def part(
    gpa: float, poisson: float, *, strength: float | None = None, limit: str = "yields"
) -> Part:
    return Part(
        exact(0.0, "1"),
        exact(gpa * 1000, "MPa"),
        exact(poisson, "1"),
        None if strength is None else exact(strength, "MPa"),
        limit,
    )


STEEL = part(205, 0.29)
ALLOY = part(72, 0.33)
IRON = part(110, 0.26)


def press(
    *,
    interference: float = 0.14,
    insert: Part = STEEL,
    head: Part = ALLOY,
    scale: float = 1.0,
    tolerance: float = 0.0,
    bore: float = 38.0,
    inner: float = 31.0,
) -> Press:
    return Press(
        insert_diameter=plus_minus((bore + interference) * scale, tolerance, "mm"),
        bore=plus_minus(bore * scale, tolerance, "mm"),
        smoothing=exact(0.0, "mm"),
        insert_inner=inner * scale,
        height=8.0 * scale,
        insert=insert,
        head=head,
        press_friction=exact(0.12, "1"),
        hold_friction=exact(0.07, "1"),
    )


@pytest.mark.parametrize(
    ("head", "across", "pressure", "hoop"),
    [
        (ALLOY, 1.5, 58.0, 150.7),
        (ALLOY, 2, 72.8, 121.3),
        (ALLOY, 2.5, 79.0, 109.1),
        (ALLOY, 3, 82.2, 102.8),
        (ALLOY, 4, 85.3, 96.7),
        (ALLOY, math.inf, 89.1, 89.1),
        (IRON, 1.5, 75.4, None),
        (IRON, 2, 91.2, None),
        (IRON, 3, 100.7, None),
        (IRON, math.inf, 107.3, None),
    ],
)
def test_pressure_by_hub_derived(
    head: Part, across: float, pressure: float, hoop: float | None
) -> None:
    found = figures(press(head=head), Hub(outer=38.0 * across))
    assert found["pressure_mpa"].value == pytest.approx(pressure, abs=0.06)
    assert found["pressure_formula_mpa"].value == found["pressure_mpa"].value
    if hoop is not None:
        assert found["head_hoop_bore_mpa"].value == pytest.approx(hoop, abs=0.06)


def test_every_surface_and_the_force_derived() -> None:
    found = figures(press(), Hub(outer=76.0))
    assert found["pressure_mpa"].value == pytest.approx(72.802, abs=0.001)
    assert found["insert_hoop_bore_mpa"].value == pytest.approx(
        -435.51, rel=1e-3
    )  # finite elements
    assert found["insert_hoop_outer_mpa"].value == pytest.approx(-362.63, rel=1e-3)
    assert found["head_hoop_bore_mpa"].value == pytest.approx(121.35, rel=1e-3)
    assert found["insert_von_mises_mpa"].value == pytest.approx(435.51, rel=1e-3)
    assert found["press_force_n"].value == pytest.approx(8300, abs=50)
    assert found["hold_force_n"].value == pytest.approx(4900, abs=50)


@pytest.mark.parametrize(
    ("strength", "first_yield", "ceiling"), [(250, 0.080, 46), (400, 0.129, 74), (600, 0.193, 111)]
)
def test_the_ring_yields_and_caps_the_pressure_derived(
    strength: float, first_yield: float, ceiling: float
) -> None:
    soft = part(205, 0.29, strength=strength)
    at_yield = figures(press(interference=first_yield, insert=soft), Hub(outer=76.0))
    assert at_yield["insert_yield_ratio"].value == pytest.approx(1.0, abs=0.01)
    # The table's presses are rounded, so that the ring may just have begun.
    assert at_yield["insert_set_mm"].value < 1e-5
    beyond = figures(press(interference=first_yield * 1.6, insert=soft), Hub(outer=76.0))
    assert beyond["pressure_mpa"].value == pytest.approx(ceiling, abs=0.5)
    assert beyond["pressure_formula_mpa"].value > ceiling * 1.3
    assert beyond["insert_yield_ratio"].value > 1.4
    # What is left elastic is what the same ring at the ceiling would need.
    left = first_yield * 1.6 - beyond["insert_set_mm"].value
    again = figures(press(interference=left, insert=soft), Hub(outer=76.0))
    assert again["pressure_formula_mpa"].value == pytest.approx(beyond["pressure_mpa"].value, 1e-9)
    assert beyond["grip_mm"].value == pytest.approx(left)


def test_unknown_strength_caps_nothing() -> None:
    found = figures(press(interference=0.3), Hub())
    assert found["pressure_mpa"].value == found["pressure_formula_mpa"].value
    assert "insert_yield_ratio" not in found
    assert "head_yield_ratio" not in found


def test_iron_compares_tension_an_alloy_the_combined_stress() -> None:
    cracks = part(110, 0.26, strength=250, limit="cracks")
    yields = part(110, 0.26, strength=250)
    iron = figures(press(head=cracks), Hub(outer=76.0))
    ductile = figures(press(head=yields), Hub(outer=76.0))
    assert iron["head_yield_ratio"].value == pytest.approx(iron["head_hoop_bore_mpa"].value / 250)
    assert ductile["head_yield_ratio"].value == pytest.approx(
        ductile["head_von_mises_mpa"].value / 250
    )
    assert ductile["head_yield_ratio"].value > iron["head_yield_ratio"].value


def test_hot_head_takes_the_press_away_derived() -> None:
    """38 mm, 12e-6 in a head of 21e-6, both 180 K warmer: 0.0616 mm less.

    The hand sum expands both parts from 38.00; the ring is 38.14, which is worth 0.0003.
    """
    ring = dataclasses.replace(STEEL, strain=exact(12e-6 * 180, "1"))
    head = dataclasses.replace(ALLOY, strain=exact(21e-6 * 180, "1"))
    found = figures(press(insert=ring, head=head), Hub())
    assert found["interference_mm"].value == pytest.approx(0.14 - 0.0616, abs=0.0004)
    loose = figures(press(insert=ring, head=head, interference=0.05), Hub())
    assert loose["interference_mm"].value < 0
    assert loose["pressure_mpa"].value == 0
    assert loose["press_force_n"].value == 0


@pytest.mark.parametrize("factor", [0.25, 0.5, 2.0])
def test_pressure_is_linear_in_press_while_elastic(factor: float) -> None:
    one, other = (figures(press(interference=0.1 * f), Hub()) for f in (1.0, factor))
    for name in ("pressure_mpa", "insert_hoop_bore_mpa", "head_hoop_bore_mpa", "press_force_n"):
        assert other[name].value == pytest.approx(one[name].value * factor, rel=1e-9)


@pytest.mark.parametrize("scale", [0.3, 25.4])
def test_all_lengths_scaled_leave_the_stress(scale: float) -> None:
    one = figures(press(tolerance=0.0), Hub(metal=8.0))
    other = figures(press(scale=scale), Hub(metal=8.0 * scale))
    for name, unit in (("pressure_mpa", "MPa"), ("head_von_mises_mpa", "MPa")):
        assert other[name].value == pytest.approx(one[name].value, rel=1e-9)
        assert other[name].unit == unit
    assert other["press_force_n"].value == pytest.approx(
        one["press_force_n"].value * scale**2, rel=1e-9
    )


def test_tolerances_add_up_and_scatter_does_not() -> None:
    limits = figures(press(tolerance=0.01), Hub())
    assert limits["interference_mm"].low == pytest.approx(0.12, abs=1e-9)
    assert limits["interference_mm"].high == pytest.approx(0.16, abs=1e-9)
    scatter = dataclasses.replace(
        press(),
        insert=dataclasses.replace(STEEL, strain=Estimate(0.0, -3e-4, 3e-4, "1")),
        head=dataclasses.replace(ALLOY, strain=Estimate(0.0, -4e-4, 4e-4, "1")),
    )
    spread = figures(scatter, Hub())["interference_mm"]
    assert spread.high - spread.value == pytest.approx(38 * 5e-4, rel=0.01)


def test_the_error_of_a_stretch_is_in_what_stands_on_it() -> None:
    """By the formula, a hoop stress is pressure x 1 in endless metal; a stretch of 0.8 known to
    0.05 of the formula leaves it there."""
    plain = figures(press(), Hub())["pressure_mpa"].value
    shaped = Hub(pocket=Pocket(exact(1.0, "1"), stretch=plus_minus(0.8, 0.05, "1")))
    found = figures(press(), shaped)
    assert found["pressure_mpa"].low == found["pressure_mpa"].high == plain
    head = found["head_hoop_bore_mpa"]
    assert (head.low, head.value, head.high) == pytest.approx(
        (0.75 * plain, 0.8 * plain, 0.85 * plain)
    )
    assert found["head_von_mises_mpa"].low < found["head_von_mises_mpa"].high
