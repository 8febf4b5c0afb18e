"""A material's own values of one property over temperature, by the rule of choice.

Rows between 15 and 30 degC, and rows that name no temperature, all speak of room temperature,
filed as 20 degC. Strength is told apart by what the piece went through:

- *long* rows: tested after hours at the temperature ("after conditioning", "after 10 000 h");
- *short* rows: tested hot without soaking ("unconditioned", "up to 2 h");
- plain rows say nothing of it.

A running head is judged by long and plain rows; by short ones only up to 200 degC and where there
are no long ones: hotter than that age-hardened metal is softer after an hour than the short test
shows. A short heating is judged by short and plain rows, or, where there are none of the short,
by the long ones, which lie lower. At room temperature all count. A row that is an upper limit of
a family is no strength to reckon with. Guaranteed minima and typical values are two
things: where the best seen rows hold both, the typical ones speak, else the minima, and say so.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from specdb.build.choose_rows import best_seen, mean_of, standing
from specdb.build.observations import ROOM_C
from specdb.build.published_fits import error_of, evaluate, points

Row = Mapping[str, Any]
ROOM = (15.0, 30.0)
STRENGTHS = ("proof_strength", "tensile_strength", "compressive_yield")
BORROWABLE = (
    "youngs_modulus",
    "poissons_ratio",
    "density",
    "specific_heat",
    "thermal_conductivity",
)
EXPOSURE = "max_exposure_temperature"
STATES = ("running", "short")
SHORT_FOR_RUNNING_C = 200.0


class Value(NamedTuple):
    """A value at one temperature, degC, with its band, rows, and where it is from."""

    at: float
    value: float
    low: float
    high: float
    rows: tuple[str, ...]
    origin: str


def own_values(rows: Iterable[Row], fits: Iterable[Row], name: str) -> list[Value]:
    """The values of property `name` (no strength) in order of temperature."""
    held = [row for row in standing(rows) if row["property"] == name]
    read = [at for fit in standing(fits) if fit["property"] == name for at in _read_off(fit)]
    groups: dict[float, list[Row]] = defaultdict(list)
    for row in [*held, *read]:
        groups[_at(row)].append(row)
    return [_value(at, best_seen(group), "own") for at, group in sorted(groups.items())]


def strength(rows: Iterable[Row], name: str, state: str) -> list[Value]:
    """The values of the strength `name` for one of STATES, in order of temperature."""
    held = [row for row in standing(rows) if row["property"] == name and soak(row) != "limit"]
    groups: dict[float, list[Row]] = defaultdict(list)
    for row in held:
        if _at(row) == ROOM_C or _counts(row, held, state):
            groups[_at(row)].append(row)
    return [_strength(at, best_seen(group)) for at, group in sorted(groups.items())]


def soak(row: Row) -> str:
    """What a strength row's condition says of the time at temperature."""
    condition = str(row["condition"] or "")
    if "upper limit" in condition:
        return "limit"
    if "after conditioning" in condition or " h at temperature" in f" {condition}":
        return "short" if "up to 2 h" in condition else "long"
    if "after 500 h" in condition:
        return "long"
    return "short" if "unconditioned" in condition else "plain"


def exposure(rows: Iterable[Row]) -> list[Value]:
    """The heat a material bears: the most cautious row, the band reaching over all of them.

    The rows speak of different times at temperature, so they are never averaged.
    """
    held = [row for row in standing(rows) if row["property"] == EXPOSURE]
    if not held:
        return []
    ends = [(row["value_house"], row["uncertainty_house"] or 0.0) for row in held]
    ids = tuple(sorted(str(row["id"]) for row in held))
    least = min(value for value, _ in ends)
    low = min(value - half for value, half in ends)
    high = max(value + half for value, half in ends)
    return [Value(ROOM_C, least, low, high, ids, "own")]


def _at(row: Row) -> float:
    at = row["temperature_c"]
    if at is None or ROOM[0] <= at <= ROOM[1]:
        return ROOM_C
    return round(float(at), 2)


def _counts(row: Row, held: Sequence[Row], state: str) -> bool:
    """Whether a hot strength row speaks for `state`."""
    kinds = {soak(each) for each in held if _at(each) != ROOM_C}
    if soak(row) == "plain":
        return True
    if state == "running":
        return soak(row) == "long" or ("long" not in kinds and _at(row) <= SHORT_FOR_RUNNING_C)
    return soak(row) == "short" or "short" not in kinds


def _strength(at: float, group: list[Row]) -> Value:
    typical = [row for row in group if not _is_minimum(row)]
    return _value(at, typical or group, "own" if typical else "minimum")


def _is_minimum(row: Row) -> bool:
    condition = str(row["condition"] or "")
    return "minimum" in condition or "lower scatter band" in condition


def _value(at: float, group: list[Row], origin: str) -> Value:
    chosen = mean_of(group)
    assert chosen is not None
    ids = tuple(sorted(set(chosen.rows)))
    return Value(at, chosen.value, max(chosen.low, 0.0), chosen.high, ids, origin)


def _read_off(fit: Row) -> Iterator[dict[str, Any]]:
    """A fit as rows: at its points outside the room band, and at 20 degC if that is inside."""
    where = [at for at in points(fit) if not ROOM[0] <= at <= ROOM[1]]
    if fit["valid_low_c"] <= ROOM_C <= fit["valid_high_c"]:
        where.append(ROOM_C)
    for at in where:
        value = evaluate(fit, at)
        yield {
            "id": fit["id"],
            "seen": fit["seen"],
            "temperature_c": at,
            "value_house": value,
            "uncertainty_house": value * error_of(fit),
        }
