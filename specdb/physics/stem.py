"""Stem, spring, tip and lash after a seat was cut, and a guide's wear. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence


def sink_mm(stem_old_mm: float, stem_new_mm: float, tip_ground_mm: float) -> float:
    """How far the valve sank into the seat [mm].

    stem_old_mm, stem_new_mm   height of the tip above the head, before and after [mm]
    tip_ground_mm              taken off the tip between the two measurements [mm]
    """
    return stem_new_mm - stem_old_mm + tip_ground_mm


def lash_shim_mm(shim_mm: float, lash_found_mm: float, lash_mm: float) -> float:
    """Thickness of the lash shim to fit [mm]: the old one, thicker by what the lash is too much.

    shim_mm         shim that is in [mm]
    lash_found_mm   lash with it [mm]
    lash_mm         lash wanted [mm]
    """
    return shim_mm + lash_found_mm - lash_mm


def spread_mm(values_mm: Sequence[float]) -> float:
    """Greatest less least [mm], to the nanometre; 0 for a single value."""
    return round(max(values_mm) - min(values_mm), 6)


def bell_mouth_mm(ends_mm: Sequence[float], middle_mm: Sequence[float]) -> float:
    """How much wider the wider end of a guide is than its middle [mm], by largest readings."""
    return max(ends_mm) - max(middle_mm)


def ream_mm(
    stem_least_mm: float, stem_most_mm: float, clearance_least_mm: float, clearance_most_mm: float
) -> tuple[float, float]:
    """Least and greatest finished bore of a guide [mm] so that every stem has its clearance.

    stem_least_mm, stem_most_mm             smallest and largest reading of the stem [mm]
    clearance_least_mm, clearance_most_mm   clearance wanted [mm]

    The largest stem still has the least clearance, the smallest not more than the greatest; where
    the stem varies by more than the clearance may, the first comes out above the second.
    """
    return stem_most_mm + clearance_least_mm, stem_least_mm + clearance_most_mm
