"""Boring an old ring out to a thin wall: the cutter, its setting, the wall that is left.

Lengths in mm, diameters unless said otherwise. The tool turns about the guide; the ring may stand
off that axis by an eccentricity, of which a dial held to the ring shows twice as its run-out.
"""

from __future__ import annotations

from specdb.errors import BadRequest


def eccentricity_mm(runout_mm: float) -> float:
    """How far a ring stands off the axis [mm]: half of its run-out, the total dial reading [mm]."""
    return 0.5 * runout_mm


def cutter_diameter_mm(insert_mm: float, wall_mm: float) -> float:
    """Diameter to bore [mm] so that a centred ring of outside `insert_mm` keeps `wall_mm` [mm].

    Raises BadRequest where no hole is left to bore.
    """
    cutter = insert_mm - 2.0 * wall_mm
    if cutter <= 0.0:
        raise BadRequest(
            f"wall: {wall_mm:g} mm is the whole of a ring of {insert_mm:g} mm.",
            hint="Accepted: a wall well under half of insert_diameter.",
            field="wall",
        )
    return cutter


def wall_mm(insert_mm: float, cutter_mm: float, off_axis_mm: float) -> tuple[float, float]:
    """Thinnest and thickest wall left of the ring [mm]; the thinnest may be negative.

    insert_mm     outside diameter of the ring as it sits in the head [mm]
    cutter_mm     diameter bored [mm]
    off_axis_mm   eccentricity, distance of the ring's axis from the tool's [mm]
    """
    centred = 0.5 * (insert_mm - cutter_mm)
    return centred - off_axis_mm, centred + off_axis_mm
