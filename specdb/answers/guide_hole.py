"""The hole of a valve guide judged: what is wanted of a guide, and what to say beside it.

The search is that of seat inserts. A guide's hole is reamed about its own axis, so what only a
counterbore has is refused, and no limit of counterbores is put upon it: the worst readings decide.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from specdb.answers import readings
from specdb.answers.counterbore import Counterbore
from specdb.answers.measuring import Measuring
from specdb.answers.press_range import SOFT
from specdb.answers.trade_limits import Limit
from specdb.answers.windows import FAR_MM, Proportion, Wanted
from specdb.errors import BadRequest
from specdb.records.sizes import Candidate, SizesRequest

PART = "valve-guide"
USUAL_INSIDE = 0.55
"""Inside over outside of a guide, looked for where nobody said what it is reamed to (memory)."""
_OF_A_SEAT = {
    "throat": "a guide has none; its inside is limited by inner_max",
    "runout": "a guide's hole is what the counterbore runs true to, not the other way round",
    "bridge": "the limits of thin metal are those between counterbores",
    "retention": "no range of press is known for a guide held by anything else",
    "fuel": "it bears on the class of a seat's ring",
}
"""What only a seat's ring has -> why it means nothing for a guide."""
_UNTOLD = (None, 0.0, "none")


@dataclass(frozen=True, slots=True)
class GuideHole(Counterbore):
    """The readings as a hole at 20 degC, what is wanted of a guide, and the request behind both."""

    def lower(self, below: float) -> str:
        """See `Counterbore`."""
        return f"{below:.2f} mm shorter than the length told"

    def unknown(self) -> Iterator[tuple[str, str]]:
        """See `Counterbore`."""
        if self.bore.ovality is None:
            yield "ovality_mm", "one reading; take some two ways at one height"
        if self.bore.taper is None:
            yield "taper_mm", "no readings at the far end (bore_bottom)"
        yield "bridge_left_mm", "a guide has no neighbour it shares a bridge with"

    def assumed(self) -> Iterator[str]:
        """See `Counterbore`."""
        if not self.request.measured_at:
            yield "head, guide and gauge at 20 degC: left in one room overnight"
        if self.request.pit_depth == 0.0:
            yield "hole clean: no score, no pits, no crack"
        yield f"readings good to {self.error:.3f} mm each way (reading_error)"
        yield "a reamer takes whatever there is to take: no least cut is known for one"
        if self.request.inner_max is None and self.request.inner_min is None:
            yield (
                f"finished bore not told (inner_max): an inside of {USUAL_INSIDE:g} of the outside "
                "comes first (memory)"
            )
        if self.request.height_max is None:
            yield "length not told (height_max): shortest come first"

    def remarks(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """See `Counterbore`."""
        yield from self._of_first(candidates)
        if any(each.as_found for each in candidates):
            yield "Before the hole is used as found, look at it: no crack, no score, no corrosion."
        if candidates:
            yield (
                "A guide closes in when it is pressed: ream it cold, once it is in; the question "
                "'guide' says by how much."
            )

    def topics(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """See `Counterbore`."""
        yield "guide"

    def rows_used(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """See `Counterbore`."""
        used = ["same-size-preference"]
        if self.request.head_state in ("welded", "soft"):
            used.append(SOFT)
        return (self.trade[name].row for name in used)


def guide_hole(request: SizesRequest, state: Measuring, trade: Mapping[str, Limit]) -> GuideHole:
    """Judge the hole of a guide. Raises `BadRequest` for readings that disagree wildly."""
    bore = readings.bore(request.bore, request.bore_bottom, strain=state.head_strain.value)
    error = request.reading_error + state.open_mm(bore.largest)
    pitted = request.pit_depth > 0.0
    return GuideHole(
        request=request,
        state=state,
        trade=trade,
        bore=bore,
        wanted=wanted(request, bore, error, as_found=not pitted),
        error=error,
        faults=(f"pits {request.pit_depth:.3f} mm deep",) if pitted else (),
        clean_up_limit=f"largest_clean_up is {request.largest_clean_up:g} mm",
        alloy=False,
        setback=0.0,
        port=None,
        deep=request.height_max,
    )


def wanted(request: SizesRequest, bore: readings.Bore, error: float, *, as_found: bool) -> Wanted:
    """What a hole takes, the error of its readings allowed for; the questions `sizes` and `guide`
    both judge by it."""
    inner = request.inner_min if request.inner_max is None else request.inner_max
    return Wanted(
        smallest=bore.smallest - error,
        largest=bore.largest + error,
        largest_reading=bore.largest,
        clean_bore=bore.largest + 2 * request.pit_depth,
        clean_up_max=request.largest_clean_up,
        hit=2 * request.reading_error,
        as_found=as_found,
        inner_min=request.inner_min or 0.0,
        inner_max=FAR_MM if request.inner_max is None else request.inner_max,
        height_min=0.0,
        height_max=FAR_MM if request.height_max is None else request.height_max,
        inner=Proportion(0.0, USUAL_INSIDE) if inner is None else Proportion(inner, 0.0),
        height=Proportion(request.height_max or 0.0, 0.0),
    )


def check(request: SizesRequest) -> None:
    """Refuse what only a seat's ring has, with the reason."""
    for name, why in _OF_A_SEAT.items():
        if getattr(request, name) not in _UNTOLD:
            raise BadRequest(
                f"{name}: it is asked of a seat's ring, not of a valve guide: {why}.",
                hint=f"Accepted: part={PART} without {name}.",
                field=name,
            )
