"""Numbers for people: mm with thou beside it, three figures of a stress, no false digits."""

from __future__ import annotations

import math

from specdb.estimate import Estimate
from specdb.units.words import INCH, THOU

INCHES_FROM_MM = 2.54
"""From a tenth of an inch up a length is read in inches, below it in thou."""


def number(value: float, unit: str) -> str:
    """`value` with the digits its unit deserves and the unit itself."""
    if unit == "mm":
        return f"{value:.3f} mm"
    if unit == ":1":
        return f"{value:.2f}:1"
    if unit == "1/K":
        return f"{value * 1e6:.1f}e-6/K"
    if unit == "N":
        return f"{significant(value / 1000, 2)} kN"
    if unit in ("degC", "C"):
        return f"{value:.0f} degC"
    if unit in ("s", "min"):
        return f"{math.floor(value + 1e-9) if value >= 10 else round(value, 1):g} {unit}"
    if unit in ("1e-6/K", "1e-6"):
        return f"{significant(value, 3 if unit == '1e-6/K' else 4)} x {unit}"
    text = significant(value, 3)
    return text if unit in ("", "1") else f"{text} {unit}"


def hundredths(value_mm: float) -> str:
    """A length to 0.01 mm, to 0.001 where it is no whole hundredths: .375 in is 9.525."""
    short = f"{value_mm:.2f}"
    return short if abs(float(short) - value_mm) < 5e-4 else f"{value_mm:.3f}"


def significant(value: float, figures: int) -> str:
    """`value` to so many significant figures, never in powers of ten unless it must be."""
    if value == 0:
        return "0"
    places = figures - 1 - math.floor(math.log10(abs(value)))
    if places > 6:
        return f"{value:.{figures - 1}e}"
    rounded = round(value, places)
    return f"{rounded:.{max(places, 0)}f}"


def thou(value_mm: float) -> str:
    """The same length in thousandths of an inch (in inches from a tenth of an inch up)."""
    if abs(value_mm) >= INCHES_FROM_MM:
        return f"{value_mm / INCH:.4f} in"
    return f"{value_mm / THOU:.1f} thou"


def band(estimate: Estimate) -> str:
    """Low to high without the unit, or nothing where the figure is exact."""
    if estimate.low == estimate.high:
        return ""
    low, high = (number(end, estimate.unit) for end in (estimate.low, estimate.high))
    return " to ".join(end.partition(" ")[0] for end in (low, high))
