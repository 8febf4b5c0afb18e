"""Friction and smoothing of a joint, from the rows of the two tables."""

from __future__ import annotations

from typing import NamedTuple

from specdb.errors import NotKnown
from specdb.estimate import Estimate, exact
from specdb.physics import rings
from specdb.store.asof import Reader
from specdb.store.query import friction as rows


class Rubbing(NamedTuple):
    """Friction for pressing in (value: the highest published) and for holding (the lowest)."""

    press: Estimate
    hold: Estimate


def rubbing(reader: Reader, head_class: str, joining: str, surface: str) -> Rubbing:
    """Friction of a ring in a head of this class; raises `NotKnown` where no row says.

    Pressing is always judged by rows of pressed joints; `joining` decides what holds.
    """
    pressed = _band(reader, head_class, "pressed", surface)
    held = pressed if joining == "pressed" else _band(reader, head_class, joining, surface)
    return Rubbing(
        Estimate(pressed.high, pressed.low, pressed.high, "1", pressed.sources),
        Estimate(held.low, held.low, held.high, "1", held.sources),
    )


def _band(reader: Reader, head_class: str, joining: str, surface: str) -> Estimate:
    found = rows.coefficients(reader, head_class, joining, surface)
    if not found:
        raise NotKnown(f"no friction is known for a {joining}, {surface} joint in {head_class}.")
    low = min(float(row["low"]) for row in found)
    high = max(float(row["high"]) for row in found)
    return Estimate(high, low, high, "1", tuple(row["id"] for row in found))


def smoothing(reader: Reader, ring_rz: float | None, bore_rz: float | None) -> Estimate:
    """Interference lost as the roughness (Rz, mm) is flattened; nothing where nobody gave it.

    The factors on the sum of both Rz come from the rows: the least of them (the newer edition
    of the standard) is the value, the band reaches to the greatest.
    """
    if ring_rz is None and bore_rz is None:
        return exact(0.0, "mm")
    both = (ring_rz or 0.0, bore_rz or 0.0)
    factors = {
        row["id"]: float(row["low"])
        for row in rows.allowances(reader, "smoothing")
        if "rz" in (row["unit"] or "").lower()
    }
    if not factors:
        raise NotKnown("no rule for the smoothing of roughness is in the database.")
    lost = sorted(rings.smoothing_mm(factor, *both) for factor in factors.values())
    return Estimate(lost[0], lost[0], lost[-1], "mm", tuple(factors))
