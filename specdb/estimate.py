"""A figure with its band and the rows it stands on, and how bands combine.

The one method, used everywhere: the function is evaluated at the nominal values, then with
one input at a time moved to its low and its high end. Inputs that are *limits* (a tolerance, a
reading error, a range a part may lie anywhere in) add their shifts up; inputs that are
*spreads* (what sources and material scatter leave open) add theirs in quadrature, since they
are independent and seldom all at their ends. First order: good while the function is close to
straight over the bands.
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
) -> dict[str, Estimate]:
    """Bands of every output of `function(**inputs)` by the method of this module.

    `function` takes the keys of `limits` and `spreads` as keywords and returns floats by name;
    `units` names the outputs wanted and their units. Every output carries the sources of every
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
    return {
        output: Estimate(
            centre[output],
            centre[output] + down[output] - math.sqrt(down_square[output]),
            centre[output] + up[output] + math.sqrt(up_square[output]),
            unit,
            tuple(sources | set(rows)),
        )
        for output, unit in units.items()
    }
