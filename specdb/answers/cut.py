"""Cut: the three faces of a seat, their place in the insert, and what feeding a cutter does."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from specdb.answers import published
from specdb.answers.cut_wanted import Wanted, wanted
from specdb.answers.evidence import conclude
from specdb.answers.trade_limits import Limit, limits
from specdb.errors import BadRequest
from specdb.physics import seat_faces
from specdb.physics.seat_faces import Seat
from specdb.records.cut import CutRequest, CutResult
from specdb.store.asof import Reader

BELOW = "height-below-seat-warn"
WIDTHS = ("seat-width", "seat-width-limit", "contact-width")
PLACES = ("seat-inset", "contact-position", "contact-inside-valve-edge", "uncovered-face")
TENTH_MM = 0.10
CARRIES = "whether the insert carries all three faces"
FLOAT_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Cut:
    """The seat worked out, and the insert it lies in; depths below the deck, mm."""

    want: Wanted
    seat: Seat
    outer: float
    """Depth of the seat's outer edge."""
    inner: float
    """Depth of its inner edge."""
    insert_top: float
    insert_bottom: float | None
    insert_outer: float | None
    inclination: float
    top_face: float
    """Diameter at which the top cut comes out at the insert's upper face."""
    throat_face: float

    @property
    def leaves(self) -> float | None:
        """Depth at which the top cut reaches the insert's outside."""
        if self.insert_outer is None:
            return None
        rise = seat_faces.cone_rise_mm(self.seat.outer_mm, self.insert_outer, self.want.angles.top)
        return self.outer - rise

    @property
    def metal_below(self) -> float | None:
        """Metal of the insert below the seat's inner edge, mm; None where nobody told its depth."""
        return None if self.insert_bottom is None else self.insert_bottom - self.inner


def cut(reader: Reader, request: CutRequest) -> CutResult:
    """The faces of a seat for a valve, as diameters, depths and feeds.

    Raises `BadRequest` for angles that do not rise from top to throat and for a seat the insert
    cannot carry at all.
    """
    below = limits(reader, (BELOW,))[BELOW]
    want = wanted(reader, request)
    made = _cut(request, want)
    carries, why = _carries(made, below)
    rows = (*want.rows, below.row)
    valve, position = request.valve_diameter, request.position
    return conclude(
        CutResult,
        reader,
        topics=("cut-seat", "sodium-valve"),
        rows=rows,
        assumed=want.assumed,
        unknown=_unknown(request, made, carries, why),
        **_faces(request, made),
        **_feeds(request, want),
        **_heights(made),
        insert_carries=carries,
        why=why,
        remarks=(*want.remarks, *_remarks(request, made, below)),
        widths=published.rows(reader, "seat_geometry", WIDTHS, position, valve_mm=valve),
        places=published.rows(reader, "seat_geometry", PLACES, position, valve_mm=valve),
        sources=tuple(sorted(set(rows))),
    )


def _faces(request: CutRequest, made: Cut) -> dict[str, Any]:
    """Diameters and angles of the three faces, and where valve and seat touch."""
    want, angles = made.want, made.want.angles
    line = bool(request.interference_angle)
    return {
        "seat_outer_mm": made.seat.outer_mm,
        "seat_inner_mm": made.seat.inner_mm,
        "seat_width_mm": want.width,
        "seat_angle_deg": angles.seat,
        "top_angle_deg": angles.top,
        "throat_angle_deg": angles.throat,
        "valve_face_angle_deg": angles.face,
        "inset_mm": want.inset,
        "top_face_outer_mm": made.top_face,
        "throat_face_inner_mm": made.throat_face,
        "contact_width_mm": None if line else want.width,
        "contact_gap_mm": made.seat.gap_mm if line else None,
    }


def _feeds(request: CutRequest, want: Wanted) -> dict[str, Any]:
    """What feeding a cutter and taking metal off the face do."""
    angles, off = want.angles, request.taken_off
    sinks = None if off is None else seat_faces.sink_mm(off, angles.seat)
    wider = None if sinks is None else want.width + seat_faces.widening_mm(sinks, angles)
    return {
        "feed_per_mm": {
            "top": seat_faces.feed_per_mm(angles.seat, angles.top),
            "throat": seat_faces.feed_per_mm(angles.seat, angles.throat),
        },
        "widens_per_tenth_mm": seat_faces.widening_mm(TENTH_MM, angles),
        "sink_per_mm": seat_faces.sink_mm(1.0, angles.seat),
        "sinks_mm": sinks,
        "width_after_mm": wider,
    }


def _heights(made: Cut) -> dict[str, Any]:
    """Where the seat lies; without the valve's rim thickness that is not known."""
    tilt = math.radians(abs(made.inclination))
    placed = {
        "seat_outer_below_valve_mm": made.seat.outer_depth_mm,
        "seat_inner_below_valve_mm": made.seat.inner_depth_mm,
        "seat_outer_below_deck_mm": made.outer,
        "seat_inner_below_deck_mm": made.inner,
        "top_cut_leaves_insert_mm": made.leaves,
        "metal_below_seat_mm": made.metal_below,
    }
    told = made.want.margin_told
    return {
        **{name: depth if told else None for name, depth in placed.items()},
        "deck_spread_mm": made.seat.outer_mm * math.sin(tilt),
    }


def _cut(request: CutRequest, want: Wanted) -> Cut:
    valve, angles = request.valve_diameter, want.angles
    outer, inner = seat_faces.seat_diameters_mm(valve, want.inset, want.width, angles.seat)
    _check(request, want, outer, inner)
    seat = seat_faces.placed(valve, want.margin, outer, inner, angles)
    top, height = request.insert_depth_below_deck, request.height
    edge, low = want.recess + seat.outer_depth_mm, want.recess + seat.inner_depth_mm
    rise = max(edge - top, 0.0)
    bottom = None if height is None else top + height
    return Cut(
        want=want,
        seat=seat,
        outer=edge,
        inner=low,
        insert_top=top,
        insert_bottom=bottom,
        insert_outer=request.insert_diameter,
        inclination=request.inclination,
        top_face=seat_faces.cone_diameter_mm(outer, rise, angles.top),
        throat_face=_throat_face(inner, low, bottom, want),
    )


def _check(request: CutRequest, want: Wanted, outer: float, inner: float) -> None:
    if inner <= 0.0:
        raise BadRequest(
            f"seat_width: a seat {want.width:g} mm wide, {want.inset:g} mm in, is more than a "
            f"valve of {request.valve_diameter:g} mm has.",
            hint="Accepted: inset and width well inside the valve's radius.",
            field="seat_width",
        )
    if request.insert_diameter is not None and outer >= request.insert_diameter:
        raise BadRequest(
            f"the seat is {outer:.2f} mm outside, the insert only {request.insert_diameter:g} mm: "
            f"no ring for a valve of {request.valve_diameter:g} mm.",
            hint="Accepted: insert_diameter larger than the seat cut into it. Check "
            "valve_diameter: intake and exhaust may be swapped.",
            field="insert_diameter",
        )
    if request.insert_inner is not None and inner < request.insert_inner - FLOAT_MM:
        raise BadRequest(
            f"the seat goes in to {inner:.2f} mm, the insert is open to "
            f"{request.insert_inner:g} mm: it is wider than the insert carries.",
            hint="Accepted: a smaller seat_width, less inset, or a smaller insert_inner.",
            field="seat_width",
        )


def _throat_face(inner: float, depth: float, bottom: float | None, want: Wanted) -> float:
    """Diameter where the throat cut ends: in the insert's bore, or sooner at its bottom."""
    bore = min(want.throat, inner)
    if bottom is None:
        return bore
    at_bottom = seat_faces.cone_diameter_mm(inner, -max(bottom - depth, 0.0), want.angles.throat)
    return max(bore, at_bottom)


def _carries(made: Cut, below: Limit) -> tuple[bool | None, str]:
    """Whether all three faces lie in the insert, and why."""
    faults = list(_faults(made))
    if faults:
        return False, "; ".join(faults)
    if not made.want.margin_told:
        return None, f"{CARRIES} is not known without the valve's rim thickness (margin)"
    if made.insert_outer is None or made.metal_below is None:
        return None, f"{CARRIES} is not known without insert_diameter and height"
    return True, "top, seat and throat all lie in the insert"


def _faults(made: Cut) -> Iterator[str]:
    """Only what is so for certain: a rim thicker than the least assumed lies deeper still."""
    leaves = made.leaves
    if leaves is not None and leaves > made.insert_top + FLOAT_MM:
        sure = "" if made.want.margin_told else ", with the thinnest rim already (give margin)"
        if not made.want.recess_told:
            sure += "; valve taken flush with the deck (give recess)"
        yield (
            "top cut runs off the insert into the head: it reaches the insert's outside "
            f"{leaves - made.insert_top:.2f} mm below the insert's face{sure}"
        )
    if made.want.margin_told and made.outer < made.insert_top - FLOAT_MM:
        yield (
            f"the seat's outer edge lies {made.insert_top - made.outer:.2f} mm above the insert's "
            "face: the valve needs more recess, or the insert must stand higher"
        )
    if made.metal_below is not None and made.metal_below <= 0.0:
        yield "the seat runs through the bottom of the insert"


def _remarks(request: CutRequest, made: Cut, below: Limit) -> Iterator[str]:
    left, least = made.metal_below, below.value
    if left is not None and left < least:
        most = "" if made.want.margin_told else "at most "
        yield (
            f"Only {most}{left:.2f} mm of insert left below the seat; under {least:g} mm is a "
            "warning."
        )
    across, of = (
        (made.insert_outer, "insert")
        if made.insert_outer is not None
        else (request.valve_diameter, "valve")
    )
    if made.top_face > 1.5 * across:
        yield (
            f"The top cut would come out at {made.top_face:.1f} mm, on a {of} of {across:g} mm: no "
            "seat is cut like that. Check margin and recess."
        )
    if made.throat_face >= made.seat.inner_mm - FLOAT_MM:
        yield "The seat reaches the bore: no metal is left inside it for a throat cut."
    leaves = made.leaves
    if leaves is not None and leaves > made.insert_top + FLOAT_MM:
        yield (
            "The insert would carry the top cut with the valve that much less recessed or the "
            f"insert's face {leaves:.2f} mm below the deck; else blend the head by hand."
        )
    if request.interference_angle:
        edge = "outer" if request.interference_angle > 0 else "inner"
        yield (
            f"With an interference angle the valve first touches on a line at the seat's {edge} "
            "edge: seat width is not contact width."
        )
    if request.inclination:
        yield (
            "Inclined valve: depths are along the guide axis, at the axis; measure recess and "
            "setback from the insert's face, not from the deck."
        )
    if request.taken_off:
        yield "Narrow again with the top and throat cuts to bring the width back."
    yield "The feeds are for separate cutters or stones; a formed bit has fixed widths."


def _unknown(request: CutRequest, made: Cut, carries: bool | None, why_not: str) -> dict[str, str]:
    unknown: dict[str, str] = {}
    if request.taken_off is None:
        why = "how much comes off the seat (taken_off) was not told"
        unknown |= dict.fromkeys(("sinks_mm", "width_after_mm"), why)
    needed = [] if made.want.margin_told else ["margin"]
    if needed:
        why = "the valve's rim thickness (margin) was not told"
        unknown |= {
            f"seat_{edge}_below_{what}_mm": why
            for edge in ("outer", "inner")
            for what in ("valve", "deck")
        }
    for field, told, name in (
        ("top_cut_leaves_insert_mm", request.insert_diameter, "insert_diameter"),
        ("metal_below_seat_mm", request.height, "height"),
    ):
        missing = needed + ([] if told is not None else [name])
        if missing:
            unknown[field] = f"not told: {', '.join(missing)}"
    if request.interference_angle:
        unknown["contact_width_mm"] = "a line at one edge until valve and seat have bedded in"
    else:
        unknown["contact_gap_mm"] = "no interference angle: seat and valve face touch all over"
    if carries is None:
        unknown["insert_carries"] = why_not
    return unknown
