"""Removal: boring an old ring out of a head without touching the head."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specdb.estimate import Estimate
from specdb.records.answer import Answer, Frozen
from specdb.records.quantities import Allowance, Diameter, Length, Size

ComesAway = Literal["by itself", "thick side broken out", "broken out"]
MethodVerdict = Literal["first", "serves", "avoid", "never"]


class RemovalRequest(Frozen):
    """An old ring as it sits in the head, the tool's pilot, and how far the two are apart."""

    insert_diameter: Diameter = Field(
        description="Outside diameter of the old ring as seen in this head: it may be oversize, "
        "stepped or flanged already."
    )
    wall: Allowance | None = Field(
        None, description="Wall to leave; not given, what the trade leaves."
    )
    pilot: Diameter = Field(
        description="Diameter where the micrometer rests on the pilot, measured."
    )
    eccentricity: Allowance | None = Field(
        None, description="How far the old ring stands off the guide's axis."
    )
    runout: Allowance | None = Field(
        None, description="Total dial reading of the old ring about the guide: twice that."
    )
    insert_inner: Diameter | None = Field(None, description="Inside diameter of the old ring.")
    height: Size | None = Field(None, description="Height of the old ring.")
    depth: Size | None = Field(
        None, description="Depth of the counterbore below the face the depth is set from."
    )
    setback: Length = Field(0.0, description="Old ring below that face (+), or proud (-).")
    head: str | None = Field(None, description="Head material, by key or class.")
    insert: str | None = Field(None, description="Class or material of the old ring, if known.")


class RemovalMethod(Frozen):
    """A way to take the ring out, and how it suits this ring and head.

    `statements` are what the rows say of it, in their words; `hazards` what may hurt somebody.
    """

    method: str
    verdict: MethodVerdict
    why: str
    statements: tuple[str, ...]
    hazards: tuple[str, ...]
    sources: tuple[str, ...]


class RemovalResult(Answer):
    """Cutter, setting and wall for boring an old ring out. mm.

    `safe`: the thinnest wall is at least `wall_limit_mm`, with the run-out in; if not, the cutter
    could touch the head and the answer is a refusal. `comes_away` says whether the ring will.
    `depth_stop_mm` is from the face the depth was measured from, `stop_above_floor_mm` from the
    floor. `wall_needed_mm` is the wall that would be safe with this run-out.
    """

    cutter_diameter_mm: float
    tip_over_pilot_mm: float | None
    """None where the cut is not safe: a setting that touches the head is not told."""
    wall_min_mm: float
    wall_max_mm: float
    wall_limit_mm: float
    wall_needed_mm: float
    eccentricity_mm: float
    runout_mm: float
    safe: bool
    why: str
    comes_away: ComesAway | None
    stop_above_floor_mm: Estimate
    depth_stop_mm: Estimate | None
    remarks: tuple[str, ...]
    methods: tuple[RemovalMethod, ...]
    sources: tuple[str, ...]

    @property
    def answered(self) -> bool:
        """Whether the setting is safe."""
        return self.safe
