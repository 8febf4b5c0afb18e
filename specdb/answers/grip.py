"""Where a fit lets go: ring and head evenly hot, until no interference is left.

interference(T) = cold + ring x e_ring(T) - bore x e_head(T), e the strain from 20 degC. Followed
along both curves to the end of the shorter one; beyond it nothing is claimed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from specdb.answers.joint import ROOM_C
from specdb.estimate import Estimate, propagate

STEP_C = 5.0
"""Between nodes the strains are taken as straight: good to a few hundredths of a degree."""

Strain = Callable[[float], Estimate]
"""Strain from 20 degC (1) at a temperature (degC)."""


@dataclass(frozen=True)
class Path:
    """Two strains along one list of temperatures: value and band each, by `Estimate`."""

    temperatures: list[float]
    ring: list[Estimate]
    head: list[Estimate]
    _moved: dict[tuple[str, float], list[float]] = field(default_factory=dict)

    @property
    def end_c(self) -> float:
        """The hottest temperature, degC."""
        return self.temperatures[-1]

    def moved(self, part: str, share: float) -> list[float]:
        """The strains of `ring` or `head`, each moved by a share of its band."""
        kept = self._moved.get((part, share))
        if kept is None:
            of = self.ring if part == "ring" else self.head
            kept = self._moved[part, share] = [each.moved(share) for each in of]
        return kept

    @cached_property
    def rows(self) -> tuple[str, ...]:
        """The rows behind both strains."""
        return tuple({row for each in (*self.ring, *self.head) for row in each.sources})


@dataclass(frozen=True, slots=True)
class Grip:
    """The temperature at which the fit lets go, or None; `text` says it either way."""

    lost_c: Estimate | None
    text: str


def path(
    ring: Strain, head: Strain, end_c: float, *, ahead_k: float = 0.0, start_c: float = ROOM_C
) -> Path:
    """Both strains from `start_c` up to `end_c` of the head, where the shorter curve ends.

    ahead_k   how much hotter than the head the ring is all the way [K]
    """
    steps = max(1, round((end_c - start_c) / STEP_C))
    at = [start_c + (end_c - start_c) * step / steps for step in range(steps + 1)]
    return Path(at, [ring(t + ahead_k) for t in at], [head(t) for t in at])


def lost(along: Path, cold: Estimate, insert_diameter: float, bore: float) -> Grip:
    """Where `cold` interference (mm at 20 degC, its band as limits) is used up by even heat."""

    def outcome(cold: float, ring: float, head: float) -> dict[str, float]:
        left = [
            cold + insert_diameter * r - bore * h
            for r, h in zip(along.moved("ring", ring), along.moved("head", head), strict=True)
        ]
        crossing = _crossing(along.temperatures, left)
        return {"at": along.end_c if crossing is None else crossing, "left": left[-1]}

    spreads = {"ring": Estimate(0.0, -1.0, 1.0, "1"), "head": Estimate(0.0, -1.0, 1.0, "1")}
    found = propagate(
        outcome,
        units={"at": "degC", "left": "mm"},
        limits={"cold": cold},
        spreads=spreads,
        rows=along.rows,
    )
    return _said(found["at"], found["left"], along.end_c)


def _said(at: Estimate, left: Estimate, end_c: float) -> Grip:
    """`at` stops at the end of the curves: there it means no more than 'not before'."""
    end = f"{end_c:.0f} degC"
    if left.value > 0:
        text = f"still holds at {end}, the hottest the data go, ring and head evenly hot"
        if at.low < end_c:
            text += f"; at worst it lets go at {at.low:.0f} degC"
        return Grip(None, text)
    text = f"lets go when head and ring are both at {at.value:.0f} degC"
    if at.high >= end_c or left.high > 0:
        text += f"; at best it still holds at {end}, the hottest the data go"
    high = min(max(at.value, at.high), end_c)
    low = max(ROOM_C, min(at.low, at.value))
    return Grip(Estimate(at.value, low, high, "degC", at.sources), text)


def _crossing(temperatures: list[float], left: list[float]) -> float | None:
    """The first temperature at which `left` falls to zero, or None."""
    if left[0] <= 0:
        return temperatures[0]
    for at in range(1, len(left)):
        if left[at] <= 0:
            share = left[at - 1] / (left[at - 1] - left[at])
            return temperatures[at - 1] + share * (temperatures[at] - temperatures[at - 1])
    return None
