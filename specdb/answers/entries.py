"""Which pairs of heat and cold let a ring in: all of `shrink` but the clocks.

What a whole head needs of each seat to settle on one heat, before any seconds are counted.
"""

from __future__ import annotations

from dataclasses import dataclass

from specdb.answers import clocks, exposure, pairs, soak
from specdb.answers.heat_limit import FEATURES, HeatLimit, heat_limit, over_the_ceiling, refusal
from specdb.answers.joint import Joint, joint_of
from specdb.answers.metals import Metal, Pair, pair
from specdb.answers.rubbing import Rubbing, rubbing
from specdb.answers.steps import Step, check_available, chills, heats, mildness
from specdb.answers.trade_limits import Limit, limits
from specdb.errors import NoAnswer, NotKnown, OutOfRange
from specdb.estimate import Estimate, exact
from specdb.physics import heat as warmth
from specdb.records.shrink import ShrinkRequest
from specdb.store.asof import Reader
from specdb.store.query import friction as friction_rows
from specdb.store.query import media as media_rows

LIGHT = "light-press-share"
READING_MM = 0.005
"""Usual reading error of each diameter: the clearance wanted is never below both together."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What every pair of one question shares."""

    joint: Joint
    metals: Pair
    rubs: Rubbing
    wanted: Estimate
    light: Limit
    limit: HeatLimit
    ring: warmth.Ring | None
    no_ring: str
    shop: clocks.Shop
    ageing: exposure.Ageing | None
    minutes: Estimate


@dataclass(frozen=True, slots=True)
class Reached:
    """A step a part can be brought to: its strain, and its stiffness there (MPa, 1)."""

    step: Step
    expansion: pairs.Expansion
    modulus: float
    poisson: float

    @property
    def strain(self) -> float:
        """Strain from 20 degC where this step brings the part."""
        return self.expansion.reached.value


@dataclass(frozen=True, slots=True)
class Tried:
    """One pair, how the ring would go in, and why it is not advised whatever its clearance."""

    ring: Reached
    head: Reached
    entry: pairs.Entry
    refused: str | None

    @property
    def head_temperature_c(self) -> float:
        """What the head is warmed to, degC."""
        return self.head.step.at

    @property
    def allowed(self) -> bool:
        """Whether the pair serves and may be advised."""
        return self.entry.verdict != "no" and self.refused is None


@dataclass(frozen=True, slots=True)
class Entries:
    """Every pair of one question, mildest first; `beyond`: steps that no curve reaches, and why."""

    bench: Bench
    chills: list[Step]
    heats: list[Step]
    trade: dict[str, Limit]
    beyond: dict[str, str]
    tried: tuple[Tried, ...]


def entries(reader: Reader, request: ShrinkRequest, *, forces: bool = True) -> Entries:
    """Every pair of heating step and chilling medium; without `forces` where only the verdicts
    are wanted. Raises what `shrink` raises."""
    joint = joint_of(request)
    rows = media_rows.media(reader)
    check_available(rows, request.available)
    room = request.room_temperature
    cold = chills(rows, request.chill, room, request.available)
    hot = heats(rows, request.head_temperature, room, request.available)
    trade = limits(reader, [*FEATURES, *soak.FEATURES, LIGHT])
    bench = _bench(reader, request, joint, trade)
    beyond: dict[str, str] = {}
    rings = _reach(bench.metals.insert, cold, beyond)
    heads = _reach(bench.metals.head, hot, beyond)
    if not rings or not heads:
        why = over_the_ceiling(bench.limit, request.head_temperature) or "no pair can be computed"
        raise OutOfRange("; ".join([why, *beyond.values()]))
    both = sorted(
        ((ring, head) for ring in rings for head in heads),
        key=lambda each: mildness(each[0].step, each[1].step),
    )
    every = tuple(tried(bench, ring, head, forces=forces) for ring, head in both)
    return Entries(bench, cold, hot, trade, beyond, every)


def _bench(reader: Reader, request: ShrinkRequest, joint: Joint, trade: dict[str, Limit]) -> Bench:
    metals = pair(reader, request.head, request.insert)
    ring, no_ring = _ring(joint, metals.insert)
    alloy = metals.head.material
    minutes = soak.oven_minutes(trade, request.oven_minutes)
    return Bench(
        joint=joint,
        metals=metals,
        rubs=rubbing(reader, metals.head_class, "pressed", "dry"),
        wanted=_wanted(reader, request, joint),
        light=trade[LIGHT],
        limit=heat_limit(
            trade,
            head_class=metals.head_class,
            age_hardened=metals.head.material.age_hardened,
            asked=request.heat_limit,
        ),
        ring=ring,
        no_ring=no_ring,
        shop=clocks.Shop(request.room_temperature, request.humidity / 100),
        ageing=exposure.ageing_of(reader, alloy.key) if alloy.age_hardened else None,
        minutes=minutes,
    )


def _wanted(reader: Reader, request: ShrinkRequest, joint: Joint) -> Estimate:
    """The clearance asked for, or the rule's share of the diameter, never below reading errors."""
    if request.clearance is not None:
        return exact(request.clearance, "mm")
    rules = [
        row for row in friction_rows.allowances(reader, "assembly") if row["unit"] == "diameter"
    ]
    if not rules:
        raise NotKnown(
            "no rule for the joining clearance is in the database.", hint="Give clearance."
        )
    share = max(float(row["low"]) for row in rules)
    least = 2 * (request.reading_error or READING_MM)
    return exact(max(share * joint.bore.value, least), "mm", [row["id"] for row in rules])


def _ring(joint: Joint, insert: Metal) -> tuple[warmth.Ring | None, str]:
    """The ring as a body that warms up, or why its clocks cannot be told."""
    try:
        ring = warmth.Ring(
            joint.insert_diameter.value,
            joint.insert_inner,
            joint.height,
            insert.material.value("density").value,
            insert.material.table("specific_heat"),
            insert.material.curve(),
        )
    except NoAnswer as refused:
        return None, refused.message
    return ring, ""


def _reach(metal: Metal, steps: list[Step], beyond: dict[str, str]) -> list[Reached]:
    """The steps inside the metal's curve; `beyond` gathers why others are not."""
    found = []
    for step in steps:
        try:
            found.append(_reached(metal, step))
        except OutOfRange as refused:
            beyond[step.key] = f"{step.key}: {refused.message}"
    return found


def _reached(metal: Metal, step: Step) -> Reached:
    at = step.temperature
    middle = metal.strain(at.value)
    low, high = (
        middle.value if end == at.value else _inside(metal, end) for end in (at.low, at.high)
    )
    return Reached(
        step,
        pairs.Expansion(
            Estimate(middle.value, low, high, "1", (*middle.sources, *at.sources)),
            Estimate(0.0, middle.low - middle.value, middle.high - middle.value, "1"),
        ),
        metal.value("youngs_modulus", at.value).value * 1000.0,
        metal.value("poissons_ratio", at.value).value,
    )


def _inside(metal: Metal, at_c: float) -> float:
    """The strain at an end of a step's tolerance; the curve's own end where that lies beyond."""
    curve = metal.material.curve()
    return curve.strain(min(max(at_c, curve.start_c), curve.end_c))


def tried(bench: Bench, ring: Reached, head: Reached, *, forces: bool = True) -> Tried:
    """One pair; without `forces` its force is none."""
    force = 0.0
    if forces:
        force = pairs.stiffness(
            bench.joint,
            ring_modulus=ring.modulus,
            ring_poisson=ring.poisson,
            head_modulus=head.modulus,
            head_poisson=head.poisson,
        )
    entry = pairs.entry(
        bench.joint,
        ring.expansion,
        head.expansion,
        wanted=bench.wanted.value,
        light_share=bench.light.value,
        friction=bench.rubs.press,
        newton_per_mm=force,
    )
    return Tried(ring, head, entry, refusal(ring.step, head.step, bench.limit))
