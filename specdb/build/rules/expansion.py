"""Rules about expansion: what is hotter is longer, and two forms of one material say the same."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, NamedTuple

from specdb.build.rules.data import Data
from specdb.errors import BadCell

STRAIN, MEAN, SLOPE = (
    "expansion_strain",
    "mean_linear_expansion",
    "instantaneous_linear_expansion",
)
_SAME = 1.0
"""degC: temperatures this close are one (20, 20.0 and 21.1 degC = 70 degF are not told apart)."""
_UNSAID = 0.05
"""Relative uncertainty of a row that states none."""


class Point(NamedTuple):
    """A row's figure: from, to (degC), value and half-width in its house unit."""

    row: str
    start: float
    end: float
    value: float
    half: float


def points(data: Data, form: str) -> dict[str, list[Point]]:
    """Material -> points of one form, rows that stand only, by temperature."""
    found: dict[str, list[Point]] = defaultdict(list)
    for row in data.expanded["material_properties"]:
        if row["property"] != form or row["basis"] != "stands" or row["value_house"] is None:
            continue
        if row["temperature_c"] is None:
            continue
        start = row["temperature_from_c"]
        half = row["uncertainty_house"]
        found[row["material"]].append(
            Point(
                row["id"],
                row["temperature_c"] if start is None else start,
                row["temperature_c"],
                row["value_house"],
                abs(row["value_house"]) * _UNSAID if half is None else half,
            )
        )
    return {name: sorted(held, key=lambda one: (one.end, one.row)) for name, held in found.items()}


def strains_rise(data: Data) -> Iterator[BadCell]:
    """Of one source's strains of one material, the hotter is the longer.

    A fall no larger than the two rows' uncertainties is let pass: near absolute zero metals
    hardly move, and some shrink a little.
    """
    for held in points(data, STRAIN).values():
        yield from _rise(data, held, lambda one: one.value)


def means_rise(data: Data) -> Iterator[BadCell]:
    """Mean coefficient times span, the growth itself, rises with temperature."""
    for held in points(data, MEAN).values():
        yield from _rise(data, held, lambda one: one.value * (one.end - one.start))


def _rise(data: Data, held: list[Point], growth: Any) -> Iterator[BadCell]:
    series: dict[tuple[object, ...], list[Point]] = defaultdict(list)
    for one in held:
        place = data.placed[one.row]
        series[(place.cell("source"), place.cell("condition"), round(one.start))].append(one)
    for run in series.values():
        for below, above in pairwise(run):
            fall = growth(below) - growth(above)
            allowed = below.half + above.half
            if above.end > below.end and fall > allowed:
                yield data.placed[above.row].bad(
                    "value",
                    f"shorter at {above.end:g} degC than at {below.end:g} degC ({below.row})"
                    f" by {fall:g}e-6",
                )


def forms_agree(data: Data) -> Iterator[BadCell]:
    """Mean, instantaneous and strain rows of one material agree within their uncertainties."""
    strains, means, slopes = (points(data, form) for form in (STRAIN, MEAN, SLOPE))
    for material, held in means.items():
        for mean in held:
            for strain in strains.get(material, []):
                yield from _mean_and_strain(data, mean, strain)
            yield from _mean_and_slopes(data, mean, slopes.get(material, []))
    for material, held in strains.items():
        for strain in held:
            yield from _strain_and_slopes(data, strain, slopes.get(material, []))


def _mean_and_strain(data: Data, mean: Point, strain: Point) -> Iterator[BadCell]:
    span = strain.end - strain.start
    if abs(mean.end - strain.end) > _SAME or abs(mean.start - strain.start) > _SAME:
        return
    if abs(span) > 10 * _SAME:
        yield from _compare(data, mean, strain.row, strain.value / span, strain.half / abs(span))


def _mean_and_slopes(data: Data, mean: Point, slopes: list[Point]) -> Iterator[BadCell]:
    if (integral := _integral(slopes, mean.start, mean.end)) is not None:
        grown, half, rows = integral
        span = mean.end - mean.start
        yield from _compare(data, mean, rows, grown / span, half)


def _strain_and_slopes(data: Data, strain: Point, slopes: list[Point]) -> Iterator[BadCell]:
    if (integral := _integral(slopes, strain.start, strain.end)) is not None:
        grown, half, rows = integral
        yield from _compare(data, strain, rows, grown, half * abs(strain.end - strain.start))


def _integral(slopes: list[Point], start: float, end: float) -> tuple[float, float, str] | None:
    """Growth from `start` to `end` by the trapezium rule, the largest half-width, the rows."""
    low, high = min(start, end), max(start, end)
    inside = [one for one in slopes if low - _SAME <= one.end <= high + _SAME]
    if len(inside) < 2 or inside[0].end > low + _SAME or inside[-1].end < high - _SAME:
        return None
    if high - low < 10 * _SAME:
        return None
    grown = sum(
        (after.end - before.end) * (after.value + before.value) / 2
        for before, after in pairwise(inside)
    )
    # the trapezium ends up to a degree off the span asked for
    grown *= (high - low) / (inside[-1].end - inside[0].end)
    half = max(one.half for one in inside)
    return math.copysign(grown, end - start), half, f"{inside[0].row} to {inside[-1].row}"


def _compare(data: Data, one: Point, other: str, value: float, half: float) -> Iterator[BadCell]:
    apart, allowed = abs(one.value - value), one.half + half
    if apart > allowed:
        yield data.placed[one.row].bad(
            "value",
            f"{one.value:g} here, {value:.4g} by {other}: {apart:.3g} apart,"
            f" {allowed:.3g} within their uncertainties",
        )
