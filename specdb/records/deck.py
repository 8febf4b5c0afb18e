"""Deck: what a skim leaves of setback, volume, compression, clearance and height."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.records.answer import Answer, Frozen
from specdb.records.published import PublishedRow
from specdb.records.quantities import Allowance, Angle, Area, Length, Ratio, Size, Volume

Reference = Literal["deck", "chamber-roof"]


class DeckRequest(Frozen):
    """A skim, and what is known of the head and engine before it."""

    skim: Size = Field(description="What is to come off the deck.")
    reference: Reference = Field(
        "deck", description="What the inserts lie in: the deck itself, or a chamber's roof."
    )
    setback: Length | None = Field(None, description="Insert below the deck (+), proud (-), now.")
    recess: Length | None = Field(None, description="Valve face below the deck (+), now.")
    chamber_area: Area | None = Field(
        None, description="Area of the chamber's mouth at the deck; 0 for a flat deck."
    )
    chamber_volume: Volume | None = Field(None, description="Volume of a chamber in the head, now.")
    swept_volume: Volume | None = Field(None, description="Swept volume of one cylinder.")
    compression_ratio: Ratio | None = Field(None, description="Compression ratio, now.")
    inclination: Angle = Field(0.0, description="Valve axis to the square of the deck.")
    valve_clearance: Length | None = Field(
        None, description="Valve-to-piston clearance along the valve, now."
    )
    height: Size | None = Field(None, description="Height of the head, now.")
    minimum_height: Size | None = Field(None, description="Least height the engine maker allows.")
    skimmed_before: Allowance | None = Field(None, description="What was skimmed off earlier.")


class DeckResult(Answer):
    """What is left after the skim. mm; volumes in cm3.

    `deepen_mm`: how much deeper the counterbores have to go so that the inserts lie as before.
    `taken_mm` is everything ever skimmed off, as far as told; `limits` are the published limits for
    that, side by side, each with what it `says` about it.
    """

    reference: Reference
    skim_mm: float
    taken_mm: float
    setback_left_mm: float | None
    recess_left_mm: float | None
    deepen_mm: float
    volume_lost_cm3: float | None
    chamber_volume_left_cm3: float | None
    clearance_volume_left_cm3: float | None
    compression_ratio: float | None
    compression_ratio_before: float | None
    valve_clearance_lost_mm: float
    valve_clearance_left_mm: float | None
    height_left_mm: float | None
    above_minimum_mm: float | None
    why: str
    remarks: tuple[str, ...]
    limits: tuple[PublishedRow, ...]
    after: tuple[PublishedRow, ...]
    sources: tuple[str, ...]
