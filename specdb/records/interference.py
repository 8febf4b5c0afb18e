"""Interference: every range of press that applies to a case, and the recommended one."""

from __future__ import annotations

from pydantic import Field

from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import PressCase
from specdb.records.quantities import Diameter
from specdb.records.standard_fit import StandardFit


class InterferenceRequest(PressCase):
    """The part, its size and the case it is fitted in."""

    diameter: Diameter = Field(description="Outside diameter of the insert.")
    part: str = Field("seat-insert", description="The part: seat-insert, valve-guide, ...")


class RangeRow(Frozen):
    """One row as it applies to the case asked about.

    `minimum_mm` and `maximum_mm` are on diameter, a per-mm rule already turned to mm at the
    diameter asked; `rule_minimum` and `rule_maximum` are then the rule, mm per mm of diameter.
    `covers`: the row is given for this diameter. `decides`: it is behind the
    recommended range; `why` says why, or why not.
    """

    row: str
    head_class: str
    insert_class: str
    position: str
    diameter_from_mm: float | None
    diameter_to_mm: float | None
    minimum_mm: float
    maximum_mm: float
    form: str
    rule_minimum: float | None
    rule_maximum: float | None
    retention: str
    seat_in: str
    printed: str
    seen: str
    basis: str
    covers: bool
    decides: bool
    why: str
    sources: tuple[str, ...]


class InterferenceResult(Answer):
    """Interference on diameter, mm.

    `interference_min_mm` to `interference_max_mm` is the recommended range at the diameter asked
    (None where there is none there: `unknown` says so and `nearest` what is close); `rule` how it
    came about, `decided_by` the rows behind it; `ranges` every row for such a pair, the
    deciding ones first, then those given for this diameter, then by distance from it.
    `standard_fits` holds the fit of each standard that comes nearest to the recommended range.
    """

    part: str
    head_class: str
    insert_class: str
    position: str
    diameter_mm: float
    interference_min_mm: float | None
    interference_max_mm: float | None
    rule: str
    nearest: str | None
    remarks: tuple[str, ...]
    standard_fits: tuple[StandardFit, ...]
    decided_by: tuple[str, ...]
    ranges: tuple[RangeRow, ...]

    @property
    def answered(self) -> bool:
        """Whether a press is recommended."""
        return self.interference_min_mm is not None
