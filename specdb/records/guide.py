"""Guide: how worn it is, out, in again, how far it closes in, and what it is reamed to."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.estimate import Estimate
from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import Position
from specdb.records.published import PublishedRow
from specdb.records.quantities import Allowance, Diameter, Length, Size
from specdb.records.sizes import Readings

Wear = Literal["within", "between limits", "worn out", "does not enter"]


class GuideRequest(Frozen):
    """A guide and its stem, measured top, middle and bottom, two ways each. mm at 20 degC.

    Top is the spring's end, bottom the port's. `bore` is the hole in the head with the guide out.
    """

    position: Position = Field("exhaust", description="Which valve; inlet is intake.")
    guide_top: Readings = Field((), description="Inside of the guide at the spring's end.")
    guide_middle: Readings = Field((), description="Inside of the guide in the middle.")
    guide_bottom: Readings = Field((), description="Inside of the guide at the port's end.")
    stem_top: Readings = Field((), description="Stem where it runs in the top of the guide.")
    stem_middle: Readings = Field((), description="Stem in the middle of its run.")
    stem_bottom: Readings = Field((), description="Stem where it runs in the guide's port end.")
    stem: Readings = Field((), description="Stem of the valve that goes in, where it runs.")
    head: str | None = Field(None, description="Head material, by key or class.")
    guide: str | None = Field(None, description="Material of the new guide.")
    bore: Readings = Field((), description="Hole in the head, guide out.")
    guide_diameter: Diameter | None = Field(None, description="Outside of the new guide, measured.")
    guide_inner: Diameter | None = Field(None, description="Inside of the new guide, as supplied.")
    length: Size | None = Field(None, description="Length of the guide.")
    reading_error: Allowance = Field(0.005, description="Error of a reading, each way.")
    protrusion_before: Length | None = Field(
        None, description="How far the old guide stood out, from the face you measure from."
    )
    protrusion_after: Length | None = Field(None, description="The same, of the new guide.")


class GuidePlace(Frozen):
    """One height of the guide: largest readings less smallest, and the play there. mm.

    `stem_mm` is the smallest reading of the stem there, or anywhere where it was not read there.
    """

    place: Literal["top", "middle", "bottom"]
    guide_mm: float
    guide_ovality_mm: float | None
    stem_mm: float | None
    play_mm: float | None
    """Largest guide reading less smallest stem reading: the play at its worst."""


class GuideSize(Frozen):
    """A guide that would serve, and what the hole in the head must be for it. mm.

    `as_found`: it goes in as the hole is; else the hole is reamed between the two figures.
    `stock_mm`: from its inside as supplied to the least finished bore, on diameter.
    """

    outer_mm: float
    inner_mm: float
    length_mm: float
    oversize_mm: float
    stock_mm: float
    as_found: bool
    ream_head_min_mm: float | None
    ream_head_max_mm: float | None
    sources: tuple[str, ...]


class GuideResult(Answer):
    """Wear, press, closing-in and finished bore of a guide. mm.

    `wear` judges the worst play against the published limits, the error of both readings allowed
    for: the greatest of the heights, each the widest guide less the thinnest stem there, or
    wherever the stem was read. "does not enter": a reading of the guide is under the stem's.
    `ream_min_mm` to `ream_max_mm` is the finished bore for the stem that goes in. `closes_in_mm` is
    how far the guide's bore shrinks when it is pressed in, `inner_fitted_mm` what is then left,
    `to_ream_mm` what has to come out.
    """

    position: Position
    places: tuple[GuidePlace, ...]
    worst_play_mm: float | None
    bell_mouth_mm: float | None
    wear: Wear | None
    clearance_min_mm: float
    clearance_max_mm: float
    ream_min_mm: float | None
    ream_max_mm: float | None
    interference_min_mm: float | None
    interference_max_mm: float | None
    press_mm: Estimate | None
    closes_in_mm: Estimate | None
    inner_fitted_mm: Estimate | None
    to_ream_mm: Estimate | None
    liner_bore_min_mm: float | None
    liner_bore_max_mm: float | None
    protrusion_change_mm: float | None
    why: str
    remarks: tuple[str, ...]
    guides: tuple[GuideSize, ...]
    steps: tuple[PublishedRow, ...]
    limits: tuple[PublishedRow, ...]
    clearances: tuple[PublishedRow, ...]
    sources: tuple[str, ...]
