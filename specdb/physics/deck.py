"""What a skim of the deck leaves: volumes, compression ratio, clearance of the valves.

Lengths in mm, areas in mm2, volumes in mm3, angles in degrees.
"""

from __future__ import annotations

import math


def volume_lost_mm3(mouth_mm2: float, skim_mm: float) -> float:
    """Chamber volume lost [mm3]: area of the chamber's mouth at the deck [mm2] x skim [mm].

    Exact while the chamber's walls stand square to the deck over the skim.
    """
    return mouth_mm2 * skim_mm


def clearance_volume_mm3(swept_mm3: float, ratio: float) -> float:
    """Volume over the piston at the top [mm3]: swept / (ratio - 1); `ratio` is above 1."""
    return swept_mm3 / (ratio - 1.0)


def compression_ratio(swept_mm3: float, clearance_mm3: float) -> float:
    """(swept + clearance) / clearance [-]; both volumes [mm3], the clearance above 0."""
    return (swept_mm3 + clearance_mm3) / clearance_mm3


def clearance_lost_mm(skim_mm: float, inclination_deg: float) -> float:
    """Valve-to-piston clearance lost along the valve's axis [mm]: skim x cos(inclination).

    inclination_deg   angle of the valve's axis to the square of the deck [deg]
    """
    return skim_mm * math.cos(math.radians(inclination_deg))
