"""The setting of the boring tool for a chosen ring: bore, limits, tip over pilot, first cut."""

from __future__ import annotations

from collections.abc import Mapping

from specdb.errors import BadRequest
from specdb.physics import geometry
from specdb.records.seat import BoringSetting, SeatReadings
from specdb.records.sizes import Candidate
from specdb.units.words import INCH

FIRST_CUT_UNDER_MM = 0.10
"""The first cut is taken this much small, measured, and the setting corrected (common practice)."""


LIMITS = (
    ("bore_least_mm", "bore_most_mm"),
    ("bore_min_mm", "bore_max_mm"),
    ("cut_min_mm", "cut_max_mm"),
    ("ream_min_mm", "ream_max_mm"),
    ("ream_head_min_mm", "ream_head_max_mm"),
    ("liner_bore_min_mm", "liner_bore_max_mm"),
)
"""Fields that are the two limits something is bored to."""


def check_pilot(pilot: float | None, hole: float, what: str) -> None:
    """Refuse a pilot that does not go through `hole` mm, the inside of `what`."""
    if pilot is not None and pilot >= hole:
        raise BadRequest(
            f"pilot: {pilot:g} mm is not smaller than {what}, {hole:g} mm.",
            hint="Accepted: the pilot's diameter where the micrometer rests, in the guide.",
            field="pilot",
        )


def narrowed(chosen: Candidate, least: float, most: float) -> Candidate:
    """The same ring bored between `least` and `most`, mm, which lie inside its own limits: what a
    setting shared with other seats leaves of them."""
    if chosen.cut_min_mm is None or chosen.cut_max_mm is None:
        return chosen
    up, down = least - chosen.cut_min_mm, chosen.cut_max_mm - most
    changed = {
        "cut_min_mm": least,
        "cut_max_mm": most,
        "bore_target_mm": (least + most) / 2,
        "clean_up_mm": chosen.clean_up_mm + up,
        "clean_up_each_side_mm": (chosen.clean_up_mm + up) / 2,
        "press_least_mm": chosen.press_least_mm + down,
        "press_greatest_mm": chosen.press_greatest_mm - up,
    }
    if chosen.bridge_left_mm is not None:
        changed["bridge_left_mm"] = chosen.bridge_left_mm - up / 2
    if chosen.bore_min_as_read_mm is not None and chosen.bore_max_as_read_mm is not None:
        changed["bore_min_as_read_mm"] = chosen.bore_min_as_read_mm * least / chosen.cut_min_mm
        changed["bore_max_as_read_mm"] = chosen.bore_max_as_read_mm * most / chosen.cut_max_mm
    return chosen.model_copy(update=changed)


def inches(least_mm: float, most_mm: float) -> tuple[float, float]:
    """Both limits of a bore in inches, moved inward to what an inch micrometer reads, two tenths
    of a thou; as they are where nothing it reads lies between."""
    least, most = geometry.inward(least_mm, most_mm, geometry.BORE_STEP_IN) or (least_mm, most_mm)
    return least / INCH, most / INCH


def limits_in_inches(record: object) -> Mapping[str, str]:
    """The inches of a record's limits by field, rounded inward: for every face."""
    found: dict[str, str] = {}
    for least, most in LIMITS:
        low, high = getattr(record, least, None), getattr(record, most, None)
        if isinstance(low, float) and isinstance(high, float):
            both = inches(low, high)
            found |= {least: f"{both[0]:.4f} in", most: f"{both[1]:.4f} in"}
    return found


def setting(
    chosen: Candidate | None, request: SeatReadings, unknown: dict[str, str]
) -> BoringSetting | None:
    """The setting, or None with the reason in `unknown`: nothing is bored where a ring goes in as
    found. Without a pilot the bore is given and the tip over pilot is not known."""
    if chosen is None or chosen.cut_min_mm is None or chosen.cut_max_mm is None:
        why = "the ring goes in as found" if chosen else "no size serves"
        unknown["boring"] = f"nothing is bored: {why}"
        return None
    low, high = chosen.cut_min_mm, chosen.cut_max_mm
    limits = geometry.inward(low, high, geometry.BORE_STEP_MM) or (low, high)
    target = middle(*limits)
    first = round(target - FIRST_CUT_UNDER_MM, 4)
    if request.pilot is None:
        unknown["boring.tip_over_pilot_mm"] = "the pilot's measured diameter (pilot) was not told"
    return BoringSetting(
        bore_mm=target,
        bore_least_mm=limits[0],
        bore_most_mm=limits[1],
        depth_mm=request.depth,
        pilot_mm=request.pilot,
        tip_over_pilot_mm=tip(request.pilot, target),
        first_cut_under_mm=FIRST_CUT_UNDER_MM,
        first_bore_mm=first,
        first_tip_over_pilot_mm=tip(request.pilot, first),
    )


def middle(least: float, most: float) -> float:
    """What to aim at between two limits, mm, without the noise of binary fractions."""
    return round((least + most) / 2, 4)


def tip(pilot: float | None, bore: float) -> float | None:
    """Tip over pilot for a bore, mm, to 0.01; None without a pilot."""
    if pilot is None:
        return None
    return geometry.to_setting(geometry.tip_over_pilot_mm(pilot, bore))
