"""What the temperature of measuring does to a reading.

Sizes are at 20 degC. A head measured warmer is larger than that by its own expansion; the gauge
is taken to be set at 20 degC.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specdb.answers import names
from specdb.estimate import Estimate, exact
from specdb.store.asof import Reader
from specdb.store.query import choices as class_rows

ROOM_C = 20.0


@dataclass(frozen=True, slots=True)
class Measuring:
    """Temperatures of head and ring, and their strains from 20 degC."""

    head_c: float
    ring_c: float
    head_strain: Estimate
    ring_strain: Estimate

    @property
    def told(self) -> bool:
        """Whether either was measured away from 20 degC."""
        return (self.head_c, self.ring_c) != (ROOM_C, ROOM_C)

    def open_mm(self, diameter_mm: float) -> float:
        """What the expansion's band leaves open of a reading of the head, each way, mm."""
        return diameter_mm * (self.head_strain.high - self.head_strain.low) / 2


def measuring(
    reader: Reader, head: names.Head, ring: names.Ring, measured_at: Sequence[float]
) -> Measuring:
    """The state of measuring; `measured_at` is head then ring, degC, one figure for both.

    A head named by class only gets the band of all its alloys. Raises `OutOfRange` for a
    temperature outside a curve.
    """
    head_c = measured_at[0] if measured_at else ROOM_C
    ring_c = measured_at[-1] if measured_at else ROOM_C
    heads = [head.material] if head.material else []
    if not heads and head_c != ROOM_C:
        heads = class_rows.heads_of_class(reader, head.head_class)
    return Measuring(
        head_c,
        ring_c,
        _strain(reader, heads, head_c),
        _strain(reader, [ring.material], ring_c),
    )


def _strain(reader: Reader, materials: Sequence[str], temperature_c: float) -> Estimate:
    """Strain from 20 degC, the band reaching over every material named."""
    if temperature_c == ROOM_C:
        return exact(0.0, "1")
    from specdb.answers.material import find_material

    found = [find_material(reader, key).expansion_strain(temperature_c) for key in materials]
    low, high = min(each.low for each in found), max(each.high for each in found)
    value = found[0].value if len(found) == 1 else (low + high) / 2
    return Estimate(value, low, high, "1", tuple(row for each in found for row in each.sources))
