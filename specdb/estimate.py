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
pressure below zero, is told by `bounds` and its band stops there. The tests compare with draws
at random and with an independent library of error propagation.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace


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
        object.__setattr__(self, "sources", tuple(sorted(set(self.sources))))

    def scaled(self, factor: float, unit: str) -> Estimate:
        """The same estimate times an exact `factor`, said in `unit`."""
        ends = sorted((self.low * factor, self.high * factor))
        return replace(self, value=self.value * factor, low=ends[0], high=ends[1], unit=unit)

    def moved(self, share: float) -> float:
        """The value moved by a share of its band: -1 is `low`, 1 is `high`."""
        return self.value + share * (self.high - self.value if share > 0 else self.value - self.low)


def exact(value: float, unit: str, sources: Iterable[str] = ()) -> Estimate:
    """A figure given by the caller or by definition: its band is the figure itself."""
    return Estimate(value, value, value, unit, tuple(sources))


def plus_minus(value: float, half: float, unit: str, sources: Iterable[str] = ()) -> Estimate:
    """`value` with a band of `half` each way."""
    return Estimate(value, value - half, value + half, unit, tuple(sources))


def propagate(
    function: Callable[..., Mapping[str, float]],
    *,
    units: Mapping[str, str],
    limits: Mapping[str, Estimate] | None = None,
    spreads: Mapping[str, Estimate] | None = None,
    rows: Iterable[str] = (),
    bounds: Mapping[str, tuple[float, float]] | None = None,
) -> dict[str, Estimate]:
    """Bands of every output of `function(**inputs)` by the method of this module.

    `function` takes the keys of `limits` and `spreads` as keywords and returns floats by name;
    `units` names the outputs wanted and their units; `bounds` the least and the greatest an output
    can be, where it has such, and its band is cut there. Every output carries the sources of every
    input and `rows` besides. Cost: two calls for each input that has a band.
    """
    limits, spreads = dict(limits or {}), dict(spreads or {})
    nominal = {name: given.value for name, given in {**limits, **spreads}.items()}
    centre = function(**nominal)
    down = dict.fromkeys(units, 0.0)
    up = dict.fromkeys(units, 0.0)
    down_square = dict.fromkeys(units, 0.0)
    up_square = dict.fromkeys(units, 0.0)
    for name, given in {**limits, **spreads}.items():
        if given.low == given.high:
            continue
        ends = [function(**{**nominal, name: end}) for end in (given.low, given.high)]
        for output in units:
            shifts = [end[output] - centre[output] for end in ends]
            fall, rise = min(0.0, *shifts), max(0.0, *shifts)
            if name in limits:
                down[output] += fall
                up[output] += rise
            else:
                down_square[output] += fall**2
                up_square[output] += rise**2
    sources = {row for given in (*limits.values(), *spreads.values()) for row in given.sources}
    bounds = bounds or {}
    found = {}
    for output, unit in units.items():
        middle = centre[output]
        least, most = bounds.get(output, (-math.inf, math.inf))
        low = max(middle + down[output] - math.sqrt(down_square[output]), least)
        high = min(middle + up[output] + math.sqrt(up_square[output]), most)
        found[output] = Estimate(
            middle, min(low, middle), max(high, middle), unit, tuple(sources | set(rows))
        )
    return found
