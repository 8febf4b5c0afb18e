"""Readings of a counterbore: spread, ovality, taper, temperature, and slips of the pen."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specdb.answers import readings
from specdb.errors import BadRequest

near = st.lists(st.integers(38_000, 38_400).map(lambda um: um / 1000), min_size=1, max_size=8)


@given(top=near, bottom=near, data=st.data())
def test_shuffled_readings_are_the_same_bore(
    top: list[float], bottom: list[float], data: st.DataObject
) -> None:
    shuffled = readings.bore(data.draw(st.permutations(top)), data.draw(st.permutations(bottom)))
    assert shuffled == readings.bore(top, bottom)


def test_what_the_readings_say() -> None:
    bore = readings.bore([38.05, 38.06, 38.04], [38.03, 38.05])
    assert (bore.smallest, bore.largest, bore.readings) == (38.03, 38.06, 5)
    assert bore.mean == pytest.approx((38.05 + 38.06 + 38.04 + 38.03 + 38.05) / 5)
    assert bore.ovality == pytest.approx(0.02)
    assert bore.taper == pytest.approx(0.01)


def test_what_they_cannot_say_is_none() -> None:
    one = readings.bore([38.05])
    assert (one.ovality, one.taper) == (None, None)
    assert readings.bore([38.05, 38.06]).taper is None


def test_a_warm_head_reads_large() -> None:
    bore = readings.bore([38.0], strain=0.001)
    assert bore.mean == pytest.approx(38.0 / 1.001)


@pytest.mark.parametrize(
    ("top", "bottom", "named", "field"),
    [
        ([38.05, 3.806, 38.06], [], "3.806", "bore"),
        ([38.05, 38.06, 38.6], [], "38.6", "bore"),
        ([38.05, 38.06], [83.05], "83.05", "bore_bottom"),
        ([38.0, 39.0], [], "38 mm and 39", "bore"),
    ],
)
def test_a_reading_far_from_the_rest_is_named(
    top: list[float], bottom: list[float], named: str, field: str
) -> None:
    with pytest.raises(BadRequest) as refused:
        readings.bore(top, bottom)
    assert named in refused.value.message
    assert refused.value.field == field


def test_readings_of_a_worn_bore_are_not_refused() -> None:
    assert readings.bore([38.0, 38.3]).ovality == pytest.approx(0.3)
