"""The words a machinist sees for the fields of results, in one place for every face.

Python and JSON keep the names of the records; a screen says what the shop says: squeeze in the
ring, stretch in the head, press. A name not listed here is shown as its own words.
"""

from __future__ import annotations

WORDS = {
    "advice": "what to do",
    "air_seconds": "time in the hand",
    "allowed": "advised",
    "as_found": "as found",
    "as_found_why": "why not as found",
    "assumed": "taken for granted",
    "bore_max_as_read_mm": "bore, largest, as it reads in the warm head",
    "bore_max_mm": "bore, largest",
    "bore_min_as_read_mm": "bore, smallest, as it reads in the warm head",
    "bore_min_mm": "bore, smallest",
    "bore_seconds": "time in the bore",
    "bore_target_mm": "aim at",
    "bridge_left_mm": "bridge left",
    "candidates": "sizes that serve",
    "chill": "chill",
    "chosen": "the mildest that serves",
    "clean_bore_mm": "smallest bore that cleans up",
    "clean_up_each_side_mm": "each side",
    "clean_up_mm": "to take out, on diameter",
    "clearance_mm": "clearance at entry",
    "clearance_wanted_mm": "clearance wanted",
    "covers": "for this diameter",
    "cut_max_mm": "bore to, largest",
    "cut_min_mm": "bore to, smallest",
    "decided_by": "decided by",
    "diameter_mm": "diameter",
    "drop_in": "the mildest that drops in",
    "gave": "rows it gave",
    "grip_lost_after_set_c": "lets go, once the ring has yielded, at",
    "grip_lost_c": "lets go when head and ring are both at",
    "head_hoop_bore_mpa": "stretch in the head at the bore",
    "head_limit_kind": "head, past its limit",
    "head_soak": "soak of the head",
    "head_strength_mpa": "strength of the head",
    "head_temperature_c": "head at",
    "head_von_mises_mpa": "combined stress in the head",
    "head_yield_ratio": "head, stress over strength",
    "heat": "head warmed in",
    "heat_limit_c": "ceiling for the head",
    "height_mm": "height",
    "hold_force_n": "force that holds it, least",
    "hub": "head metal",
    "inner_mm": "inside",
    "insert_hoop_bore_mpa": "squeeze in the ring at its inside",
    "insert_hoop_outer_mpa": "squeeze in the ring at its outside",
    "insert_limit_kind": "ring, past its limit",
    "insert_set_mm": "press lost as the ring yields",
    "insert_soak": "soak of the ring",
    "insert_strength_mpa": "strength of the ring",
    "insert_temperature_c": "ring at",
    "insert_von_mises_mpa": "combined stress in the ring",
    "insert_yield_ratio": "ring, stress over strength",
    "interference_cold_mm": "press at 20 degC",
    "interference_left_mm": "press left at entry",
    "interference_max_mm": "press, greatest",
    "interference_min_mm": "press, least",
    "interference_mm": "press",
    "largest_mm": "largest reading",
    "light_seconds": "time in the hand, for a light press",
    "margin_k": "may still warm by",
    "mean_mm": "mean",
    "origin": "from",
    "outer_as_read_mm": "ring as it reads",
    "outer_mm": "outside",
    "ovality_mm": "ovality",
    "oversize_mm": "oversize",
    "pairs": "heat and cold",
    "pocket_factor": "pocket against the two-ring formula",
    "press_force_n": "force to press it in",
    "press_greatest_mm": "press it gets, greatest",
    "press_least_mm": "press it gets, least",
    "pressure_formula_mpa": "pressure, two-ring formula",
    "pressure_mpa": "pressure, best estimate",
    "problems": "look at this",
    "rejected": "near misses",
    "remarks": "remarks",
    "ring_wall_mm": "ring wall",
    "running": "in the running engine",
    "serving": "heat and chill that serve",
    "smallest_mm": "smallest reading",
    "smoothing_mm": "press lost to smoothing",
    "taper_mm": "taper",
    "thin_metal": "with thin metal round the ring",
    "tip_over_pilot_mm": "tip over pilot",
    "unknown": "not known",
    "why": "why",
}

UNITS = {
    "mm": "mm",
    "mpa": "MPa",
    "n": "N",
    "c": "degC",
    "seconds": "s",
    "s": "s",
    "mm2": "mm2",
    "mm3": "mm3",
}
"""What the last word of a numeric field's name says about its unit."""


def said(name: str) -> str:
    """The words for a field: the list above, else its name without the unit, in plain words."""
    if name in WORDS:
        return WORDS[name]
    words = name.split("_")
    if len(words) > 1 and words[-1] in UNITS and words[-1] != "seconds":
        words = words[:-1]
    return " ".join(words)


def unit_of(name: str) -> str:
    """The unit a plain number's field name carries, or an empty text."""
    last = name.rpartition("_")[2]
    return UNITS.get(last, "") if "_" in name else ""


SHOWN: dict[str, tuple[str, ...]] = {
    "Candidate": (
        "outer_mm",
        "inner_mm",
        "height_mm",
        "as_found",
        "cut_min_mm",
        "cut_max_mm",
        "press_least_mm",
        "press_greatest_mm",
        "clean_up_mm",
        "origin",
    ),
    "Rejected": ("outer_mm", "inner_mm", "height_mm", "reason"),
    "RangeRow": ("minimum_mm", "maximum_mm", "decides", "seen", "printed", "why"),
    "ShrinkPair": (
        "head_temperature_c",
        "chill",
        "insert_temperature_c",
        "clearance_mm",
        "verdict",
        "allowed",
        "air_seconds",
        "bore_seconds",
        "why",
    ),
    "ShrinkResult": (
        "interference_mm",
        "clearance_wanted_mm",
        "heat_limit_c",
        "advice",
        "serving",
    ),
    "SeatPlan": ("label", "bench", "problems", "sizes", "fit", "shrink"),
    "SeatPlan.sizes": ("candidates", "rejected"),
    "SeatPlan.fit": (
        "hub",
        "interference_mm",
        "pressure_mpa",
        "insert_hoop_bore_mpa",
        "head_hoop_bore_mpa",
        "insert_yield_ratio",
        "head_yield_ratio",
        "press_force_n",
        "hold_force_n",
        "grip_lost_c",
        "running",
    ),
    "SeatPlan.shrink": ("heat_limit_c", "serving"),
    "RunningState": ("state", "head_temperature_c", "interference_mm", "why"),
}
"""Record, or a record inside another -> the fields worth a line on a screen, in order. A record not
listed shows all it has; every face shows the rest on demand."""
