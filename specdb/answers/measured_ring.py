"""A bore made to the ring that was measured, where that spares the cold its limits would ask for.

Whatever ring and bore lie inside their limits, the tightest of them decides what lets a ring in.
Whoever measures the ring and bores to it has only what his gauges may be wrong by: both readings,
each way. Where dry ice or nitrogen is asked for by the limits alone, that is planned instead. It
never makes the head cooler, which is hot anyway: it spares the cold that can hurt people.
"""

from __future__ import annotations

from typing import NamedTuple

from specdb.answers.boring import ring_minus
from specdb.answers.entries import Tried, entries
from specdb.answers.seat_joint import asked, joint, to_shrink
from specdb.answers.steps import RANKS
from specdb.records.seat import SeatReadings, ToMeasuredRing
from specdb.records.shrink import ShrinkPair, ShrinkRequest
from specdb.records.sizes import Candidate
from specdb.store.asof import Reader

BEYOND_ANY = 1 + max(RANKS.values())
"""Worse than the gravest chill: nothing serves."""


def press_of(request: SeatReadings, ring: Candidate) -> ToMeasuredRing | None:
    """The press a bore made to the measured ring gets, mm; None where nothing is bored, or where
    what the gauges may be wrong by is no less than the limits."""
    if ring.as_found or ring.cut_min_mm is None:
        return None
    middle = ring_minus(ring)
    least = max(middle - 2 * request.reading_error, ring.press_least_mm)
    greatest = min(middle + 2 * request.reading_error, ring.press_greatest_mm)
    if greatest >= ring.press_greatest_mm or request.reading_error == 0.0:
        return None
    return ToMeasuredRing(press_mm=middle, press_least_mm=least, press_greatest_mm=greatest)


def question(request: SeatReadings, ring: Candidate) -> ShrinkRequest | None:
    """What `shrink` is asked of a ring that was measured and a bore made to it."""
    press = press_of(request, ring)
    if press is None:
        return None
    told = joint(request, ring)
    told["bore"] = ring.outer_mm - press.press_mm
    told["insert_tolerance"] = told["bore_tolerance"] = request.reading_error
    return asked(ShrinkRequest, request, **told)


def rank(pair: Tried | ShrinkPair) -> int:
    """Hazard of a pair's chill, by `steps.RANKS`."""
    return RANKS.get(pair.ring.step.key if isinstance(pair, Tried) else pair.chill, 0)


class Both(NamedTuple):
    """The pairs for any ring and bore inside their limits, and those for a bore made to the ring,
    with what is asked of them: None where they spare nothing."""

    limits: tuple[Tried, ...]
    measured: tuple[Tried, ...] | None
    question: ShrinkRequest | None


def both(reader: Reader, request: SeatReadings, ring: Candidate) -> Both:
    """What lets the ring in, either way. Raises what `shrink` raises."""
    limits = entries(reader, to_shrink(request, ring), forces=False).tried
    narrower = question(request, ring) if _gravest(limits) else None
    if narrower is None:
        return Both(limits, None, None)
    measured = entries(reader, narrower, forces=False).tried
    if _gravest(measured) >= _gravest(limits):
        return Both(limits, None, None)
    return Both(limits, measured, narrower)


def _gravest(found: tuple[Tried, ...]) -> int:
    """Hazard of the mildest pair there is."""
    return min((rank(each) for each in found if each.allowed), default=BEYOND_ANY)


def milder(one: ShrinkPair | None, other: ShrinkPair | None, head_heat_c: float | None) -> bool:
    """Whether the pair for a measured ring, `one`, is to be planned before that for any, `other`:
    at the heat of the head, and with a milder chill."""
    return one is not None and _cost(one, head_heat_c) < _cost(other, head_heat_c)


def _cost(pair: ShrinkPair | None, head_heat_c: float | None) -> tuple[bool, int]:
    if pair is None:
        return True, BEYOND_ANY
    return head_heat_c not in (None, pair.head_temperature_c), rank(pair)
