"""One seat on one line: what a table of a head, a CSV row and the sheet say of it.

Rounded for people as `bench` rounds: bores to 0.005 mm inward, settings to 0.01, temperatures to
5 degC, seconds down.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from specdb.answers import advice
from specdb.answers.steps import NONE
from specdb.physics import geometry
from specdb.records.seat import BoringSetting, SeatPlan
from specdb.records.shrink import ShrinkPair
from specdb.records.sizes import GENERIC, Candidate


class HeadLine(NamedTuple):
    """mm, degC, s; None where it does not apply or is not known. Where `measured_ring_less_mm` is
    told, heat and chill are for a bore made to the measured ring, less so much. It lets go with
    head and ring at `lets_go_c`, at the worst from `lets_go_from_c` on."""

    label: str
    position: str
    do: str
    ring_outer_mm: float | None
    ring_inner_mm: float | None
    ring_height_mm: float | None
    ring_from: str | None
    ring_part: str | None
    insert: str
    bore_mm: float | None
    bore_least_mm: float | None
    bore_most_mm: float | None
    depth_mm: float | None
    pilot_mm: float | None
    tip_over_pilot_mm: float | None
    first_tip_over_pilot_mm: float | None
    old_ring_tip_mm: float | None
    measured_ring_less_mm: float | None
    press_least_mm: float | None
    press_greatest_mm: float | None
    press_wanted_least_mm: float | None
    press_wanted_greatest_mm: float | None
    head_c: int | None
    chill: str | None
    ring_c: int | None
    entry: str | None
    hand_seconds: str | None
    bore_seconds: str | None
    lets_go_c: int | None
    lets_go_from_c: int | None
    bridge_left_mm: float | None
    look_at: str


def past_wanted(each: HeadLine) -> str:
    """The press wanted, mm, where some ring and bore inside their limits get more or less."""
    least, most = each.press_wanted_least_mm, each.press_wanted_greatest_mm
    low, high = each.press_least_mm, each.press_greatest_mm
    if least is None or most is None or low is None or high is None:
        return ""
    return f"{least:.3f} to {most:.3f} mm" if low < least or high > most else ""


LEAVE, BORE, NOTHING = "as found", "bore", "no size"


def line(plan: SeatPlan) -> HeadLine:
    """The line of a plan."""
    told: dict[str, Any] = dict.fromkeys(HeadLine._fields)
    told |= {
        "label": plan.label,
        "position": plan.readings.position,
        "do": NOTHING if plan.chosen is None else BORE if plan.boring else LEAVE,
        "insert": plan.readings.insert,
        "depth_mm": plan.readings.depth,
        "pilot_mm": plan.readings.pilot,
        "look_at": "; ".join(plan.problems),
    }
    told |= _of_ring(plan.chosen) if plan.chosen else {}
    told |= _of_bore(plan.boring) if plan.boring else {}
    if plan.removal and plan.removal.safe and plan.removal.tip_over_pilot_mm is not None:
        told["old_ring_tip_mm"] = geometry.to_setting(plan.removal.tip_over_pilot_mm)
    if plan.to_measured_ring:
        told["measured_ring_less_mm"] = round(plan.to_measured_ring.press_mm, 3)
    told |= _of_heat(plan.shrink.chosen) if plan.shrink and plan.shrink.chosen else {}
    if plan.fit and plan.fit.grip_lost_c:
        at = plan.fit.grip_lost_c
        told["lets_go_c"] = int(geometry.to_temperature(at.value))
        told["lets_go_from_c"] = int(geometry.to_temperature(at.low))
    return HeadLine(**told)


def _of_ring(ring: Candidate) -> dict[str, Any]:
    left = ring.bridge_left_mm
    return {
        "ring_outer_mm": round(ring.outer_mm, 3),
        "ring_inner_mm": round(ring.inner_mm, 3),
        "ring_height_mm": round(ring.height_mm, 3),
        "ring_from": ring.origin,
        "ring_part": None if ring.origin == GENERIC else ring.size,
        "press_least_mm": round(ring.press_least_mm, 3),
        "press_greatest_mm": round(ring.press_greatest_mm, 3),
        "press_wanted_least_mm": round(ring.interference_min_mm, 3),
        "press_wanted_greatest_mm": round(ring.interference_max_mm, 3),
        "bridge_left_mm": None if left is None else round(left, 2),
    }


def _of_bore(bored: BoringSetting) -> dict[str, Any]:
    return {
        "bore_mm": bored.bore_mm,
        "bore_least_mm": bored.bore_least_mm,
        "bore_most_mm": bored.bore_most_mm,
        "tip_over_pilot_mm": bored.tip_over_pilot_mm,
        "first_tip_over_pilot_mm": bored.first_tip_over_pilot_mm,
    }


def _of_heat(pair: ShrinkPair) -> dict[str, Any]:
    cold = pair.chill != NONE
    # A pressed ring touches from the first: it has no time in the bore.
    in_bore = pair.bore_seconds if pair.verdict == "drop-in" else None
    return {
        "head_c": advice.to_five(pair.head_temperature_c),
        "chill": pair.chill,
        "ring_c": round(pair.insert_temperature_c) if cold else None,
        "entry": pair.verdict,
        "hand_seconds": _hand(pair),
        "bore_seconds": in_bore and advice.seconds_down(in_bore.low),
    }


def _hand(pair: ShrinkPair) -> str | None:
    """Time in the hand: until the ring touches, or until a light press is no longer enough."""
    clock = pair.light_seconds if pair.verdict == "light-press" else pair.air_seconds
    return None if clock is None else advice.seconds_down(clock.low)
