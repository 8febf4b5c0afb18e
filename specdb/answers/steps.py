"""Heating steps and chilling media, in the order of what they cost: the mildest first.

Mildness, common practice of a shop: first what the cold can do to people (no chill and a freezer
harm nobody; dry ice, then dry ice in alcohol, then nitrogen), then the least heat, then the least
cold. So a warmer head comes before dry ice, and dry ice before nitrogen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from specdb.errors import UnknownName
from specdb.estimate import Estimate, exact, plus_minus

NONE = "none"
GIVEN = "given"
OVEN = "oven"
ROOM = "room-air"
HOT_PLATE = "hot-plate"
"""Heats one spot, not the casting: offered only to a shop that names it."""
IN_ALCOHOL = ("dry-ice-isopropanol", "dry-ice-ethanol")
RANKS = {"dry-ice": 1, **dict.fromkeys(IN_ALCOHOL, 2), "liquid-nitrogen": 3}
WARM_C = 30.0
"""A head warmer than this counts as hot beside a flammable bath."""


@dataclass(frozen=True, slots=True)
class Step:
    """One way to bring a part to a temperature (degC, its tolerance as a limit)."""

    key: str
    name: str
    temperature: Estimate
    available: bool

    @property
    def at(self) -> float:
        """The temperature itself, degC."""
        return self.temperature.value


def mildness(chill: Step, heat: Step) -> tuple[int, float, float, str, str]:
    """The sort key of a pair: hazard of the cold, heat of the head, depth of the cold."""
    return (RANKS.get(chill.key, 0), heat.at, -chill.at, chill.key, heat.key)


def chills(
    rows: Sequence[Mapping[str, Any]],
    only: str | None,
    room: float,
    available: Iterable[str] | None,
) -> list[Step]:
    """`none` and every chilling medium, or the one asked for; raises `UnknownName`."""
    has = None if available is None else set(available)
    steps = [Step(NONE, "no chill", exact(room, "degC"), True)]
    steps += [_step(row, has) for row in rows if row["kind"] == "chill"]
    if only is None:
        return steps
    wanted = [step for step in steps if step.key == only]
    if not wanted:
        raise UnknownName("chilling medium", only, [step.key for step in steps], field="chill")
    return wanted


def heats(
    rows: Sequence[Mapping[str, Any]],
    only: float | None,
    room: float,
    available: Iterable[str] | None,
) -> list[Step]:
    """The room and every heating step, or the one temperature asked for."""
    if only is not None:
        return [Step(GIVEN, f"head at {only:g} degC", exact(only, "degC"), True)]
    has = None if available is None else set(available)
    steps = [Step(ROOM, "head at room temperature", exact(room, "degC"), True)]
    return steps + [_step(row, has) for row in rows if row["kind"] == "heat"]


def check_available(rows: Sequence[Mapping[str, Any]], available: Iterable[str] | None) -> None:
    """Refuse a medium nobody knows; `oven` and `none` are words for several and for nothing."""
    known = {row["key"] for row in rows} | {OVEN, NONE}
    for key in available or ():
        if key not in known:
            raise UnknownName("medium", key, known, field="available")


def _step(row: Mapping[str, Any], has: set[str] | None) -> Step:
    key = row["key"]
    if has is None:
        there = key != HOT_PLATE
    else:
        there = key in has or (OVEN in has and key.startswith(f"{OVEN}-"))
    at = plus_minus(row["temperature_c"], row["tolerance_c"], "degC", [row["id"]])
    return Step(key, row["name"], at, there)
