"""What a shrink answer tells a person: rounded, short, the clock first rounded down."""

from __future__ import annotations

import math
from collections.abc import Iterator

from specdb.answers.steps import GIVEN, NONE, ROOM
from specdb.estimate import Estimate
from specdb.records.shrink import ShrinkPair, Soak

STROKE = "piloted driver, one stroke, full height"


def advice(
    chosen: ShrinkPair | None,
    drop_in: ShrinkPair | None,
    soaks: tuple[Soak, ...],
    head: Soak,
    too_hot: str | None = None,
) -> tuple[str, ...]:
    """Lines for the mildest pair that serves, and for the mildest that drops in; `too_hot`: that
    nothing serves because the head was asked hotter than it may be."""
    if chosen is None:
        return (too_hot or "no pair of heat and cold serves: take less press, or press it in cold",)
    lines = list(of_pair(chosen))
    lines += [
        f"soak of the ring in {soak.medium}: {soak.text}"
        for soak in soaks
        if soak.medium == chosen.chill
    ]
    if chosen.heat not in (ROOM, GIVEN) or chosen.head_temperature_c > 30:
        lines.append(f"soak of the head: {head.text}")
    if drop_in is not None and drop_in is not chosen:
        lines.append("for a ring that drops in: " + "; ".join(of_pair(drop_in)))
    elif drop_in is None:
        lines.append("no pair here lets the ring drop in with its clearance")
    lines.append("hold the ring down until it grips; try a 0.03 mm feeler under it")
    return tuple(lines)


def to_five(celsius: float) -> int:
    """A temperature to the nearest 5 degC."""
    return int(5 * math.floor(celsius / 5 + 0.5))


def seconds_down(seconds: float) -> str:
    """Seconds rounded down: to 1 under ten, to 5 under a minute, to 30 above."""
    if seconds < 1:
        return "under 1 s"
    step = 1 if seconds < 10 else 5 if seconds < 60 else 30
    return f"{int(seconds // step * step)} s"


def of_pair(pair: ShrinkPair) -> Iterator[str]:
    """Where head and ring are brought to, how the ring goes in, and for how long."""
    ring = (
        "ring as it is"
        if pair.chill == NONE
        else (f"ring in {pair.chill} ({pair.insert_temperature_c:.0f} degC)")
    )
    yield f"head at {to_five(pair.head_temperature_c)} degC, {ring}"
    if pair.verdict == "drop-in":
        yield f"drops in with {pair.clearance_mm.low:.2f} mm of clearance at the tightest"
    else:
        yield f"light press: {_left(pair.interference_left_mm)}; {STROKE}"
    clocks = _clocks(pair)
    if clocks:
        yield clocks


def _clocks(pair: ShrinkPair) -> str:
    """The contact clocks of a ring that drops in; a pressed one touches from the first, and has as
    long as a light press is enough."""
    if pair.verdict == "light-press":
        if pair.light_seconds is None:
            return ""
        within = seconds_down(pair.light_seconds.low)
        return f"press it within {within} out of the cold: warmer, it takes more than a light press"
    told = [_clock(pair.air_seconds, "in the hand"), _clock(pair.bore_seconds, "in the bore")]
    return ", ".join(filter(None, told))


def _left(left: Estimate) -> str:
    if left.high <= 0:
        return "no press left, but less clearance than wanted"
    return f"up to {left.high:.3f} mm of the press is left"


def _clock(seconds: Estimate | None, where: str) -> str:
    return "" if seconds is None else f"{seconds_down(seconds.low)} {where}"
