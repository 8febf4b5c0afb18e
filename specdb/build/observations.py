"""From rows to what an expansion curve is drawn through.

A mean expansion and a strain both say how much longer the material gets between two
temperatures; an instantaneous expansion says how steep the curve is at one. Published fits are
read off at points. Rows that say the same thing, the same span or the same temperature, are
made one by the rule of choice first. House units here: degC, strain in 1e-6, slope in 1e-6/K.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from specdb.build.choose_rows import best_seen, mean_of
from specdb.build.published_fits import STRAIN_ZERO_C, fit_points

ROOM_C = 20.0
DENSE = 4
"""From this many strains on, a source gives a curve and not single figures."""
SHARED = 10.0
"""Points of one curve share most of their error: relative to each other they count as this many
times better than their stated uncertainty. The band keeps the whole uncertainty."""


class Span(NamedTuple):
    """The material grows by `growth` from `lower` to `upper`; `half` is the band, `weight` the
    standard deviation it is fitted with."""

    lower: float
    upper: float
    growth: float
    half: float
    weight: float
    rows: tuple[str, ...]


class Steepness(NamedTuple):
    """The slope at one temperature."""

    at: float
    slope: float
    half: float
    rows: tuple[str, ...]


class Observations(NamedTuple):
    """All that is known of one material's expansion."""

    spans: tuple[Span, ...]
    slopes: tuple[Steepness, ...]

    def ids(self) -> tuple[str, ...]:
        """The rows behind them, sorted."""
        spans = {row for span in self.spans for row in span.rows}
        return tuple(sorted(spans | {row for each in self.slopes for row in each.rows}))


def observations(
    rows: Iterable[Mapping[str, Any]], fits: Iterable[Mapping[str, Any]]
) -> Observations:
    """The observations of one material, by the rule of choice, in order of temperature.

    `rows` and `fits` are the ones allowed to count: the caller has looked at their basis.
    """
    rows, fits = list(rows), list(fits)
    grown = [*_grown(rows), *_fitted(fits)]
    curve_of = Counter(_curve(each) for each in grown)
    groups: dict[tuple[float, float], list[dict[str, Any]]] = defaultdict(list)
    for each in grown:
        groups[round(each["lower"], 1), round(each["upper"], 1)].append(each)
    spans = [_span(group, curve_of) for _, group in sorted(groups.items())]
    return Observations(tuple(spans), tuple(_slopes(rows)))


def _curve(each: Mapping[str, Any]) -> tuple[str, str]:
    return each["source"], each["kind"]


def _grown(rows: Sequence[Mapping[str, Any]]) -> Iterator[dict[str, Any]]:
    """Mean and strain rows as growth over a span, `lower` below `upper`."""
    for row in rows:
        kind = row["property"]
        if kind not in ("mean_linear_expansion", "expansion_strain"):
            continue
        start, end = row["temperature_from_c"], row["temperature_c"]
        if start is None or end is None or abs(end - start) < 1.0:
            continue
        factor = (end - start) if kind == "mean_linear_expansion" else 1.0
        sign = 1.0 if end > start else -1.0
        half = row["uncertainty_house"]
        yield {
            "id": row["id"],
            "seen": row["seen"],
            "source": row["source"],
            "kind": kind,
            "lower": min(start, end),
            "upper": max(start, end),
            "value_house": sign * factor * row["value_house"],
            "uncertainty_house": None if half is None else abs(factor) * half,
        }


def _fitted(fits: Sequence[Mapping[str, Any]]) -> Iterator[dict[str, Any]]:
    """A published fit read off at points, each as growth to or from the fit's own zero."""
    for fit in fits:
        if fit["property"] not in ("expansion_strain", "instantaneous_linear_expansion"):
            continue
        for at, strain, half in fit_points(fit):
            if abs(at - STRAIN_ZERO_C) < 4.0:
                continue
            yield {
                "id": fit["id"],
                "seen": fit["seen"],
                "source": fit["source"],
                "kind": f"fit {fit['id']}",
                "lower": min(at, STRAIN_ZERO_C),
                "upper": max(at, STRAIN_ZERO_C),
                "value_house": strain if at > STRAIN_ZERO_C else -strain,
                "uncertainty_house": half,
            }


def _span(group: list[dict[str, Any]], curve_of: Counter[tuple[str, str]]) -> Span:
    held = best_seen(group)
    chosen = mean_of(held)
    assert chosen is not None
    dense = any(
        each["kind"] != "mean_linear_expansion" and curve_of[_curve(each)] >= DENSE for each in held
    )
    least = 0.3 if dense else 1.0
    weight = max(chosen.half / (SHARED if dense else 1.0), least)
    return Span(
        held[0]["lower"],
        held[0]["upper"],
        chosen.value,
        chosen.half,
        weight,
        tuple(sorted(set(chosen.rows))),
    )


def _slopes(rows: Sequence[Mapping[str, Any]]) -> Iterator[Steepness]:
    groups: dict[float, list[Mapping[str, Any]]] = defaultdict(list)
    for row in rows:
        if row["property"] == "instantaneous_linear_expansion" and row["temperature_c"] is not None:
            groups[round(row["temperature_c"], 1)].append(row)
    for at, group in sorted(groups.items()):
        chosen = mean_of(best_seen(group))
        assert chosen is not None
        yield Steepness(at, chosen.value, chosen.half, chosen.rows)
