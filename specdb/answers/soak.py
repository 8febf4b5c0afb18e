"""How long ring and head stay in their media, by the rows of common practice."""

from __future__ import annotations

from specdb.answers.steps import NONE, Step
from specdb.answers.trade_limits import Limit
from specdb.estimate import Estimate, exact
from specdb.records.shrink import Soak

FEATURES = (
    "fit-soak-freezer",
    "fit-soak-dry-ice",
    "fit-soak-nitrogen",
    "fit-soak-head",
    "fit-soak-head-band",
)


def insert_soaks(limits: dict[str, Limit], chills: list[Step]) -> tuple[Soak, ...]:
    """One soak for each chilling medium of the shop."""
    return tuple(_ring(limits, step) for step in chills if step.key != NONE and step.available)


def head_soak(limits: dict[str, Limit], *, ages: bool) -> Soak:
    """The soak of a warmed head; `ages`: whether heat costs this metal strength."""
    time, band = limits["fit-soak-head"], limits["fit-soak-head-band"]
    return Soak(
        part="head",
        medium="oven",
        minutes=_minutes(time, 1.0),
        text=(
            f"until the casting at the seat, not the oven, is within {band.greatest:g} degC of its "
            f"target; {time.least:g} to {time.greatest:g} min for a car head"
            + (", and all of it counts as ageing" if ages else "")
        ),
        sources=(time.row, band.row),
    )


def oven_minutes(limits: dict[str, Limit], told: float | None) -> Estimate:
    """How long the head is in the oven, min: as told, or the usual soak."""
    return exact(told, "min") if told is not None else _minutes(limits["fit-soak-head"], 1.0)


def _ring(limits: dict[str, Limit], step: Step) -> Soak:
    if step.key == "liquid-nitrogen":
        limit, minutes = limits["fit-soak-nitrogen"], None
        text = f"until boiling stops and {limit.value:g} min more"
    elif step.key.startswith("dry-ice"):
        limit = limits["fit-soak-dry-ice"]
        minutes = _minutes(limit, 1.0)
        how = "packed in dry ice" if step.key == "dry-ice" else "in the bath"
        text = f"{limit.least:g} to {limit.greatest:g} min, {how}"
    else:
        limit = limits["fit-soak-freezer"]
        minutes = _minutes(limit, 60.0)
        text = f"overnight, {limit.value:g} h at least"
    text = f"{text}, at {step.at:.0f} degC"
    return Soak(part="insert", medium=step.key, minutes=minutes, text=text, sources=(limit.row,))


def _minutes(limit: Limit, factor: float) -> Estimate:
    """The middle of what the row says; a row with a least time only stands at it."""
    ends = [end * factor for end in (limit.least, limit.greatest) if end is not None]
    return Estimate(sum(ends) / len(ends), ends[0], ends[-1], "min", (limit.row,))
