"""Seat: everything for one seat, from its readings to the ring, the bore, the heat and the
seconds.
"""

from __future__ import annotations

from typing import Any

from pydantic import Field, ModelWrapValidatorHandler, ValidationError, model_validator

from specdb.records.answer import Answer, Frozen
from specdb.records.cut import CutResult, SeatCut
from specdb.records.fit import FitResult, HeadMetal
from specdb.records.interference import InterferenceResult
from specdb.records.quantities import Allowance, Diameter, Length, Size
from specdb.records.refused import misuse
from specdb.records.removal import RemovalResult
from specdb.records.shrink import ShopHeat, ShrinkPair, ShrinkResult
from specdb.records.sizes import Candidate, Counterbored, SizesResult


class SeatReadings(Counterbored, HeadMetal, ShopHeat, SeatCut):
    """What was measured at one seat, and the options of the questions a plan asks.

    `depth` is that of the counterbore below the deck, `pilot` the measured diameter of the pilot
    where the micrometer rests; `x` and `y` place the guide's axis in the head. `old_insert` is the
    ring that has to come out first, `wall` what is to be left of it, `old_insert_class` what it is.
    Only `bore`, `head` and `insert` are needed. Raises `Misuse` for fields that are missing,
    unknown or wrong.
    """

    label: str = Field("seat", description="What this seat is called on the sheet.")
    depth: Size | None = Field(None, description="Depth of the counterbore.")
    valve_diameter: Diameter | None = Field(None, description="Diameter of the valve head.")
    pilot: Diameter | None = Field(None, description="Pilot diameter where the micrometer rests.")
    old_insert: Diameter | None = Field(None, description="Outside of the old ring in the head.")
    old_insert_class: str | None = Field(
        None, description="Class or material of the old ring, if known."
    )
    wall: Allowance | None = Field(None, description="Wall of the old ring to leave.")
    x: Length | None = Field(None, description="Place of the guide's axis, along the head.")
    y: Length | None = Field(None, description="Place of the guide's axis, across the head.")
    neighbour: str | None = Field(None, description="Label of the seat next to this one.")
    centre_distance: Size | None = Field(
        None, description="From this seat's axis to the neighbour's, instead of x and y."
    )

    @model_validator(mode="wrap")
    @classmethod
    def _in_the_family(
        cls, given: Any, handler: ModelWrapValidatorHandler[SeatReadings]
    ) -> SeatReadings:
        """Tools make these by hand: what is refused leaves as an error of the family."""
        try:
            return handler(given)
        except ValidationError as error:
            hint = "Each seat needs its readings, the metal of the head and the class of the ring."
            raise misuse("seat", error, cls.model_fields, hint) from None


class BoringSetting(Frozen):
    """How the boring tool is set. mm; a tip over pilot is (pilot + bore) / 2.

    Limits and settings are rounded for the machine: bores inward to 0.005, settings to 0.01. The
    first cut is taken `first_cut_under_mm` small; measure it, and correct the setting by half of
    what is then missing on diameter. It is None where two clean cuts are not to be had. In a head
    it is chosen by the largest hole the setting serves.
    """

    bore_mm: float
    bore_least_mm: float
    bore_most_mm: float
    depth_mm: float | None
    pilot_mm: float | None
    tip_over_pilot_mm: float | None
    first_cut_under_mm: float | None
    first_bore_mm: float | None
    first_tip_over_pilot_mm: float | None


class ToMeasuredRing(Frozen):
    """The press of a bore made to the ring that was measured, mm: aim at `press_mm`, the gauges'
    errors leave it between the other two."""

    press_mm: float
    press_least_mm: float
    press_greatest_mm: float


class BenchLine(Frozen):
    """One line of the plan as it is read at the machine, rounded for people."""

    what: str
    text: str


class SeatPlan(Answer):
    """The plan of one seat.

    `bench` is the one screen a machinist works from; the answers behind it follow. Their sources
    and cautions are gathered in the plan's own `facts` and `cautions`. `problems` is what she
    should look at before she cuts; `readings` is what was asked. `shrink` answers for any ring and
    bore inside their limits; but where only the limits ask for dry ice or nitrogen, it answers for
    a bore made to the measured ring, `to_measured_ring` says to what press, and `any_ring` is the
    pair that serves otherwise.
    """

    label: str
    readings: SeatReadings
    bench: tuple[BenchLine, ...]
    problems: tuple[str, ...]
    chosen: Candidate | None
    boring: BoringSetting | None
    interference: InterferenceResult | None
    sizes: SizesResult
    fit: FitResult | None
    shrink: ShrinkResult | None
    to_measured_ring: ToMeasuredRing | None
    any_ring: ShrinkPair | None
    removal: RemovalResult | None
    cut: CutResult | None

    @property
    def answered(self) -> bool:
        """Whether a ring was chosen."""
        return self.chosen is not None
