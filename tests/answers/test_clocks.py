"""The two clocks: against the integrations worked for the thermal notes (`derived`, not ours), and
against a library's solver in time.

A steel ring 38/31, 8 mm high, 7850 kg/m3, in an aluminium head of 21.5e-6/K. What differs on
purpose is said at each check.
"""

from __future__ import annotations

import dataclasses

import pytest

from specdb.answers import clocks
from specdb.answers.joint import Joint
from specdb.estimate import exact, plus_minus
from specdb.physics import air
from specdb.physics.curves import Curve, Table
from specdb.physics.heat import Ring
from tests.physics import warming

# Iron, J/(kg K) at 77, 100, 150, 200, 250, 293 K; a steady value above.
IRON_HEAT = Table(
    (-196.15, -173.15, -123.15, -73.15, -23.15, 19.85, 200.0),
    (144.0, 215.0, 323.0, 384.0, 423.0, 447.0, 490.0),
)
# SAE 1020 from 20 degC (its published points, kelvin and 1e-6), and 11.7e-6/K above.
POINTS = (
    *((77, -1930.1), (80, -1920), (90, -1870), (100, -1820), (140, -1550), (160, -1380)),
    *((195, -1058.6), (200, -1010), (220, -807), (260, -377), (273, -229), (280, -151)),
    *((293.15, 0.0), (473.15, 2106.0)),
)
STRAIN = Curve(
    tuple(kelvin - 273.15 for kelvin, _ in POINTS),
    *(tuple(strain * 1e-6 for _, strain in POINTS),) * 3,
)
RING = Ring(38.0, 31.0, 8.0, 7850.0, IRON_HEAT, STRAIN)
BODY = warming.Body(38.0, 31.0, 8.0, 7850.0, IRON_HEAT.at, STRAIN.strain)
SHOP = clocks.Shop(20.0, 0.5)
HEAD = 21.5e-6


def joint(interference: float) -> Joint:
    return Joint(exact(38.0, "mm"), exact(38.0 - interference, "mm"), 31.0, 8.0)


@pytest.mark.parametrize(
    ("start", "contraction", "share", "carried", "still"),
    [
        (-195.8, 0.0734, 0.90, 12, 34),
        (-195.8, 0.0734, 0.75, 34, 97),
        (-195.8, 0.0734, 0.50, 82, 244),
        (-78.5, 0.0404, 0.75, 33, 105),
        (-78.5, 0.0404, 0.50, 76, 254),
    ],
)
def test_seconds_in_the_air_derived(
    start: float, contraction: float, share: float, carried: float, still: float
) -> None:
    """A bore as much smaller as a share of the contraction is touched when that share is left.

    Four per cent and a second: those are printed to a second, from contractions to 0.1 um.
    """
    found = clocks.in_air(RING, joint(contraction * share), start_c=start, head_strain=0, shop=SHOP)
    assert found is not None
    assert found.low == pytest.approx(carried, rel=0.04, abs=1)
    assert found.high == pytest.approx(still, rel=0.04, abs=1)
    assert found.low < found.value < found.high


@pytest.mark.parametrize(
    ("start", "head", "interference", "seconds"),
    [
        (-195.8, 20, 0.05, 1.6),
        (-195.8, 100, 0.10, 2.3),
        (-195.8, 120, 0.08, 7.9),
        (-195.8, 150, 0.10, 7.5),
        (-78.5, 120, 0.08, 3.4),
        (-18, 120, 0.08, 1.0),
    ],
)
def test_seconds_in_the_bore_derived(
    start: float, head: float, interference: float, seconds: float
) -> None:
    """No floor contact is the high end, a touching floor the low one: both to half a per cent by a
    solver in time. The notes round their tenths of seconds, and took iron's heat from a curve
    through these points where straight lines run here: 3 per cent at most."""
    strain = HEAD * (head - 20)
    bore = (38.0 - interference) * (1 + strain)
    found = clocks.in_bore(
        RING, joint(interference), start_c=start, head_c=head, head_strain=strain
    )
    assert found is not None
    for ours, floor in ((found.high, 0.0), (found.low, clocks.FLOOR_W_M2K)):
        gain = warming.bore_gain(BODY, bore, head, air.conductivity_w_mk, floor)
        assert ours == pytest.approx(warming.lumped(BODY, start, bore, gain), rel=0.005)
    assert found.high == pytest.approx(seconds, rel=0.03, abs=0.05)


def test_seconds_in_the_air_by_a_solver_in_time() -> None:
    """A dry, bare ring in still air is the high end."""
    bore = 38.0 - 0.0734 * 0.75
    found = clocks.in_air(RING, joint(38.0 - bore), start_c=-195.8, head_strain=0, shop=SHOP)
    assert found is not None
    gain = warming.air_gain(BODY, SHOP.air_c, *clocks.STILL)
    assert found.high == pytest.approx(warming.lumped(BODY, -195.8, bore, gain), rel=0.005)


def test_a_ring_that_does_not_enter_has_no_time() -> None:
    found = clocks.in_bore(RING, joint(0.08), start_c=-195.8, head_c=20.0, head_strain=0.0)
    assert found is not None
    assert found.high == 0.0


def test_a_ring_that_never_touches_has_no_clock() -> None:
    hot = HEAD * 130
    assert clocks.in_air(RING, joint(0.08), start_c=-78.5, head_strain=hot, shop=SHOP) is None


def test_stated_tolerances_shorten_the_low_and_lengthen_the_high_end() -> None:
    exact_joint = joint(0.04)
    loose_joint = dataclasses.replace(exact_joint, bore=plus_minus(37.96, 0.005, "mm"))
    one, other = (
        clocks.in_air(RING, each, start_c=-195.8, head_strain=0, shop=SHOP)
        for each in (exact_joint, loose_joint)
    )
    assert one is not None
    assert other is not None
    assert other.low < one.low < one.high < other.high
    assert other.value == pytest.approx(one.value)
