"""What a seat is cut to where nobody said: width, inset, angles, rim and throat of the trade."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from specdb.answers.published import common_practice, middle
from specdb.errors import BadRequest, NotKnown
from specdb.physics.seat_faces import Angles
from specdb.records.cut import CutRequest
from specdb.store.asof import Reader
from specdb.store.query import limits as limit_rows

FEATURES = ("seat-width", "seat-inset", "margin-minimum", "top-angle")
NEAR_MM = 3.0
"""A valve larger by up to this than those a rule is for is told of that rule too."""
THICK = 2.0
"""A rim so many times the largest minimum published is a slip of the pen: from memory, new
valves have up to about twice what they may be ground to."""
STEEP_DEG = 35.0
"""Seats steeper than this get the usual 30 degree top cut, flatter ones 15."""


@dataclass
class Wanted:
    """The seat to cut, mm and degrees, with what was taken for granted and the rows used."""

    width: float
    inset: float
    angles: Angles
    margin: float
    margin_told: bool
    recess: float
    throat: float
    recess_told: bool = False
    remarks: list[str] = field(default_factory=list)
    """Which of two rules that both speak of the valve was followed."""
    assumed: list[str] = field(default_factory=list)
    rows: list[str] = field(default_factory=list)


def wanted(reader: Reader, request: CutRequest) -> Wanted:
    """The seat asked for, filled up from the trade's rows; raises `BadRequest`, `NotKnown`."""
    rows = limit_rows.features(reader, "seat_geometry", FEATURES)
    assumed: list[str] = []
    used: list[str] = []

    remarks: list[str] = []

    def usual(feature: str, words: str) -> float:
        mine = [row for row in rows if row["feature"] == feature]
        row = common_practice(mine, request.position, request.valve_diameter)
        if row is None:
            raise NotKnown(f"this data release holds no usual {words}.", hint="Say which.")
        used.append(row["id"])
        value, how = middle(row), ""
        wider = _wider(mine, row, request.position)
        if wider is not None:
            value, how = float(row["maximum_house"]), "the widest end "
            used.append(wider["id"])
            remarks.append(_two_rules(row, wider, value))
        remarks.extend(_just_over(mine, words, request.valve_diameter))
        assumed.append(f"{words} {value:g} mm{_between(row, how)} (common practice){_for(row)}")
        return value

    width = request.seat_width or usual("seat-width", "seat width")
    inset = usual("seat-inset", "inset") if request.inset is None else request.inset
    margin = request.margin or usual("margin-minimum", "valve rim not told: the least allowed,")
    made = Wanted(width, inset, _angles(request), margin, request.margin is not None, 0.0, 0.0)
    made.assumed, made.rows, made.remarks = assumed, used, remarks
    made.recess_told = request.recess is not None
    _thick_rim(request, rows, made)
    if request.top_angle is None:
        assumed.append(f"top cut of {made.angles.top:g} degrees")
        used += [row["id"] for row in rows if _is_top(row, made.angles.top)]
    if request.recess is None:
        assumed.append("valve face flush with the deck: recess not told")
    made.recess = request.recess or 0.0
    made.throat = _throat(reader, request, made)
    return made


def _thick_rim(request: CutRequest, rows: Sequence[Mapping[str, Any]], made: Wanted) -> None:
    """Remark a rim no valve has: the seat would lie that much too deep, the top cut go too wide."""
    least = [row for row in rows if row["feature"] == "margin-minimum" and row["basis"] == "stands"]
    if request.margin is None or not least:
        return
    thickest = max(least, key=lambda row: float(row["minimum_house"]))
    if request.margin > THICK * float(thickest["minimum_house"]):
        made.rows.append(thickest["id"])
        made.remarks.insert(
            0,
            f"A rim of {request.margin:g} mm (margin) is more than valves have: the largest "
            f"minimum published is {thickest['minimum_house']:.2f} mm ({thickest['id']}). Measure "
            "the straight rim above the face alone.",
        )


def _between(row: Mapping[str, Any], how: str = "") -> str:
    low, high = row["minimum_house"], row["maximum_house"]
    return "" if low is None or high is None or low == high else f", {how}of {low:g} to {high:g}"


def _for(row: Mapping[str, Any]) -> str:
    """Which valves a rule is for, where it is not for all."""
    most = row["valve_to_mm"]
    return "" if most is None else f": the rule of a valve up to {most:g} mm ({row['note']})"


def _wider(
    rows: Sequence[Mapping[str, Any]], row: Mapping[str, Any], position: str
) -> Mapping[str, Any] | None:
    """The rule for seats of this very position, where the one for small valves says less than it:
    both speak of the valve, and an exhaust seat is kept wide to carry heat."""
    if row["valve_to_mm"] is None or row["position"] != "any":
        return None
    other = common_practice(rows, position)
    if other is None or other["position"] != position or position != "exhaust":
        return None
    return other if other["minimum_house"] > row["maximum_house"] else None


def _just_over(rows: Sequence[Mapping[str, Any]], words: str, valve: float) -> Iterator[str]:
    """That a rule for smaller valves ends just below this one, and says something else."""
    for row in rows:
        most = row["valve_to_mm"]
        if most is not None and row["basis"] == "stands" and 0.0 < valve - most <= NEAR_MM:
            yield (
                f"A valve of {valve:g} mm is just over the {most:g} mm to which the rule for small "
                f"valves goes: {words} {row['minimum_house']:g} to {row['maximum_house']:g} mm "
                f"({row['note']}; {row['id']})."
            )


def _two_rules(row: Mapping[str, Any], wider: Mapping[str, Any], value: float) -> str:
    return (
        f"Two rules speak of this exhaust seat: {row['minimum_house']:g} to "
        f"{row['maximum_house']:g} mm for a valve up to {row['valve_to_mm']:g} mm ({row['id']}), "
        "and "
        f"{wider['minimum_house']:g} to {wider['maximum_house']:g} mm for car sizes, kept wider to "
        f"carry heat ({wider['id']}). Taken: {value:g} mm, the widest of the first; where the "
        "maker's says more, cut that."
    )


def _is_top(row: Mapping[str, Any], angle: float) -> bool:
    here = row["feature"] == "top-angle" and row["basis"] == "stands"
    return here and bool(row["minimum_house"] == angle)


def _angles(request: CutRequest) -> Angles:
    if not 1.0 <= request.seat_angle <= 85.0:
        raise BadRequest(
            f"seat_angle: {request.seat_angle:g} deg is not possible here.",
            hint="Accepted: 1 to 85 deg from the plane square to the guide axis (45 = 90 "
            "included).",
            field="seat_angle",
        )
    top = request.top_angle
    if top is None:
        top = 30.0 if request.seat_angle > STEEP_DEG else 15.0
    angles = Angles(
        top,
        request.seat_angle,
        request.throat_angle,
        request.seat_angle - request.interference_angle,
    )
    angles.check()
    return angles


def _throat(reader: Reader, request: CutRequest, made: Wanted) -> float:
    """Diameter of the bore the throat cut runs out in."""
    if request.insert_inner is not None:
        return request.insert_inner
    rows = limit_rows.insert_features(reader, ("throat-to-valve",))
    row = common_practice(rows, request.position)
    if row is None:
        raise NotKnown("this data release holds no usual throat.", hint="Say insert_inner.")
    made.rows.append(row["id"])
    low, high = row["minimum_house"], row["maximum_house"]
    made.assumed.append(
        f"throat {middle(row):g} of the valve, of {low:g} to {high:g} (common practice): "
        "insert_inner not told"
    )
    return middle(row) * request.valve_diameter
