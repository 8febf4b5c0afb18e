"""The question `shrink`: every pair of heat and chill, which serves, and for how many seconds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from specdb.answers import clock_shifts, clocks, exposure, soak, timing
from specdb.answers.advice import advice
from specdb.answers.entries import Bench, Entries, Reached, Tried, entries, tried
from specdb.answers.evidence import conclude
from specdb.answers.heat_limit import over_the_ceiling, over_the_data
from specdb.answers.shrink_words import assumed, topics, why
from specdb.answers.steps import WARM_C
from specdb.estimate import Estimate
from specdb.records.shrink import ClockShift, ShrinkPair, ShrinkRequest, ShrinkResult
from specdb.store.asof import Reader
from specdb.store.remembered import remembers

Aged = dict[str, Estimate | None]
Costs = dict[float, exposure.Cost]
"""What each temperature of the head costs it."""
OF_AGEING = ("aged-head-ceiling",)
"""Cautions of heat that do not concern iron and steel."""


def shrink(
    reader: Reader,
    request: ShrinkRequest,
    *,
    head_heat_c: float | None = None,
    brief: bool = False,
) -> ShrinkResult:
    """Every pair of heating step and chilling medium, mildest first, and the mildest that serves.

    `head_heat_c`: the heat a whole head was given; the mildest is then looked for at that heat, and
    elsewhere only where nothing serves there. `brief`: of the pairs only those that are planned, or
    the nearest where none serves, and nothing of what the seconds hang on.

    Raises `BadRequest` for sizes that cannot be, `UnknownName` for a metal or medium nobody knows,
    `OutOfRange` where no pair lies inside both expansion curves.
    """
    asked = entries(reader, request, forces=not brief)
    if brief:
        asked = replace(asked, tried=_planned(asked, head_heat_c))
    sums = clocks.ONE_BY_ONE if brief else _sums(reader, asked)
    costs: Costs = {}
    found = tuple(_pair(asked.bench, each, sums, costs) for each in asked.tried)
    moved = () if brief else _sensitivity(asked, found)
    return _result(reader, request, asked, found, moved, head_heat_c)


def _planned(asked: Entries, head_heat_c: float | None) -> tuple[Tried, ...]:
    """The pair planned and the one that drops in, else the one with the most room."""
    going = _at_heat([each for each in asked.tried if each.allowed], head_heat_c)
    kept = going[:1] + [each for each in going if each.entry.verdict == "drop-in"][:1]
    kept = kept or [max(asked.tried, key=lambda each: each.entry.clearance.low)]
    return tuple(
        tried(asked.bench, each.ring, each.head)
        for each in asked.tried
        if any(each is one for one in kept)
    )


P = TypeVar("P", Tried, ShrinkPair)


def _at_heat(allowed: list[P], head_heat_c: float | None) -> list[P]:
    """Those at the heat of the head, if there are any; else all of them."""
    return [each for each in allowed if each.head_temperature_c == head_heat_c] or allowed


def _sums(reader: Reader, asked: Entries) -> clocks.Sums:
    """What adds up the clocks: for one question each as it comes, for many seats all at once."""
    ring = asked.bench.ring
    if ring is None or not remembers(reader):
        return clocks.ONE_BY_ONE
    ahead = clocks.Ahead(ring)
    for each in asked.tried:
        _timed(asked.bench, each, ahead, {})
    ahead.add_up()
    return ahead


def _pair(bench: Bench, each: Tried, sums: clocks.Sums, costs: Costs) -> ShrinkPair:
    unknown: dict[str, str] = {}
    entry = each.entry
    timed = _timed(bench, each, sums, unknown)
    return ShrinkPair(
        chill=each.ring.step.key,
        heat=each.head.step.key,
        insert_temperature_c=each.ring.step.at,
        head_temperature_c=each.head.step.at,
        clearance_mm=entry.clearance,
        interference_left_mm=entry.left,
        press_force_n=entry.force,
        verdict=entry.verdict,
        **timed,
        **_aged(bench, each.head, costs, unknown),
        allowed=each.allowed,
        why=why(entry, bench.wanted.value, each.refused),
        unknown=unknown,
    )


def _aged(bench: Bench, head: Reached, costs: Costs, unknown: dict[str, str]) -> Aged:
    """What the heat of a pair costs the head, each None with its reason."""
    none: Aged = dict.fromkeys(("ageing_hours", "ageing_share"))
    if bench.ageing is None:
        unknown |= dict.fromkeys(none, "the head is not known to be age-hardened")
        return none
    at = head.step.at
    if at <= WARM_C:
        unknown |= dict.fromkeys(none, "the head is not heated")
        return none
    if at not in costs:
        costs[at] = exposure.cost(bench.ageing, at, bench.minutes)
    cost = costs[at]
    if cost.share is None:
        unknown["ageing_share"] = "how long this alloy was aged is not known here"
    return {"ageing_hours": cost.hours, "ageing_share": cost.share}


def _timed(
    bench: Bench, each: Tried, sums: clocks.Sums, unknown: dict[str, str]
) -> dict[str, Estimate | None]:
    """The clocks of a pair, each None with its reason in `unknown` where it cannot be told."""
    if bench.ring is None:
        unknown |= dict.fromkeys(timing.NAMES, bench.no_ring)
        return dict.fromkeys(timing.NAMES)
    ring, head = each.ring.step, each.head.step
    return timing.clocks_of(
        timing.Start(bench.ring, bench.joint, bench.shop, ring, head, each.head.strain, sums),
        each.entry,
        bench.light.value * bench.joint.cold_mm,
        unknown,
    )


def _sensitivity(asked: Entries, found: tuple[ShrinkPair, ...]) -> tuple[ClockShift, ...]:
    """How the seconds of the mildest advised pair with a clock hang on each condition: of one that
    drops in, if there is such. Nothing is said of a pair nobody should use."""
    timed = [each for each in found if each.allowed and (each.air_seconds or each.bore_seconds)]
    freely = min(timed, key=lambda pair: pair.verdict != "drop-in", default=None)
    bench = asked.bench
    if freely is None or bench.ring is None:
        return ()
    chill = next(step for step in asked.chills if step.key == freely.chill)
    heat = next(step for step in asked.heats if step.key == freely.heat)
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
    asked: Entries,
    found: tuple[ShrinkPair, ...],
    moved: tuple[ClockShift, ...],
    head_heat_c: float | None,
) -> ShrinkResult:
    bench, trade = asked.bench, asked.trade
    ages = bench.limit.never_c is not None
    chosen, drop_in = _mildest(found, head_heat_c)
    soaks, head_soak = soak.insert_soaks(trade, asked.chills), soak.head_soak(trade, ages=ages)
    moved = _sensitivity(asked, found)
    warned = over_the_data(
        reader, trade, bench.metals.head.material, bench.limit, request.heat_limit is not None
    )
    most = clock_shifts.matters_most(moved)
    too_hot = over_the_ceiling(bench.limit, request.head_temperature)
    return conclude(
        ShrinkResult,
        reader,
        topics=topics(bench.metals, bench.limit, (chosen, drop_in), request),
        spared=() if ages else OF_AGEING,
        rows=(*bench.metals.rows, bench.light.row, *(warned.rows if warned else ())),
        assumed=assumed(request, bench.metals, bench.limit, bench.wanted),
        unknown={
            **_unknown(asked, found, chosen, drop_in),
            **({"chosen": too_hot} if too_hot and chosen is None else {}),
            **(
                {}
                if most
                else {"matters_most": "no advised pair has a clock for a ring that goes in freely"}
            ),
        },
        interference_mm=bench.joint.cold(),
        clearance_wanted_mm=bench.wanted,
        heat_limit_c=bench.limit.ceiling,
        warnings=(warned.text,) if warned else (),
        chosen=chosen,
        drop_in=drop_in,
        advice=(
            *advice(chosen, drop_in, soaks, head_soak, too_hot),
            *_ageing_said(bench, chosen, request.head_temperature),
        ),
        sensitivity=moved,
        matters_most=most,
        insert_soak=soaks,
        head_soak=head_soak,
        pairs=found,
    )


def _mildest(
    found: tuple[ShrinkPair, ...], head_heat_c: float | None
) -> tuple[ShrinkPair | None, ShrinkPair | None]:
    """The mildest allowed pair, and the mildest allowed that drops in: at the heat of the head
    where it has one and something serves there."""
    going = _at_heat([each for each in found if each.allowed], head_heat_c)
    free = (each for each in going if each.verdict == "drop-in")
    return next(iter(going), None), next(free, None)


def _unknown(
    asked: Entries,
    found: tuple[ShrinkPair, ...],
    chosen: ShrinkPair | None,
    drop_in: ShrinkPair | None,
) -> dict[str, Any]:
    unknown = {}
    if asked.beyond:
        unknown["pairs"] = "not reckoned: " + "; ".join(asked.beyond.values())
    if asked.bench.limit.ceiling is None:
        unknown["heat_limit_c"] = asked.bench.limit.reason
    if chosen is None:
        nearest = max(found, key=lambda each: each.clearance_mm.low)
        unknown["chosen"] = (
            f"no pair serves; the most room is {nearest.chill} "
            f"({nearest.insert_temperature_c:.0f} degC) with the head at "
            f"{nearest.head_temperature_c:.0f} degC: {nearest.why}"
        )
    if drop_in is None:
        unknown["drop_in"] = "no allowed pair leaves the clearance wanted at the tightest end"
    return unknown
