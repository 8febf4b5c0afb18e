"""What an hour in the oven costs an age-hardened head, said with care.

Time in the oven is told as time at the temperature of the ageing step that hardened the casting.
The activation energy is that of the alloy's own row, or the middle of all rows where it has none;
its band is from the least to the greatest published for any aluminium alloy.
"""

from __future__ import annotations

from dataclasses import dataclass

from specdb.estimate import Estimate, propagate
from specdb.physics import ageing
from specdb.store.asof import Reader
from specdb.store.query import exposure as rows

ENERGY, SCHEDULE = "activation-energy", "ageing-schedule"
MUCH = 1.0
"""Share of the ageing step from which an aged casting is said to be at risk (common practice)."""
FAR_PAST = 10.0
"""Share from which no figure is told: the energies are not known that well, and it is too much."""
MANY_HOURS = 100.0
"""The same, in hours, where nobody knows how long the alloy was aged."""
PESSIMISTIC_C = 165.0
"""Above this the published energies make a short stay look worse than it was measured."""


@dataclass(frozen=True, slots=True)
class Ageing:
    """The alloy's energy (kJ/mol) and, where a row gives it, its ageing step (degC, hours)."""

    energy: Estimate
    at_c: float
    step: Estimate | None


@dataclass(frozen=True, slots=True)
class Cost:
    """Hours at the ageing temperature that count as much, their share of the step, in words."""

    hours: Estimate
    share: Estimate | None
    text: str


def ageing_of(reader: Reader, material: str) -> Ageing | None:
    """What rows say of the ageing of a head material, or None where there are no energies."""
    energies = rows.of_quantity(reader, ENERGY)
    if not energies:
        return None
    values = [float(row["value"]) for row in energies]
    own = [float(row["value"]) for row in energies if row["material"] == material]
    middle = own[0] if own else (min(values) + max(values)) / 2
    band = Estimate(
        middle, min(values), max(values), "kJ/mol", tuple(row["id"] for row in energies)
    )
    steps = [
        row
        for row in rows.of_quantity(reader, SCHEDULE)
        if row["material"] == material and row["time_unit"] == "h"
    ]
    if not steps:
        return Ageing(band, ageing.REFERENCE_C, None)
    ends = [float(end) for end in steps[0]["time"].split("-")]
    step = Estimate(sum(ends) / len(ends), ends[0], ends[-1], "h", (steps[0]["id"],))
    return Ageing(band, float(steps[0]["temperature"]), step)


def cost(alloy: Ageing, at_c: float, minutes: Estimate) -> Cost:
    """What `minutes` with the casting at `at_c` cost; `minutes` and the step are limits."""
    units = {"hours": "h"} | ({} if alloy.step is None else {"share": "1"})

    def outcome(energy: float, minutes: float, step: float = 1.0) -> dict[str, float]:
        hours = ageing.held_hours(at_c, minutes / 60.0, energy, alloy.at_c)
        return {"hours": hours, "share": hours / step}

    limits = {"minutes": minutes} | ({} if alloy.step is None else {"step": alloy.step})
    found = propagate(
        outcome,
        units=units,
        limits=limits,
        spreads={"energy": alloy.energy},
        bounds={name: (0.0, float("inf")) for name in units},
    )
    return Cost(found["hours"], found.get("share"), _text(alloy, at_c, minutes, found))


def _text(alloy: Ageing, at_c: float, minutes: Estimate, found: dict[str, Estimate]) -> str:
    hours, step = found["hours"], alloy.step
    held = f"{minutes.value:.0f} min with the casting at {at_c:.0f} degC"
    if step is not None and found["share"].value >= FAR_PAST:
        return (
            f"{held} is far past the {step.low:g} to {step.high:g} h at {alloy.at_c:.0f} degC the "
            f"casting was aged: it may soften{_cautious(at_c)}"
        )
    said = f"{held} counts as {_hours(hours.value)} at {alloy.at_c:.0f} degC"
    if step is None:
        return f"{said}; how long this alloy was aged is not known here"
    said += f"; the casting was aged {step.low:g} to {step.high:g} h"
    share = found["share"].value
    said += f": {_of_that(share)}"
    if share >= MUCH:
        said += ", it may soften"
    said += _cautious(at_c)
    return f"{said}; every heating adds to the last"


def _cautious(at_c: float) -> str:
    if at_c <= PESSIMISTIC_C:
        return ""
    return " (a cautious figure: measured losses this hot were slower)"


def _of_that(share: float) -> str:
    if share >= 2.0:
        return f"about {share:.0f} times that again"
    return f"{'less than 1 %' if share < 0.01 else f'about {100 * share:.2g} %'} of that again"


def _hours(hours: float) -> str:
    if hours < 1.0 / 60.0:
        return "less than a minute"
    if hours > MANY_HOURS:
        return f"far more than {MANY_HOURS:g} h"
    return f"about {hours * 60:.0f} min" if hours < 0.95 else f"about {hours:.2g} h"
