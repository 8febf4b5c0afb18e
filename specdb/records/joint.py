"""What `fit` and `shrink` both ask about: ring, counterbore, metals, tolerances."""

from __future__ import annotations

from pydantic import Field

from specdb.records.answer import Frozen
from specdb.records.conditions import Part
from specdb.records.quantities import Allowance, Diameter, Size


class JointRequest(Frozen):
    """A ring and the counterbore it goes into, both measured at 20 degC; or a guide and its hole.

    A tolerance is how far a diameter may lie to either side of the figure given; a diameter without
    one is taken as exact.
    """

    part: Part = Field("seat-insert", description="A seat's ring, or a valve guide.")
    insert_diameter: Diameter = Field(description="Outside diameter of the ring.")
    bore: Diameter = Field(description="Diameter of the counterbore.")
    insert_inner: Diameter = Field(description="Inside diameter of the ring.")
    height: Size = Field(description="Height of the ring that sits in the head.")
    head: str = Field(description="Metal of the head: its class, or the alloy itself.")
    insert: str = Field(description="Ring material, or the class it is ordered by.")
    insert_tolerance: Allowance | None = Field(
        None, description="How far the ring's diameter may be off, each way."
    )
    bore_tolerance: Allowance | None = Field(
        None, description="How far the counterbore may be off, each way."
    )
    reading_error: Allowance | None = Field(
        None, description="Reading error of both diameters, each way."
    )
