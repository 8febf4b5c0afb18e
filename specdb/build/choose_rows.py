"""The rule of choice: one figure from several rows that say the same thing.

1. Only rows whose `basis` is `stands` count.
2. Of those, only the rows of the best `seen`: text, excerpt, secondary, derived, common-practice,
   memory. What was read in the source itself is not watered down by what was recalled.
3. Among these equals the mean weighted by one over the square of each row's uncertainty.
4. The band reaches every row of that mean, and is never narrower than the best single
   uncertainty: sources that repeat each other are not independent, so counting them
   does not make the figure better.

A case the rule would get wrong is settled in the data, by the `basis` of a row and the reason in
its note, never here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from specdb.records.rows import SEEN_ORDER


class Chosen(NamedTuple):
    """A figure, its band and the ids of the rows it was made from, sorted."""

    value: float
    low: float
    high: float
    rows: tuple[str, ...]

    @property
    def half(self) -> float:
        """The larger half of the band."""
        return max(self.value - self.low, self.high - self.value)


def standing(rows: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The rows that may enter an average."""
    return [row for row in rows if row["basis"] == "stands"]


def best_seen(rows: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The rows of the best `seen` among `rows`, in order of their ids."""
    held = sorted(rows, key=lambda row: str(row["id"]))
    if not held:
        return []
    best = min(SEEN_ORDER.index(row["seen"]) for row in held)
    return [row for row in held if row["seen"] == SEEN_ORDER[best]]


def mean_of(
    rows: Iterable[Mapping[str, Any]],
    *,
    value: str = "value_house",
    uncertainty: str = "uncertainty_house",
) -> Chosen | None:
    """Steps 3 and 4 over `rows` whatever their basis; None where there are none.

    A row without an uncertainty takes the largest of the others, or 5 % of its value where no
    row has one. A row given as exact does not silence the rest: it counts as 0.1 % of its value.
    """
    held = sorted(rows, key=lambda row: str(row["id"]))
    if not held:
        return None
    values = [float(row[value]) for row in held]
    halves = _halves(values, [row[uncertainty] for row in held])
    weights = [1.0 / half**2 for half in halves]
    total = math.fsum(weights)
    mean = math.fsum(w * v for w, v in zip(weights, values, strict=True)) / total
    least = min(halves)
    return Chosen(
        mean,
        min(mean - least, *values),
        max(mean + least, *values),
        tuple(str(row["id"]) for row in held),
    )


def choose(
    rows: Iterable[Mapping[str, Any]],
    *,
    value: str = "value_house",
    uncertainty: str = "uncertainty_house",
) -> Chosen | None:
    """The whole rule over rows of one quantity at one condition; None where no row stands."""
    return mean_of(best_seen(standing(rows)), value=value, uncertainty=uncertainty)


def _halves(values: list[float], given: list[float | None]) -> list[float]:
    """An uncertainty above zero for every value (see `mean_of`)."""
    known = [float(half) for half in given if half]
    filled = []
    for figure, half in zip(values, given, strict=True):
        if half is None:
            half = max(known) if known else 0.05 * abs(figure)
        filled.append(max(float(half), 1e-3 * abs(figure), 1e-12))
    return filled
