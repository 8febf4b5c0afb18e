"""Sizes: what goes into a measured counterbore, as found or bored to what."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import Part, PressCase
from specdb.records.quantities import Allowance, Diameter, Length, Size, Temperature


def _listed(given: object) -> object:
    """One reading is a list of one."""
    return (given,) if isinstance(given, str | int | float) else given


Readings = Annotated[tuple[Diameter, ...], BeforeValidator(_listed)]
Temperatures = Annotated[tuple[Temperature, ...], BeforeValidator(_listed), Field(max_length=2)]


GENERIC = "generic"
"""What a ring of the generic series is from; any other origin is the name of a shop's list."""


Preferred = Literal["shelf", "size"]
"""What one of several choices alike is put first for: it is on the shop's shelf, or of a size that
was preferred."""


class Counterbored(PressCase):
    """Readings of one counterbore and what the ring must suit. Lengths are mm on diameter."""

    bore: Readings = Field(min_length=1, description="A reading of the counterbore.")
    bore_bottom: Readings = Field((), description="A reading near the floor, for taper.")
    throat: Diameter | None = Field(None, description="Diameter of the port below the seat.")
    inner_max: Diameter | None = Field(None, description="Largest inside diameter that serves.")
    inner_min: Diameter | None = Field(None, description="Smallest inside diameter that serves.")
    height_max: Size | None = Field(None, description="Greatest height, the counterbore's depth.")
    runout: Allowance = Field(0.0, description="Total run-out of the counterbore to the guide.")
    pit_depth: Allowance = Field(0.0, description="Depth of the deepest pit in the wall.")
    largest_clean_up: Allowance = Field(1.5, description="Most to take out, on diameter.")
    measured_at: Temperatures = Field((), description="Temperature of the head, then of the ring.")
    reading_error: Allowance = Field(0.005, description="Error of a reading, each way.")
    bridge: Length | None = Field(None, description="Thinnest metal to a neighbour as it is.")
    interference_min: Length | None = Field(None, description="Least press, over our range.")
    interference_max: Length | None = Field(None, description="Greatest press, over our range.")
    prefer: Readings = Field(
        (),
        description="Outside diameter to put first where it is no more than 0.10 mm above the one "
        "that takes the least metal; further away it is listed in its place.",
    )
    most: int = Field(
        12,
        ge=1,
        le=500,
        description="Most sizes to look for; the first six are shown, all of them on demand.",
    )


class SizesRequest(Counterbored):
    """Readings of a counterbore, or of the hole a guide goes into, and what must suit them.

    For a guide the head is reamed, not bored. What only a seat's ring has (`throat`, `runout`,
    `bridge`, `retention`, `fuel`) is refused with one.
    """

    part: Part = Field(
        "seat-insert",
        description="A seat's ring, or a valve guide (on own lists: what is longer than wide).",
    )
    bore: Readings = Field(
        min_length=1, description="A reading of the counterbore, or of a guide's hole."
    )
    bore_bottom: Readings = Field(
        (), description="A reading near the floor, or at the far end of a guide's hole, for taper."
    )
    inner_max: Diameter | None = Field(
        None,
        description="Largest inside diameter that serves; of a guide, the bore it is reamed to.",
    )
    height_max: Size | None = Field(
        None, description="Greatest height: the counterbore's depth; of a guide, its length."
    )


class Measured(Frozen):
    """The readings at 20 degC, mm. `ovality_mm` needs two readings at one depth, `taper_mm` some
    near the floor. `reading_error_mm` is each way, what the expansion leaves open included."""

    mean_mm: float
    smallest_mm: float
    largest_mm: float
    ovality_mm: float | None
    taper_mm: float | None
    reading_error_mm: float
    readings: int
    head_c: float
    ring_c: float


class Candidate(Frozen):
    """A ring (or a guide) that serves. mm at 20 degC, on diameter where nothing else is said.

    `bore_min_mm` to `bore_max_mm` is what the press leaves for the nominal ring. A ring that goes
    in as found has no metal to take out. Any other is bored between `cut_min_mm` and `cut_max_mm`,
    the part of the bore limits that also cleans up, aiming at `bore_target_mm`; `clean_up_mm` is
    how far the least of it lies over the largest reading. `press_least_mm` to `press_greatest_mm`
    is the press from there with the ring's tolerance (as found, the readings' error too).
    `*_as_read_mm`: what head and ring read at their own temperatures, when these were told.
    `outer_minus_mm` and `outer_plus_mm` are its tolerance; an own ring without one on its list is
    taken as exact, and they are None. `preferred`: what it goes before others alike for, None where
    nothing but the order of `why` put it there. `remarks`: what to look at before it is taken.
    `origin` is `generic`, or the name of a shop's own list: `size` is then its part number,
    `listed_mm` the outside diameter the list gives, `left` how many there are, where it says.
    An own ring's `oversize_mm` is not known. `below_deck_mm` is how far it stands below the deck,
    below zero how much is faced off it; `too_low` says that it stands lower than is usual. Both
    hold where the depth was told.
    """

    outer_mm: float
    outer_minus_mm: float | None
    outer_plus_mm: float | None
    inner_mm: float
    height_mm: float
    oversize_mm: float | None
    bore_min_mm: float
    bore_max_mm: float
    interference_min_mm: float
    interference_max_mm: float
    as_found: bool
    clean_up_mm: float
    clean_up_each_side_mm: float
    cut_min_mm: float | None
    cut_max_mm: float | None
    bore_target_mm: float
    press_least_mm: float
    press_greatest_mm: float
    ring_wall_mm: float
    below_deck_mm: float | None
    too_low: bool
    bridge_left_mm: float | None
    outer_as_read_mm: float | None
    bore_min_as_read_mm: float | None
    bore_max_as_read_mm: float | None
    listed_mm: float | None
    left: int | None
    origin: str
    size: str
    preferred: Preferred | None
    why: str
    remarks: tuple[str, ...]
    sources: tuple[str, ...]


class Rejected(Frozen):
    """A near miss: a ring that does not serve, and why."""

    outer_mm: float
    inner_mm: float
    height_mm: float
    origin: str
    size: str
    reason: str
    sources: tuple[str, ...]


class SizesResult(Answer):
    """Rings for a counterbore, or guides for a hole, best first, and the near misses.

    `as_found` says whether a ring goes in without cutting, `as_found_why` what decided it.
    `clean_bore_mm` is the smallest bore that cleans up. No candidate: `unknown` says why.
    """

    part: Part
    head_class: str
    insert_class: str
    position: str
    measured: Measured
    as_found: bool
    as_found_why: tuple[str, ...]
    clean_bore_mm: float
    setback_mm: float | None
    """How far below the deck a seat's ring may usually stand."""
    candidates: tuple[Candidate, ...]
    on_shelf: Candidate | None
    rejected: tuple[Rejected, ...]
    rule: str
    remarks: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def answered(self) -> bool:
        """Whether any ring serves."""
        return bool(self.candidates)
