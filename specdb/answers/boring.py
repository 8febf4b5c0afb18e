"""The setting of the boring tool for a chosen ring: bore, limits, tip over pilot, first cut."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from specdb.answers.trade_limits import Limit
from specdb.answers.windows import FLOAT_MM
from specdb.errors import BadRequest
from specdb.physics import geometry
from specdb.records.seat import BoringSetting, SeatReadings
from specdb.records.sizes import Candidate
from specdb.units.words import INCH

FEATURES = ("first-cut-under", "least-clean-cut")
"""The limit rows a first cut is judged by."""


class Trial(NamedTuple):
    """How a setting is tried, mm on diameter: the first cut is made `under` the finish, measured,
    and the setting corrected; a cut thinner than `least` rubs instead of cutting."""

    under: float
    least: float

    def first_bore(self, finish: float, hole: float) -> float | None:
        """What the first cut makes of a hole that is to become `finish`; None where two clean cuts
        are not to be had."""
        left = finish - hole
        if left >= self.under + self.least - FLOAT_MM:
            return round(finish - self.under, 4)
        if left >= 2 * self.least - FLOAT_MM:
            return middle(hole, finish)
        return None


def trial_by(trade: Mapping[str, Limit]) -> Trial:
    """How a setting is tried, by the trade's limits of `FEATURES`."""
    return Trial(*(trade[feature].value for feature in FEATURES))


def hole_of(largest: float, runout: float) -> float:
    """What a hole on the guide's axis must be larger than to be cut all round, mm."""
    return largest + runout


def no_first_cut(finish: float, hole: float, *, shared: bool = False) -> str:
    """Why no first cut is taken, and what is done instead; `shared`: the hole is the largest of
    those the setting serves."""
    where = " of the largest hole of this setting" if shared else ""
    return (
        f"only {finish - hole:.2f} mm to take out{where}: no first cut; set by the micrometer, "
        "touch the mouth 0.5 mm deep, measure, correct by half of what is missing"
    )


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


def printed(chosen: Candidate) -> Candidate:
    """The same ring bored between the limits as they are printed, rounded inward: the press told
    is that of the bores told, on every face."""
    if chosen.cut_min_mm is None or chosen.cut_max_mm is None:
        return chosen
    limits = geometry.inward(chosen.cut_min_mm, chosen.cut_max_mm, geometry.BORE_STEP_MM)
    return narrowed(chosen, *limits) if limits else chosen


def ring_minus(chosen: Candidate) -> float:
    """What a measured ring less its bore should come to, mm: the middle of the press."""
    return (chosen.press_least_mm + chosen.press_greatest_mm) / 2


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
    chosen: Candidate | None,
    request: SeatReadings,
    holes: tuple[float, float],
    trial: Trial,
    unknown: dict[str, str],
) -> BoringSetting | None:
    """The setting, or None with the reason in `unknown`: nothing is bored where a ring goes in as
    found. Without a pilot the bore is given and the tip over pilot is not known. `holes`: the
    largest hole of the seats that share the setting, by which its first cut is chosen, and this
    seat's own; mm, as `hole_of` gives them."""
    if chosen is None or chosen.cut_min_mm is None or chosen.cut_max_mm is None:
        why = "the ring goes in as found" if chosen else "no size serves"
        unknown["boring"] = f"nothing is bored: {why}"
        return None
    low, high = chosen.cut_min_mm, chosen.cut_max_mm
    limits = geometry.inward(low, high, geometry.BORE_STEP_MM) or (low, high)
    target = middle(*limits)
    hole, own = holes
    first = trial.first_bore(target, hole)
    if first is None:
        why = no_first_cut(target, hole, shared=hole > own + FLOAT_MM)
        unknown |= dict.fromkeys((NO_FIRST_CUT, "boring.first_tip_over_pilot_mm"), why)
    if request.pilot is None:
        unknown["boring.tip_over_pilot_mm"] = "the pilot's measured diameter (pilot) was not told"
    return BoringSetting(
        bore_mm=target,
        bore_least_mm=limits[0],
        bore_most_mm=limits[1],
        depth_mm=request.depth,
        pilot_mm=request.pilot,
        tip_over_pilot_mm=tip(request.pilot, target),
        first_cut_under_mm=None if first is None else round(target - first, 4),
        first_bore_mm=first,
        first_tip_over_pilot_mm=None if first is None else tip(request.pilot, first),
    )


NO_FIRST_CUT = "boring.first_bore_mm"
"""What `unknown` calls the first cut that is not taken."""


def middle(least: float, most: float) -> float:
    """What to aim at between two limits, mm, without the noise of binary fractions."""
    return round((least + most) / 2, 4)


def tip(pilot: float | None, bore: float) -> float | None:
    """Tip over pilot for a bore, mm, to 0.01; None without a pilot."""
    if pilot is None:
        return None
    return geometry.to_setting(geometry.tip_over_pilot_mm(pilot, bore))
