"""The setting of the boring tool for a chosen ring: bore, limits, tip over pilot, first cut."""

from __future__ import annotations

from specdb.physics import geometry
from specdb.records.seat import BoringSetting, SeatReadings
from specdb.records.sizes import Candidate

FIRST_CUT_UNDER_MM = 0.10
"""The first cut is taken this much small, measured, and the setting corrected (common practice)."""


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
    target = sum(limits) / 2
    first = target - FIRST_CUT_UNDER_MM
    if request.pilot is None:
        unknown["boring.tip_over_pilot_mm"] = "the pilot's measured diameter (pilot) was not told"
    return BoringSetting(
        bore_mm=target,
        bore_least_mm=limits[0],
        bore_most_mm=limits[1],
        depth_mm=request.depth,
        pilot_mm=request.pilot,
        tip_over_pilot_mm=_tip(request.pilot, target),
        first_cut_under_mm=FIRST_CUT_UNDER_MM,
        first_bore_mm=first,
        first_tip_over_pilot_mm=_tip(request.pilot, first),
    )


def _tip(pilot: float | None, bore: float) -> float | None:
    if pilot is None:
        return None
    return geometry.to_setting(geometry.tip_over_pilot_mm(pilot, bore))
