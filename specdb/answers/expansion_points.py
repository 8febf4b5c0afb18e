"""The printed expansions of a material as points of strain over temperature, for a picture."""

from __future__ import annotations

from typing import NamedTuple

from specdb.answers.material_names import named
from specdb.store.asof import Reader
from specdb.store.query import materials as rows

ROOM_C = 20.0
NEAR_ROOM = 6.0
"""A mean from a start this near to 20 degC may stand as a point of the curve, K."""


class ExpansionPoint(NamedTuple):
    """A printed figure: the strain from 20 degC to a temperature, and its row."""

    temperature_c: float
    strain: float
    row: str
    seen: str
    basis: str


def expansion_points(reader: Reader, material: str) -> tuple[ExpansionPoint, ...]:
    """Every printed mean from room temperature, and every printed strain, coldest first.

    Instantaneous coefficients are slopes, not points, and are left out. A mean is turned into the
    strain it stands for: mean times (temperature - start).
    """
    key = named(reader, material).key
    found = []
    for row in rows.expansions(reader, key):
        start = ROOM_C if row["start_c"] is None else row["start_c"]
        if row["temperature_c"] is None or abs(start - ROOM_C) > NEAR_ROOM:
            continue
        strain = row["value"] * 1e-6
        if row["property"] == "mean_linear_expansion":
            strain *= row["temperature_c"] - start
        found.append(
            ExpansionPoint(row["temperature_c"], strain, row["id"], row["seen"], row["basis"])
        )
    return tuple(sorted(found))
