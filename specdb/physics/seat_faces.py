"""The three faces of a valve seat, as cones about the guide's axis.

Lengths in mm. Angles in degrees from the plane square to the guide axis, so that 45 degrees is 90
included. Depths are along the guide axis, into the head, from the plane of the valve head's face
unless said otherwise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from specdb.errors import BadRequest

LEAST_DEG, MOST_DEG = 1.0, 89.0
"""Angles a cone may have: a plane and a cylinder are none."""


@dataclass(frozen=True, slots=True)
class Angles:
    """Top, seat and throat [deg], rising; `face` is the valve's own [deg]."""

    top: float
    seat: float
    throat: float
    face: float

    def check(self) -> None:
        """Refuse angles that do not rise from top to throat, or that make no cone."""
        for field, value in (("top_angle", self.top), ("throat_angle", self.throat)):
            if not LEAST_DEG <= value <= MOST_DEG:
                _refuse(field, f"{value:g} deg", f"{LEAST_DEG:g} to {MOST_DEG:g} deg")
        if not self.top < self.seat:
            _refuse(
                "top_angle",
                f"{self.top:g} deg beside a seat of {self.seat:g} deg",
                "a top cut flatter than the seat: top_angle < seat_angle",
            )
        if not self.seat < self.throat:
            _refuse(
                "throat_angle",
                f"{self.throat:g} deg beside a seat of {self.seat:g} deg",
                "a throat cut steeper than the seat: throat_angle > seat_angle",
            )
        if not LEAST_DEG <= self.face <= MOST_DEG:
            _refuse(
                "interference_angle",
                f"a valve face of {self.face:g} deg",
                "an angle of a few degrees at most",
            )


@dataclass(frozen=True, slots=True)
class Seat:
    """A seat on its valve: diameters [mm], depths of its edges below the valve head's face [mm].

    `gap_mm` is what stands open at the edge that does not touch, along the axis.
    """

    outer_mm: float
    inner_mm: float
    outer_depth_mm: float
    inner_depth_mm: float
    gap_mm: float


def tangent(angle_deg: float) -> float:
    """Drop of a cone per mm of radius [-]; angle_deg [deg]."""
    return math.tan(math.radians(angle_deg))


def seat_diameters_mm(
    valve_mm: float, inset_mm: float, width_mm: float, seat_deg: float
) -> tuple[float, float]:
    """Outer and inner diameter of the seat [mm].

    valve_mm    diameter of the valve head [mm]
    inset_mm    radial distance of the seat's outer edge in from the valve's edge [mm]
    width_mm    width along the seat's face [mm]
    seat_deg    seat angle [deg]
    """
    outer = valve_mm - 2.0 * inset_mm
    inner = outer - 2.0 * width_mm * math.cos(math.radians(seat_deg))
    return outer, inner


def placed(
    valve_mm: float, margin_mm: float, outer_mm: float, inner_mm: float, angles: Angles
) -> Seat:
    """The seat in height, the valve resting on it.

    valve_mm    diameter of the valve head [mm]
    margin_mm   thickness of the valve's rim, from its face to where the cone begins [mm]
    outer_mm, inner_mm   diameters of the seat [mm]

    A seat steeper than the valve's face touches at its outer edge, a flatter one at its inner.
    """
    out, into = 0.5 * (valve_mm - outer_mm), 0.5 * (outer_mm - inner_mm)
    gap = into * abs(tangent(angles.seat) - tangent(angles.face))
    if angles.seat >= angles.face:
        outer = margin_mm + out * tangent(angles.face)
        return Seat(outer_mm, inner_mm, outer, outer + into * tangent(angles.seat), gap)
    inner = margin_mm + (out + into) * tangent(angles.face)
    return Seat(outer_mm, inner_mm, inner - into * tangent(angles.seat), inner, gap)


def cone_diameter_mm(edge_mm: float, rise_mm: float, angle_deg: float) -> float:
    """Diameter at which a cone from the diameter `edge_mm` outward has risen by `rise_mm` [mm]."""
    return edge_mm + 2.0 * rise_mm / tangent(angle_deg)


def cone_rise_mm(edge_mm: float, at_mm: float, angle_deg: float) -> float:
    """How far a cone from the diameter `edge_mm` has risen at the diameter `at_mm` [mm]."""
    return 0.5 * (at_mm - edge_mm) * tangent(angle_deg)


def feed_per_mm(first_deg: float, second_deg: float) -> float:
    """Feed along the axis that moves the edge between two cones by 1 mm of diameter [mm/mm].

    Half of |tan a - tan b|; either cone may be the one that is fed.
    """
    return 0.5 * abs(tangent(first_deg) - tangent(second_deg))


def sink_mm(metal_mm: float, angle_deg: float) -> float:
    """How far the valve sinks [mm] when `metal_mm` comes off square to a face of `angle_deg`."""
    return metal_mm / math.cos(math.radians(angle_deg))


def widening_mm(feed_mm: float, angles: Angles) -> float:
    """Growth of the seat's width along its face [mm] for `feed_mm` of the seat cutter [mm].

    Both edges run along the cuts above and below: f (1/(tan a - tan top) + 1/(tan throat - tan a))
    over cos a, while those two are left alone.
    """
    seat = tangent(angles.seat)
    out = feed_mm / (seat - tangent(angles.top))
    into = feed_mm / (tangent(angles.throat) - seat)
    return (out + into) / math.cos(math.radians(angles.seat))


def _refuse(field: str, given: str, accepted: str) -> None:
    raise BadRequest(
        f"{field}: {given} is not possible here.", hint=f"Accepted: {accepted}.", field=field
    )
