"""The question `shrink`: every pair of heat and chill, which serves, and for how many seconds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from specdb.answers import clock_shifts, clocks, exposure, pairs, soak, timing
from specdb.answers.advice import advice
from specdb.answers.evidence import conclude
from specdb.answers.heat_limit import FEATURES, HeatLimit, heat_limit, refusal
from specdb.answers.joint import Joint, joint_of
from specdb.answers.metals import Metal, Pair, pair
from specdb.answers.rubbing import Rubbing, rubbing
from specdb.answers.shrink_words import assumed, topics, why
from specdb.answers.steps import WARM_C, Step, check_available, chills, heats, mildness
from specdb.answers.trade_limits import Limit, limits
from specdb.errors import NoAnswer, NotKnown, OutOfRange
from specdb.estimate import Estimate, exact
from specdb.physics import heat as warmth
from specdb.records.shrink import ClockShift, ShrinkPair, ShrinkRequest, ShrinkResult
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
        return self.expansion.reached.value


def shrink(reader: Reader, request: ShrinkRequest) -> ShrinkResult:
    """Every pair of heating step and chilling medium, mildest first, and the mildest that serves.

    Raises `BadRequest` for sizes that cannot be, `UnknownName` for a metal or medium nobody
    knows, `OutOfRange` where no pair lies inside both expansion curves.
    """
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
        raise OutOfRange("no pair can be computed: " + "; ".join(beyond.values()))
    both = sorted(
        ((ring, head) for ring in rings for head in heads),
        key=lambda each: mildness(each[0].step, each[1].step),
    )
    found = tuple(_pair(bench, ring, head) for ring, head in both)
    return _result(reader, request, bench, found, (cold, hot), trade, beyond)


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


def _pair(bench: Bench, ring: Reached, head: Reached) -> ShrinkPair:
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
    unknown: dict[str, str] = {}
    timed = _timed(bench, ring, head, entry, unknown)
    refused = refusal(ring.step, head.step, bench.limit)
    return ShrinkPair(
        chill=ring.step.key,
        heat=head.step.key,
        insert_temperature_c=ring.step.at,
        head_temperature_c=head.step.at,
        clearance_mm=entry.clearance,
        interference_left_mm=entry.left,
        press_force_n=entry.force,
        verdict=entry.verdict,
        **timed,
        **_aged(bench, head, unknown),
        allowed=entry.verdict != "no" and refused is None,
        why=why(entry, bench.wanted.value, refused),
        unknown=unknown,
    )


def _aged(bench: Bench, head: Reached, unknown: dict[str, str]) -> dict[str, Estimate | None]:
    """What the heat of a pair costs the head, each None with its reason."""
    none: dict[str, Estimate | None] = dict.fromkeys(("ageing_hours", "ageing_share"))
    if bench.ageing is None:
        unknown |= dict.fromkeys(none, "the head is not known to be age-hardened")
        return none
    if head.step.at <= WARM_C:
        unknown |= dict.fromkeys(none, "the head is not heated")
        return none
    cost = exposure.cost(bench.ageing, head.step.at, bench.minutes)
    if cost.share is None:
        unknown["ageing_share"] = "how long this alloy was aged is not known here"
    return {"ageing_hours": cost.hours, "ageing_share": cost.share}


def _timed(
    bench: Bench, ring: Reached, head: Reached, entry: pairs.Entry, unknown: dict[str, str]
) -> dict[str, Estimate | None]:
    """The clocks of a pair, each None with its reason in `unknown` where it cannot be told."""
    if bench.ring is None:
        unknown |= dict.fromkeys(timing.NAMES, bench.no_ring)
        return dict.fromkeys(timing.NAMES)
    return timing.clocks_of(
        timing.Start(bench.ring, bench.joint, bench.shop, ring.step, head.step, head.strain),
        entry,
        bench.light.value * bench.joint.cold_mm,
        unknown,
    )


def _sensitivity(
    bench: Bench, found: tuple[ShrinkPair, ...], steps: tuple[list[Step], list[Step]]
) -> tuple[ClockShift, ...]:
    """How the seconds of the mildest pair with a clock hang on each condition: of one that drops
    in and is advised, if there is such."""
    timed = [each for each in found if each.air_seconds or each.bore_seconds]
    freely = min(
        timed, key=lambda pair: (pair.verdict != "drop-in", not pair.allowed), default=None
    )
    if freely is None or bench.ring is None:
        return ()
    chill = next(step for step in steps[0] if step.key == freely.chill)
    heat = next(step for step in steps[1] if step.key == freely.heat)
    strain = bench.metals.head.strain(heat.at).value
    start = timing.Start(bench.ring, bench.joint, bench.shop, chill, heat, strain)
    return clock_shifts.shifts(start, bench.metals.head)


def _ageing_said(bench: Bench, chosen: ShrinkPair | None, asked_c: float | None) -> tuple[str, ...]:
    """What the advised heat, or the one asked about, costs an age-hardened head, in words."""
    at = asked_c if chosen is None else chosen.head_temperature_c
    if bench.ageing is None or at is None or at <= WARM_C:
        return ()
    return (exposure.cost(bench.ageing, at, bench.minutes).text,)


def _result(
    reader: Reader,
    request: ShrinkRequest,
    bench: Bench,
    found: tuple[ShrinkPair, ...],
    steps: tuple[list[Step], list[Step]],
    trade: dict[str, Limit],
    beyond: dict[str, str],
) -> ShrinkResult:
    chosen = next((each for each in found if each.allowed), None)
    free = (each for each in found if each.allowed and each.verdict == "drop-in")
    drop_in = next(free, None)
    soaks, head_soak = soak.insert_soaks(trade, steps[0]), soak.head_soak(trade)
    moved = _sensitivity(bench, found, steps)
    most = clock_shifts.matters_most(moved)
    return conclude(
        ShrinkResult,
        reader,
        topics=topics(bench.metals, bench.limit, (chosen, drop_in), request),
        rows=(*bench.metals.rows, bench.light.row),
        assumed=assumed(request, bench.metals, bench.limit, bench.wanted),
        unknown={
            **_unknown(bench, found, chosen, drop_in, beyond),
            **(
                {}
                if most
                else {"matters_most": "no pair has a clock for a ring that goes in freely"}
            ),
        },
        interference_mm=bench.joint.cold(),
        clearance_wanted_mm=bench.wanted,
        heat_limit_c=bench.limit.ceiling,
        chosen=chosen,
        drop_in=drop_in,
        advice=(
            *advice(chosen, drop_in, soaks, head_soak),
            *_ageing_said(bench, chosen, request.head_temperature),
        ),
        sensitivity=moved,
        matters_most=most,
        insert_soak=soaks,
        head_soak=head_soak,
        pairs=found,
    )


def _unknown(
    bench: Bench,
    found: tuple[ShrinkPair, ...],
    chosen: ShrinkPair | None,
    drop_in: ShrinkPair | None,
    beyond: dict[str, str],
) -> dict[str, Any]:
    unknown = {}
    if beyond:
        unknown["pairs"] = "not reckoned: " + "; ".join(beyond.values())
    if bench.limit.ceiling is None:
        unknown["heat_limit_c"] = bench.limit.reason
    if chosen is None:
        nearest = max(found, key=lambda each: each.clearance_mm.low)
        unknown["chosen"] = (
            f"no pair serves; the most room is {nearest.chill} with the head at "
            f"{nearest.head_temperature_c:g} degC: {nearest.why}"
        )
    if drop_in is None:
        unknown["drop_in"] = "no allowed pair leaves the clearance wanted at the tightest end"
    return unknown
