"""The question `shrink`: which heat and which cold let a ring go in, and for how long."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from specdb.errors import BadRequest
from specdb.estimate import Estimate
from specdb.records.answer import Answer, Frozen
from specdb.records.joint import JointRequest
from specdb.records.quantities import Allowance, Temperature

Media = Annotated[
    tuple[str, ...], BeforeValidator(lambda one: (one,) if isinstance(one, str) else one)
]
Verdict = Literal["drop-in", "light-press", "no"]


class ShopHeat(Frozen):
    """What the shop can heat and chill with, and what it wants of an entry."""

    clearance: Allowance | None = Field(
        None, description="Clearance wanted for a drop-in; not given, a thousandth of the diameter."
    )
    chill: str | None = Field(
        None, description="Chilling medium, or 'none'; not given, every one is tried."
    )
    head_temperature: Temperature | None = Field(
        None, description="Temperature of the head; not given, every heating step is tried."
    )
    available: Media | None = Field(
        None,
        description="A medium the shop has; not given, all of them. 'oven' is every oven step.",
    )
    heat_limit: Temperature | None = Field(
        None, description="Ceiling for the head, instead of the alloy's own."
    )
    room_temperature: Temperature = Field(20.0, description="Temperature of the shop.")
    oven_minutes: float | None = Field(
        None, ge=0, le=6000, description="Time of the head in the oven; not given, the usual soak."
    )
    humidity: float = Field(
        50.0, ge=0, le=100, description="Relative humidity in per cent: frost shortens the clock."
    )

    @model_validator(mode="after")
    def _warmer_than_the_shop(self) -> Self:
        if self.heat_limit is not None and self.heat_limit < self.room_temperature:
            raise BadRequest(
                f"heat_limit: a ceiling of {self.heat_limit:g} degC is below the "
                f"{self.room_temperature:g} degC of the shop.",
                hint="Accepted: at least room_temperature.",
                field="heat_limit",
            )
        return self


class ClockShift(Frozen):
    """The seconds of a pair at the hurried end, with one condition changed."""

    air_seconds: float | None
    """None where the change has no part in this clock."""
    bore_seconds: float | None
    sources: tuple[str, ...]
    change: str


class ShrinkRequest(JointRequest, ShopHeat):
    """A ring, its counterbore, and what the shop can heat and chill with."""


class ShrinkPair(Frozen):
    """One chilling medium with one heating step; `unknown` says why a clock is None."""

    chill: str
    """Media key, or `none`."""
    heat: str
    """Media key of the heating step; `given` where a temperature was asked for."""
    insert_temperature_c: float
    head_temperature_c: float
    clearance_mm: Estimate
    """At the diameters given; `low` at the tightest end, which the verdict judges."""
    interference_left_mm: Estimate
    press_force_n: Estimate
    verdict: Verdict
    air_seconds: Estimate | None
    """Out of the cold, in the air, until the ring would touch the bore."""
    bore_seconds: Estimate | None
    """In the counterbore, until the ring touches it."""
    light_seconds: Estimate | None
    """Out of the cold, in the air, until more than a light press would be needed."""
    ageing_hours: Estimate | None
    """Hours at the temperature the casting was aged at that the oven time counts as."""
    ageing_share: Estimate | None
    """The same as a share of the ageing that hardened the casting."""
    allowed: bool
    why: str
    unknown: dict[str, str] = Field(default_factory=dict)


class Soak(Frozen):
    """How long a part must stay in its medium."""

    part: Literal["insert", "head"]
    medium: str
    minutes: Estimate | None
    text: str
    sources: tuple[str, ...]


class ShrinkResult(Answer):
    """Every pair, mildest first; the mildest that serves; soaks; advice rounded for people."""

    interference_mm: Estimate
    """Ring less counterbore at 20 degC."""
    clearance_wanted_mm: Estimate
    heat_limit_c: Estimate | None
    """Ceiling for the head; None where no step here costs the metal anything."""
    warnings: tuple[str, ...]
    """What was asked for that the data speak against."""
    chosen: ShrinkPair | None
    """The mildest pair that is allowed."""
    drop_in: ShrinkPair | None
    """The mildest allowed pair that needs no force at all."""
    advice: tuple[str, ...]
    sensitivity: tuple[ClockShift, ...]
    """How the seconds of the mildest pair that drops in move; the first line is as reckoned."""
    matters_most: str | None
    """What shortens those seconds most."""
    insert_soak: tuple[Soak, ...]
    head_soak: Soak
    pairs: tuple[ShrinkPair, ...]

    @property
    def serving(self) -> tuple[ShrinkPair, ...]:
        """What a screen shows of `pairs`: those advised, or, where none is, those that would go."""
        going = tuple(pair for pair in self.pairs if pair.verdict != "no")
        return tuple(pair for pair in going if pair.allowed) or going

    @property
    def answered(self) -> bool:
        """Whether a way was chosen."""
        return self.chosen is not None
