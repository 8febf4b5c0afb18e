"""A figure with its band and the rows it stands on, and how bands combine.

What `low` and `high` mean. An input is one of two kinds:

limits    a tolerance, a reading error, a range a part may lie anywhere in: nothing lies outside
spreads   what sources and material scatter leave open: about 95 in 100 of what the figure may be
          lies inside, two standard uncertainties to either side

and the band of a result holds at least 95 in 100 of what it may be when limits lie anywhere and
spreads scatter like a bell. It is no more than the limits where there are limits only (then nothing
lies outside), and 95 in 100 where there are spreads only.

The one method, used everywhere: the function is evaluated at the nominal values, then with
one input at a time moved to its low and its high end. Limits add their shifts up, since all parts
of a heap may be at their worst together; spreads add theirs in quadrature, since they are
independent and seldom all at their ends; the two sums are added. First order: good while the
function is close to straight over the bands. What cannot be below (or above) some figure, a
pressure below zero, is told by `bounds` and its band stops there. What bends sharply inside its
band, such as a loss that begins where a part yields, is told by `bent` with a smooth output that
drives it: the function is then evaluated with all inputs moved together, each by its part in an end
of the driver's band, and the band reaches what comes out if that is wider. The tests compare with
draws at random and with an independent library of error propagation.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple


@dataclass(frozen=True, slots=True)
class Estimate:
    """`value` with `low` and `high`, in `unit`, and the ids of the rows behind it, sorted."""

    value: float
    low: float
    high: float
    unit: str
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.value, self.low, self.high))):
            raise ValueError(f"an estimate is finite, not {self.value, self.low, self.high}")
        object.__setattr__(self, "sources", _in_order(tuple(self.sources)))

    def scaled(self, factor: float, unit: str) -> Estimate:
        """The same estimate times an exact `factor`, said in `unit`."""
        ends = sorted((self.low * factor, self.high * factor))
        return replace(self, value=self.value * factor, low=ends[0], high=ends[1], unit=unit)

    def moved(self, share: float) -> float:
        """The value moved by a share of its band: -1 is `low`, 1 is `high`."""
        return self.value + share * (self.high - self.value if share > 0 else self.value - self.low)


@lru_cache(maxsize=8192)
def _in_order(sources: tuple[str, ...]) -> tuple[str, ...]:
    """Ids once each and sorted; the same few lists come again at every figure."""
    return tuple(sorted(set(sources)))


def exact(value: float, unit: str, sources: Iterable[str] = ()) -> Estimate:
    """A figure given by the caller or by definition: its band is the figure itself."""
    return Estimate(value, value, value, unit, tuple(sources))


def plus_minus(value: float, half: float, unit: str, sources: Iterable[str] = ()) -> Estimate:
    """`value` with a band of `half` each way."""
    return Estimate(value, value - half, value + half, unit, tuple(sources))


class _Shift(NamedTuple):
    """What one input does to one output: the greatest fall and rise, and the end it comes from."""

    fall: float
    falls_at: float
    rise: float
    rises_at: float


def propagate(
    function: Callable[..., Mapping[str, float]],
    *,
    units: Mapping[str, str],
    limits: Mapping[str, Estimate] | None = None,
    spreads: Mapping[str, Estimate] | None = None,
    rows: Iterable[str] = (),
    bounds: Mapping[str, tuple[float, float]] | None = None,
    bent: Mapping[str, str] | None = None,
) -> dict[str, Estimate]:
    """Bands of every output of `function(**inputs)` by the method of this module.

    `function` takes the keys of `limits` and `spreads` as keywords and returns floats by name;
    `units` names the outputs wanted and their units; `bounds` the least and the greatest an output
    can be, where it has such, and its band is cut there; `bent` the outputs with a sharp bend, each
    with the output that drives it. Every output carries the sources of every input and `rows`
    besides. Cost: two calls for each input that has a band, two for each output that is bent.
    """
    limits, spreads = dict(limits or {}), dict(spreads or {})
    given = {**limits, **spreads}
    nominal = {name: each.value for name, each in given.items()}
    centre = function(**nominal)
    shifts = _shifts(function, nominal, given, centre, units)
    sources = {row for each in given.values() for row in each.sources} | set(rows)
    bent, bounds = bent or {}, bounds or {}
    found = {}
    for output, unit in units.items():
        middle, alone = centre[output], shifts[output]
        ends = [middle + side for side in _ends(alone, limits)]
        if output in bent:
            for falling in (True, False):
                at = _together(nominal, shifts[bent[output]], limits, falling=falling)
                ends.append(function(**at)[output])
        least, most = bounds.get(output, (-math.inf, math.inf))
        low, high = max(min(ends), least), min(max(ends), most)
        found[output] = Estimate(middle, min(low, middle), max(high, middle), unit, tuple(sources))
    return found


def _shifts(
    function: Callable[..., Mapping[str, float]],
    nominal: Mapping[str, float],
    given: Mapping[str, Estimate],
    centre: Mapping[str, float],
    outputs: Iterable[str],
) -> dict[str, dict[str, _Shift]]:
    """Output -> input -> shift, one input moved at a time."""
    found: dict[str, dict[str, _Shift]] = {output: {} for output in outputs}
    for name, each in given.items():
        if each.low == each.high:
            continue
        at_low = function(**{**nominal, name: each.low})
        at_high = function(**{**nominal, name: each.high})
        for output, by_input in found.items():
            middle = centre[output]
            low, high = (at_low[output] - middle, each.low), (at_high[output] - middle, each.high)
            still = (0.0, each.value)
            by_input[name] = _Shift(*min(low, high, still), *max(low, high, still))
    return found


def _ends(alone: Mapping[str, _Shift], limits: Mapping[str, Estimate]) -> tuple[float, float]:
    """How far an output falls and rises: limits added, spreads in quadrature."""
    limited = [shift for name, shift in alone.items() if name in limits]
    spread = [shift for name, shift in alone.items() if name not in limits]
    return (
        sum(shift.fall for shift in limited) - math.hypot(*(shift.fall for shift in spread)),
        sum(shift.rise for shift in limited) + math.hypot(*(shift.rise for shift in spread)),
    )


def _together(
    nominal: Mapping[str, float],
    alone: Mapping[str, _Shift],
    limits: Mapping[str, Estimate],
    *,
    falling: bool,
) -> dict[str, float]:
    """All inputs at one end of a band: limits at theirs, each spread by its part in the whole."""
    sides = {
        name: (shift.fall, shift.falls_at) if falling else (shift.rise, shift.rises_at)
        for name, shift in alone.items()
    }
    whole = math.hypot(*(by for name, (by, _) in sides.items() if name not in limits))
    at = dict(nominal)
    for name, (by, end) in sides.items():
        part = 1.0 if name in limits else abs(by) / whole if whole > 0.0 else 0.0
        at[name] += part * (end - at[name])
    return at
