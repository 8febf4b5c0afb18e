"""Cut: the three faces of a seat, where they lie in the insert, and what feeding a cutter does."""

from __future__ import annotations

from pydantic import Field

from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import Position
from specdb.records.published import PublishedRow
from specdb.records.quantities import Allowance, Angle, Diameter, FaceAngle, Length, Size


class SeatCut(Frozen):
    """How a seat is to be cut, as far as it does not depend on the ring. Angles are from the plane
    square to the guide axis: a 45 degree seat is 90 included."""

    seat_angle: FaceAngle = Field(45.0, description="Angle of the seat (45 = 90 included).")
    seat_width: Size | None = Field(
        None, description="Width along the seat's face; not given, what the trade cuts."
    )
    inset: Allowance | None = Field(
        None, description="Seat edge in from valve edge, each side; not given, the trade's."
    )
    top_angle: FaceAngle | None = Field(
        None, description="Cut above the seat; not given, 30 over a 45 degree seat, else 15."
    )
    throat_angle: FaceAngle = Field(60.0, description="Cut below the seat.")
    interference_angle: Angle = Field(
        0.0, description="Seat angle less the angle of the valve's face."
    )
    margin: Size | None = Field(None, description="Thickness of the valve's rim.")
    recess: Length | None = Field(
        None, description="Valve face below the deck (+) or above it (-); not given, flush."
    )
    inclination: Angle = Field(0.0, description="Valve axis to the square of the deck.")


class CutRequest(SeatCut):
    """A valve, the seat wanted, and the insert it is cut into. mm and degrees."""

    valve_diameter: Diameter = Field(description="Diameter of the valve head.")
    position: Position = Field("exhaust", description="Which valve; inlet is intake.")
    insert_diameter: Diameter | None = Field(None, description="Outside diameter of the insert.")
    insert_inner: Diameter | None = Field(None, description="Inside diameter of the insert.")
    height: Size | None = Field(None, description="Height of the insert.")
    insert_depth_below_deck: Length = Field(
        0.0, description="Insert below the head face (+), proud (-)."
    )
    taken_off: Allowance | None = Field(
        None, description="Metal to come off the seat, square to its face."
    )


class CutResult(Answer):
    """The seat, face by face. mm; depths along the guide axis.

    `seat_outer_mm` and `seat_inner_mm` are its diameters. `top_face_outer_mm` is where the top
    cut comes out at the insert's upper face, `throat_face_inner_mm` where the throat cut ends in
    the insert's bore. `*_below_valve_mm` is measured from the valve head's face, `*_below_deck_mm`
    from the deck with the recess in. `feed_per_mm`, for each crossing: feed for 1 mm change of the
    diameter there. `insert_carries`: all three faces lie in the insert (None: not enough told).
    """

    seat_outer_mm: float
    seat_inner_mm: float
    seat_width_mm: float
    seat_angle_deg: float
    top_angle_deg: float
    throat_angle_deg: float
    valve_face_angle_deg: float
    inset_mm: float
    top_face_outer_mm: float
    throat_face_inner_mm: float
    feed_per_mm: dict[str, float]
    widens_per_tenth_mm: float
    """Growth of the width for 0.10 mm feed of the seat cutter, top and throat left alone."""
    sink_per_mm: float
    """How far the valve sinks for 1 mm off the seat, square to its face."""
    sinks_mm: float | None
    width_after_mm: float | None
    seat_outer_below_valve_mm: float | None
    seat_inner_below_valve_mm: float | None
    seat_outer_below_deck_mm: float | None
    seat_inner_below_deck_mm: float | None
    top_cut_leaves_insert_mm: float | None
    """Where the top cut reaches the insert's outside: depth below the deck."""
    metal_below_seat_mm: float | None
    contact_width_mm: float | None
    contact_gap_mm: float | None
    """Open at the edge that does not touch, where an interference angle is used."""
    deck_spread_mm: float
    """Inclined valve: how much deeper the seat's edge lies below the deck on one side."""
    insert_carries: bool | None
    why: str
    remarks: tuple[str, ...]
    widths: tuple[PublishedRow, ...]
    places: tuple[PublishedRow, ...]
    sources: tuple[str, ...]
