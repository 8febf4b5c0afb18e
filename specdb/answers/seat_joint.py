"""A seat's ring in its counterbore, as `fit` and `shrink` are asked about it."""

from __future__ import annotations

from typing import Any, TypeVar

from specdb.records.answer import Frozen
from specdb.records.seat import SeatReadings
from specdb.records.shrink import ShrinkRequest
from specdb.records.sizes import Candidate

Q = TypeVar("Q", bound=Frozen)


def asked(model: type[Q], request: SeatReadings, **also: Any) -> Q:
    """The request of another question, with every field told that the two have in common."""
    shared = {
        name: value
        for name, value in request
        if name in model.model_fields and value is not None and value != ()
    }
    return model.model_validate({**shared, **also})


def joint(request: SeatReadings, chosen: Candidate) -> dict[str, Any]:
    """The ring and its bore, with the tolerance each will have.

    `press_least_mm` and `press_greatest_mm` hold ring and bore at their worst; what the cut
    leaves to the bore is taken out again, the rest belongs to the ring (as found, to the readings
    too).
    """
    spread = (chosen.press_greatest_mm - chosen.press_least_mm) / 2
    cut = 0.0
    if not chosen.as_found and chosen.cut_min_mm is not None and chosen.cut_max_mm is not None:
        cut = (chosen.cut_max_mm - chosen.cut_min_mm) / 2
    return {
        "insert_diameter": chosen.outer_mm,
        "bore": chosen.bore_target_mm,
        "insert_inner": chosen.inner_mm,
        "height": min(chosen.height_mm, request.depth or chosen.height_mm),
        "insert_tolerance": max(spread - cut, 0.0),
        "bore_tolerance": cut,
        "reading_error": 0.0,
    }


def to_shrink(request: SeatReadings, chosen: Candidate) -> ShrinkRequest:
    """What `shrink` is asked of a seat and its ring: anything inside both their limits."""
    return asked(ShrinkRequest, request, **joint(request, chosen))


def metal(request: SeatReadings, chosen: Candidate) -> dict[str, float | None]:
    """The bridge is the one boring leaves; metal all round, where told, has it in already."""
    told = request.thinnest_metal is not None or request.hub_outer is not None
    return {"bridge": None if told else chosen.bridge_left_mm}
