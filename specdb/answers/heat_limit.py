"""How hot a head may be made: what age-hardening costs, and what may stand beside heat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from specdb.answers.material import Material
from specdb.answers.steps import HOT_PLATE, IN_ALCOHOL, WARM_C, Step
from specdb.answers.trade_limits import Limit
from specdb.estimate import Estimate, exact
from specdb.store.asof import Reader
from specdb.store.query.materials import rows as property_rows

FEATURES = (
    "oven-ceiling-age-hardened",
    "oven-flagged-age-hardened",
    "oven-flagged-time",
    "oven-never-age-hardened",
)


@dataclass(frozen=True, slots=True)
class HeatLimit:
    """Ceiling for the head (degC), from where it is never advised, and why; None: no such limit."""

    ceiling: Estimate | None
    never_c: float | None
    flagged_c: float | None
    flagged: str
    reason: str

    def refuses(self, heat: Step) -> str | None:
        """Why a head is not made this hot, or None where it may be."""
        if self.never_c is not None and heat.at >= self.never_c:
            return f"{heat.at:.0f} degC over-ages a hardened alloy: never advised"
        if self.ceiling is not None and heat.at > self.ceiling.value:
            why = f"{heat.at:.0f} degC is above the ceiling of {self.ceiling.value:g} degC"
            hot = self.flagged_c is not None and heat.at >= self.flagged_c
            return f"{why} ({self.flagged})" if hot else why
        return None


def heat_limit(
    limits: dict[str, Limit], *, head_class: str, age_hardened: bool, asked: float | None
) -> HeatLimit:
    """The limit of a head: the trade's for an alloy, the caller's own where one was given.

    An alloy that is not called age-hardened is held to the same ceiling: casting and temper
    are seldom known for sure. Iron and steel have none; what is given is kept.
    """
    alloy = age_hardened or head_class == "aluminium"
    never = limits["oven-never-age-hardened"] if alloy else None
    if not alloy:
        ceiling = None if asked is None else exact(asked, "degC")
        reason = "iron and steel heads lose nothing at these temperatures"
        return HeatLimit(ceiling, None, None, "", reason)
    stated = limits["oven-ceiling-age-hardened"]
    ceiling = exact(stated.value, "degC", [stated.row]) if asked is None else exact(asked, "degC")
    flag, minutes = limits["oven-flagged-age-hardened"], limits["oven-flagged-time"]
    assert never is not None
    return HeatLimit(
        ceiling,
        never.value,
        flag.value,
        f"{flag.value:g} degC: {minutes.value:g} minutes at the most, and it counts as ageing",
        "" if age_hardened else "an alloy of unknown temper is held to the same ceiling",
    )


FAHRENHEIT_C = (80.0, 200.0)
"""An oven's setting in Fahrenheit is one of these in Celsius, where a head is warmed (common
practice)."""


def over_the_ceiling(limit: HeatLimit, asked_c: float | None) -> str | None:
    """That the head is asked hotter than its ceiling, and whether Fahrenheit was meant; or None."""
    if limit.ceiling is None or asked_c is None or asked_c <= limit.ceiling.value:
        return None
    most = limit.ceiling.value
    said = f"a head at {asked_c:.0f} degC is over its ceiling of {most:.0f} degC"
    meant = (asked_c - 32.0) / 1.8
    whole = abs(asked_c - round(asked_c)) < 1e-6
    if whole and FAHRENHEIT_C[0] <= meant <= FAHRENHEIT_C[1]:
        if meant > most:
            return f"{said}; {asked_c:.0f} F would be {meant:.0f} degC, over it too"
        return f"{said}: did you mean {asked_c:.0f} F, which is {meant:.0f} degC?"
    return f"{said}: never make it that hot"


EXPOSURE = "max_exposure_temperature"


def over_the_data(
    reader: Reader, limits: dict[str, Limit], material: Material, limit: HeatLimit, told: bool
) -> Warned | None:
    """That a ceiling the caller `told` lies above what the data allow for the alloy, or None.

    An iron or steel head has no limit in the data, and no warning.
    """
    usual = limits["oven-ceiling-age-hardened"]
    over = limit.ceiling is not None and limit.ceiling.value > usual.value
    if not told or limit.ceiling is None or limit.never_c is None or not over:
        return None
    rows = [
        row for row in property_rows(reader, material.key, EXPOSURE) if row["basis"] == "stands"
    ]
    own = [f"{row['value']} {row['unit']} ({row['condition']})" for row in rows]
    of_alloy = f"{material.key}: {'; '.join(own)}" if own else f"no limit of {material.key} itself"
    never, minutes = limits["oven-never-age-hardened"], limits["oven-flagged-time"]
    text = (
        f"the ceiling of {limit.ceiling.value:g} degC given is above what the data allow: "
        f"{of_alloy}; any hardened head in an oven: {usual.value:g} degC as a rule, "
        f"{limit.flagged_c:g} degC for {minutes.value:g} minutes at the most, "
        f"{never.value:g} degC never (common practice)"
    )
    return Warned(text, (usual.row, never.row, *(row["id"] for row in rows)))


class Warned(NamedTuple):
    """A warning in words, and the rows it stands on."""

    text: str
    rows: tuple[str, ...]


def refusal(chill: Step, heat: Step, limit: HeatLimit) -> str | None:
    """Why a pair is not advised whatever its clearance, or None."""
    if chill.key in IN_ALCOHOL and heat.at > WARM_C:
        return "dry ice in alcohol is never advised beside a hot head: fire"
    missing = [step.name for step in (chill, heat) if not step.available]
    if heat.key == HOT_PLATE and not heat.available:
        return "a hot plate heats one spot: only where the shop names it and measures at the seat"
    if missing:
        return f"not in the shop: {' and '.join(missing)}"
    return limit.refuses(heat)
