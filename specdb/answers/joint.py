"""The joint both `fit` and `shrink` work on: sizes that can be, diameters with their bands."""

from __future__ import annotations

from dataclasses import dataclass

from specdb.errors import BadRequest
from specdb.estimate import Estimate, plus_minus
from specdb.records.joint import JointRequest

ROOM_C = 20.0
"""Where sizes are measured and strains are zero."""
LARGEST_SHARE = 0.01
"""Interference over diameter beyond which a slip of the pen is likelier than a fit."""


@dataclass(frozen=True, slots=True)
class Joint:
    """A ring and its counterbore at 20 degC, mm, the two diameters with their limits."""

    insert_diameter: Estimate
    bore: Estimate
    insert_inner: float
    height: float

    @property
    def cold_mm(self) -> float:
        """Interference at the diameters given, mm."""
        return self.insert_diameter.value - self.bore.value

    def cold(self) -> Estimate:
        """Interference on diameter at 20 degC: the limits of both diameters add up."""
        ring, bore = self.insert_diameter, self.bore
        return Estimate(self.cold_mm, ring.low - bore.high, ring.high - bore.low, "mm")


def joint_of(request: JointRequest) -> Joint:
    """The joint asked about; raises `BadRequest` where the sizes cannot be or are not likely."""
    ring, bore, inner = request.insert_diameter, request.bore, request.insert_inner
    if inner >= ring:
        raise BadRequest(
            f"the ring's inside, {inner:g} mm, is not smaller than its outside, {ring:g} mm.",
            hint="Accepted: insert_inner below insert_diameter.",
            field="insert_inner",
        )
    if bore >= ring:
        raise BadRequest(
            f"the bore, {bore:g} mm, is not smaller than the insert, {ring:g} mm: "
            f"no press, {bore - ring:.3f} mm of clearance.",
            hint="Accepted: a bore smaller than the insert. Ask 'sizes' which ring it takes.",
            field="bore",
        )
    if inner >= bore:
        raise BadRequest(
            f"the ring's inside, {inner:g} mm, is not smaller than the bore, {bore:g} mm.",
            hint="Accepted: insert_inner below bore.",
            field="insert_inner",
        )
    if ring - bore > LARGEST_SHARE * ring:
        raise BadRequest(
            f"an interference of {ring - bore:.3f} mm on {ring:g} mm is not likely: "
            "more than one per cent of the diameter.",
            hint="Usual: 0.001 to 0.005 of the diameter. Check the units of both diameters.",
            field="bore",
        )
    error = request.reading_error or 0.0
    return Joint(
        plus_minus(ring, (request.insert_tolerance or 0.0) + error, "mm"),
        plus_minus(bore, (request.bore_tolerance or 0.0) + error, "mm"),
        inner,
        request.height,
    )
