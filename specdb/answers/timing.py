"""The clocks of one pair of heat and chill, and why one of them cannot be told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from specdb.answers import clocks
from specdb.answers.joint import Joint
from specdb.answers.pairs import Entry
from specdb.answers.steps import NONE, Step
from specdb.errors import OutOfRange
from specdb.estimate import Estimate
from specdb.physics import heat

NAMES = ("air_seconds", "bore_seconds", "light_seconds")
WARM = "the ring is as warm as the air: the head's cooling is the clock, not reckoned here"


@dataclass(frozen=True, slots=True)
class Start:
    """A ring as it leaves its step, the head at its own, the shop between them."""

    ring: heat.Ring
    joint: Joint
    shop: clocks.Shop
    chill: Step
    warm: Step
    head_strain: float
    sums: clocks.Sums = clocks.ONE_BY_ONE

    def in_air(self, press_mm: float = 0.0) -> Estimate | None:
        """Seconds in the air until the ring would touch, or have `press_mm` of press."""
        return clocks.in_air(
            self.ring,
            self.joint,
            start_c=self.chill.at,
            head_strain=self.head_strain,
            shop=self.shop,
            press_mm=press_mm,
            sums=self.sums,
        )

    def in_bore(self) -> Estimate | None:
        """Seconds in the bore until the ring touches it."""
        return clocks.in_bore(
            self.ring,
            self.joint,
            start_c=self.chill.at,
            head_c=self.warm.at,
            head_strain=self.head_strain,
            sums=self.sums,
        )


def clocks_of(
    start: Start, entry: Entry, light_mm: float, unknown: dict[str, str]
) -> dict[str, Estimate | None]:
    """Every clock of `NAMES`; `unknown` gathers the reason of each that is None.

    `light_mm` is the press a light press may have.
    """
    free = entry.clearance.value > 0
    light = -entry.clearance.value <= light_mm
    asked: dict[str, tuple[str | None, str, Callable[[], Estimate | None]]] = {
        "air_seconds": (
            None if free else "the ring does not go in freely",
            "at room temperature the ring still does not touch",
            start.in_air,
        ),
        "bore_seconds": (
            None if free else "the ring does not go in freely",
            "as warm as the head the ring still does not touch",
            start.in_bore,
        ),
        "light_seconds": (
            None if light else "more than a light press from the first",
            "at room temperature it still takes no more than a light press",
            lambda: start.in_air(light_mm),
        ),
    }
    found: dict[str, Estimate | None] = {}
    for name, (refused, never, clock) in asked.items():
        if name != "bore_seconds" and start.chill.key == NONE:
            refused = refused or WARM
        found[name], reason = (None, refused) if refused else _told(clock, never)
        if reason is not None:
            unknown[name] = reason
    return found


def _told(clock: Callable[[], Estimate | None], never: str) -> tuple[Estimate | None, str | None]:
    try:
        seconds = clock()
    except OutOfRange as refused:
        return None, refused.message
    return seconds, None if seconds is not None else never
