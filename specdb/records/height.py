"""Height: what cutting a seat did to stem, spring and lash, and what puts it right."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from specdb.records.answer import Answer, Frozen
from specdb.records.published import PublishedRow
from specdb.records.quantities import Allowance, Size

Heights = Annotated[
    tuple[Size, ...],
    BeforeValidator(lambda one: (one,) if isinstance(one, str | int | float) else one),
]


class HeightRequest(Frozen):
    """Stem heights before and after, and what spring and lash were. mm.

    Stem height is from the spring's seat, or any face that stays, to the tip.
    """

    stem_old: Size = Field(description="Stem height before the work.")
    stem_new: Size = Field(description="Stem height now.")
    tip_ground: Allowance = Field(
        0.0, description="Ground off this tip between the two measurements."
    )
    spring_height: Size | None = Field(None, description="Installed height of the spring, now.")
    spring_height_wanted: Size | None = Field(
        None, description="Installed height the spring is to have."
    )
    lash: Allowance | None = Field(None, description="Lash wanted.")
    lash_found: Allowance | None = Field(None, description="Lash now, with the old shim in.")
    shim: Size | None = Field(None, description="Lash shim that is in.")
    bridge_heights: Heights = Field(
        (), description="Stem height now of a valve under the same bridge."
    )


class HeightResult(Answer):
    """What to shim, grind and change. mm.

    `sink_mm` is how far the valve sank. `spring_shim_mm` restores the spring's height.
    `tip_to_grind_mm` would restore the stem's height; of it `tip_allowed_mm` is within the limit
    on all that comes off a tip, and `tip_over_mm` is left for another cure. `lash_shim_mm` is the
    shim that goes in when the tip is left as it is.
    """

    sink_mm: float
    stem_change_mm: float
    spring_shim_mm: float
    spring_shim_by_height_mm: float | None
    tip_to_grind_mm: float
    tip_allowed_mm: float
    tip_over_mm: float
    tip_limit_mm: float
    lash_shim_mm: float | None
    lash_shim_change_mm: float | None
    bridge_spread_mm: float | None
    bridge_limit_mm: float
    bridge_within: bool | None
    why: str
    remarks: tuple[str, ...]
    recession: tuple[PublishedRow, ...]
    sources: tuple[str, ...]
