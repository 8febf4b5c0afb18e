"""Every property of every material over temperature: own values, then declared stand-ins.

A property with no own value is taken over from the stand-in as it is. Where own values do not
reach, the stand-in's change with temperature is taken over, scaled to meet the last own value. The
band is widened by the stand-in's own, the own one at the joint and `extra_percent`, as shares, in
quadrature. Strength is never borrowed: two alloys alike in everything else may differ in it
by half, and the answer is then "not known".
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from specdb.build.choose_rows import standing
from specdb.build.expansion import by_material
from specdb.build.property_rows import BORROWABLE, Value, own_values

Row = Mapping[str, Any]
SHAPES = {"youngs_modulus": "youngs_modulus-with-temperature"}
"""Property -> the proxy that stands in for its change with temperature, if not the same."""


class Values:
    """Values by material and property, each made when first asked for."""

    def __init__(self, tables: Mapping[str, Sequence[Row]]) -> None:
        self.rows = by_material(tables["material_properties"])
        self._fits = by_material(tables["expansion_fits"])
        self._proxies = by_material(standing(tables["proxies"]))
        self._made: dict[tuple[str, str], list[Value]] = {}
        self._making: list[tuple[str, str]] = []

    def of(self, material: str, name: str) -> list[Value]:
        """The values of a property of BORROWABLE in order of temperature."""
        part = (material, name)
        if part in self._making:
            circle = " -> ".join(key for key, _ in (*self._making, part))
            raise ValueError(f"{name} of these materials goes round in a circle: {circle}")
        if part not in self._made:
            self._making.append(part)
            self._made[part] = self._make(material, name)
            self._making.pop()
        return self._made[part]

    def _make(self, material: str, name: str) -> list[Value]:
        if name not in BORROWABLE:
            raise ValueError(f"{name} is never borrowed")
        values = own_values(self.rows[material], self._fits[material], name)
        if not values:
            values = self._neighbours(material, name)
        for proxy in self._declared(material, name):
            if not values:
                values = [_taken(each, proxy) for each in self.of(proxy["stands_in"], name)]
        for proxy in self._declared(material, SHAPES.get(name, name)):
            stand_in = self.of(proxy["stands_in"], name)
            for above in (False, True):
                values = sorted([*values, *_beyond(values, stand_in, proxy, above=above)])
        return values

    def _declared(self, material: str, name: str) -> list[Row]:
        return [row for row in self._proxies[material] if row["property"] == name]

    def _neighbours(self, material: str, name: str) -> list[Value]:
        """Values from rows of neighbouring alloys filed under this one, marked as borrowed."""
        rows = [
            {**row, "basis": "stands"} for row in self.rows[material] if row["basis"] == "proxy"
        ]
        return [each._replace(origin="proxy") for each in own_values(rows, [], name)]


def _share(value: Value) -> float:
    """The wider half of the band as a share of the value."""
    return max(value.high - value.value, value.value - value.low) / abs(value.value)


def _widened(at: float, value: float, share: float, rows: set[str]) -> Value:
    low, high = max(value * (1.0 - share), 0.0), value * (1.0 + share)
    return Value(at, value, low, high, tuple(sorted(rows)), "proxy")


def _taken(each: Value, proxy: Row) -> Value:
    share = math.hypot(_share(each), float(proxy["extra_percent"]) / 100.0)
    return _widened(each.at, each.value, share, {*each.rows, proxy["id"]})


def _beyond(
    values: Sequence[Value], stand_in: Sequence[Value], proxy: Row, *, above: bool
) -> list[Value]:
    """What the stand-in adds on one side of the own values."""
    if not values or not stand_in:
        return []
    joint = values[-1 if above else 0]
    if not stand_in[0].at <= joint.at <= stand_in[-1].at:
        return []
    theirs = float(
        np.interp(joint.at, [each.at for each in stand_in], [each.value for each in stand_in])
    )
    scale = joint.value / theirs
    extra = float(proxy["extra_percent"]) / 100.0
    found = []
    for each in stand_in:
        if each.at > joint.at if above else each.at < joint.at:
            share = math.hypot(_share(joint), _share(each), extra)
            rows = {*joint.rows, *each.rows, proxy["id"]}
            found.append(_widened(each.at, scale * each.value, share, rows))
    return found
