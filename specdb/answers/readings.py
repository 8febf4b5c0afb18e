"""Judging the readings of a counterbore: spread, ovality, taper, and whether they are of one bore.

Plain numbers in and out, mm. The order of the readings never matters.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from specdb.errors import BadRequest

WILD_MM = 0.5
"""Spread of readings beyond which one of them is a slip: a bore that oval is no counterbore."""


@dataclass(frozen=True, slots=True)
class Bore:
    """A measured counterbore at 20 degC, mm; None where the readings cannot say."""

    smallest: float
    largest: float
    mean: float
    ovality: float | None
    taper: float | None
    readings: int


def bore(top: Sequence[float], bottom: Sequence[float] = (), *, strain: float = 0.0) -> Bore:
    """The counterbore behind readings near its mouth and near its floor, mm.

    `strain` is the head's expansion from 20 degC to the temperature it was measured at. Raises
    `BadRequest` naming the readings that disagree wildly with the rest.
    """
    agree(top, bottom)
    mouth = sorted(reading / (1.0 + strain) for reading in top)
    floor = sorted(reading / (1.0 + strain) for reading in bottom)
    every = sorted(mouth + floor)
    spreads = [level[-1] - level[0] for level in (mouth, floor) if len(level) > 1]
    return Bore(
        smallest=every[0],
        largest=every[-1],
        mean=_mean(every),
        ovality=max(spreads, default=None),
        taper=abs(_mean(mouth) - _mean(floor)) if floor else None,
        readings=len(every),
    )


def agree(top: Sequence[float], bottom: Sequence[float] = ()) -> None:
    """Refuse readings that cannot be of one counterbore, naming the one far from the rest."""
    every = sorted([*top, *bottom])
    if not every:
        raise BadRequest("bore: no reading was given.", field="bore")
    if every[-1] - every[0] <= WILD_MM:
        return
    middle = statistics.median(every)
    off = max(abs(reading - middle) for reading in every)
    odd = [reading for reading in every if abs(reading - middle) >= off * (1 - 1e-9)]
    field = "bore" if any(reading in top for reading in odd) else "bore_bottom"
    named = " and ".join(f"{reading:g} mm" for reading in odd)
    raise BadRequest(
        f"{field}: the readings disagree wildly: {named} against {middle:g} mm in the middle "
        f"of {len(every)}.",
        hint=f"Accepted: readings of one counterbore, all within {WILD_MM:g} mm. "
        "Measure again, or look for a slip of the pen.",
        field=field,
    )


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)
