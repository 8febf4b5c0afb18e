"""Clocks of many ways at once: the same to the last bit as one by one, which other tests hold to a
solver in time and to worked integrations."""

from __future__ import annotations

import random

import pytest

from specdb.errors import OutOfRange
from specdb.physics import heat, heat_many
from specdb.physics.heat import InAir, InBore, Ring
from tests.answers.test_clocks import IRON_HEAT, STRAIN

RING = Ring(38.0, 31.0, 8.0, 7850.0, IRON_HEAT, STRAIN)


def test_many_ways_in_the_air_are_each_as_one() -> None:
    draw = random.Random(1)
    ways = [
        InAir(
            draw.choice([-195.8, -78.5, -18.0, 25.0]),
            draw.uniform(-2200e-6, 900e-6),
            draw.choice([20.0, 5.0]),
            *draw.choice([(25.0, 0.95, 0.5), (10.0, 0.3, 0.0)]),
            32,
        )
        for _ in range(300)
    ]
    found = heat_many.air_seconds(RING, ways)
    told = {way: _one(heat.air_seconds, way) for way in ways}
    assert {way: seconds for way, seconds in told.items() if seconds != "refused"} == found
    kinds = {type(seconds) for seconds in found.values()}
    assert kinds == {float, type(None)}, "some touch, some never do"
    assert 0.0 in found.values(), "some touch at once"


def test_many_ways_in_the_bore_are_each_as_one() -> None:
    draw = random.Random(2)
    ways = [
        InBore(
            draw.choice([-195.8, -78.5, 20.0]),
            38.0 * (1 + draw.uniform(-1500e-6, 3000e-6)),
            draw.choice([20.0, 120.0, 190.0]),
            0.003,
            draw.choice([0.0, 500.0]),
            32,
        )
        for _ in range(300)
    ]
    found = heat_many.bore_seconds(RING, ways)
    told = {way: _one(heat.bore_seconds, way) for way in ways}
    assert {way: seconds for way, seconds in told.items() if seconds != "refused"} == found
    assert len(found) > 200


@pytest.mark.parametrize("start", [-250.0, 400.0])
def test_what_lies_outside_the_data_is_left_to_who_says_why(start: float) -> None:
    way = InAir(start, 0.0, 20.0, 25.0, 0.95, 0.5, 32)
    assert heat_many.air_seconds(RING, [way]) == {}
    with pytest.raises(OutOfRange):
        heat.air_seconds(RING, **way._asdict())


def _one(clock, way: InAir | InBore) -> float | str | None:
    try:
        return clock(RING, **way._asdict())
    except OutOfRange:
        return "refused"
