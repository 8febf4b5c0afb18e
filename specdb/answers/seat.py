"""The question `seat`: sizes, press, boring, fit, heat and cold for one seat, as one plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, TypeVar

from specdb.answers import bench, boring
from specdb.answers.cut import cut
from specdb.answers.evidence import conclude
from specdb.answers.fit import fit
from specdb.answers.interference import interference
from specdb.answers.removal import removal
from specdb.answers.shrink import shrink
from specdb.answers.sizes import Serving, serving, sizes
from specdb.errors import BadRequest, NoAnswer
from specdb.records.answer import Answer, Frozen
from specdb.records.cut import CutRequest, CutResult
from specdb.records.fit import FitRequest, FitResult
from specdb.records.interference import InterferenceRequest, InterferenceResult
from specdb.records.removal import RemovalRequest, RemovalResult
from specdb.records.seat import BoringSetting, SeatPlan, SeatReadings
from specdb.records.shrink import ShrinkRequest, ShrinkResult
from specdb.records.sizes import Candidate, SizesRequest, SizesResult
from specdb.store.asof import Reader

Q = TypeVar("Q", bound=Frozen)
A = TypeVar("A", bound=Answer)


class Settled(NamedTuple):
    """What a whole head decided for a seat to be bored: the ring's outside, and the bore's limits
    it shares with others, mm."""

    outer: float
    least: float
    most: float


def rings(reader: Reader, request: SeatReadings) -> Serving:
    """The rings for a seat, its place in the head considered. Raises what `sizes` raises."""
    return serving(reader, _asked(SizesRequest, request, **_place(request)))


def ring_of(
    reader: Reader, request: SeatReadings, settled: Settled | None = None
) -> Candidate | None:
    """The ring that the plan of a seat will be for. Raises what `sizes` raises."""
    _check(request)
    return _chosen(rings(reader, _preferring(request, settled)).candidates, settled)


def _preferring(request: SeatReadings, settled: Settled | None) -> SeatReadings:
    return request.model_copy(update={"prefer": (settled.outer,)}) if settled else request


def _chosen(candidates: Sequence[Candidate], settled: Settled | None) -> Candidate | None:
    """The first ring that serves; bored to the limits its setting shares."""
    ring = candidates[0] if candidates else None
    if ring and settled and ring.outer_mm == settled.outer:
        return boring.narrowed(ring, settled.least, settled.most)
    return ring


def to_shrink(request: SeatReadings, ring: Candidate) -> ShrinkRequest:
    """What `shrink` is asked of a seat and its ring."""
    return _asked(ShrinkRequest, request, **_joint(request, ring))


def seat(
    reader: Reader,
    request: SeatReadings,
    *,
    settled: Settled | None = None,
    head_heat_c: float | None = None,
    brief: bool = False,
) -> SeatPlan:
    """The plan of one seat: the first size that serves, and everything asked about it.

    `settled`: the ring and limits of a setting shared with other seats of the head; `head_heat_c`:
    the heat of the head; `brief`: without the pairs of heat and chill that are not planned. A part
    that has no answer is None with its reason in `unknown`; nothing else is lost by it. Raises what
    `sizes` raises for readings that cannot be.
    """
    _check(request)
    request = _preferring(request, settled)
    found = sizes(reader, _asked(SizesRequest, request, **_place(request)))
    chosen = _chosen(found.candidates, settled)
    unknown: dict[str, str] = {}
    parts = _Parts(
        sizes=found,
        interference=_interference(reader, request, found, chosen, unknown),
        fit=_fit(reader, request, chosen, unknown),
        shrink=_shrink(reader, request, chosen, (head_heat_c, brief), unknown),
        removal=_removal(reader, request, unknown),
        cut=_cut(reader, request, chosen, unknown),
    )
    setting = boring.setting(chosen, request, unknown)
    return _plan(reader, request, chosen, setting, parts, unknown, head_heat_c)


class _Parts(NamedTuple):
    """The answers behind a plan; None where one has none."""

    sizes: SizesResult
    interference: InterferenceResult | None
    fit: FitResult | None
    shrink: ShrinkResult | None
    removal: RemovalResult | None
    cut: CutResult | None

    def answers(self) -> list[Answer]:
        """Those there are."""
        return [part for part in self if part is not None]

    def bare(self) -> dict[str, Any]:
        """Each by name, without the evidence that the plan gathers for all of them."""
        return {
            name: part and part.model_copy(update={"facts": {}, "cautions": ()})
            for name, part in self._asdict().items()
        }


def _plan(
    reader: Reader,
    request: SeatReadings,
    chosen: Candidate | None,
    setting: BoringSetting | None,
    parts: _Parts,
    unknown: dict[str, str],
    head_heat_c: float | None,
) -> SeatPlan:
    answers = parts.answers()
    return conclude(
        SeatPlan,
        reader,
        parts=answers,
        topics=("any", "press", "remove-ring", *(("bore",) if setting else ())),
        assumed=tuple(dict.fromkeys(text for part in answers for text in part.assumed)),
        unknown=unknown,
        label=request.label,
        readings=request,
        bench=(
            *bench.out(parts.removal),
            *bench.lines(request, chosen, setting, parts.fit, parts.shrink),
            *bench.faces(parts.cut),
        ),
        problems=(
            *bench.problems(parts.sizes, parts.fit, parts.shrink),
            *bench.other_heat(parts.shrink, head_heat_c),
            *bench.geometry_problems(parts.removal, parts.cut, unknown.get("cut", "")),
        ),
        chosen=chosen,
        boring=setting,
        **parts.bare(),
    )


NONE_SERVES = "no size serves; see near misses"
OVERLAPS = "the counterbores overlap: no ring of head is left, so no pressure is calculated"


def _check(request: SeatReadings) -> None:
    """Sizes of the seat that cannot be together."""
    bore = min(request.bore)
    if request.pilot is not None and request.pilot >= bore:
        raise BadRequest(
            f"pilot: {request.pilot:g} mm is not smaller than the counterbore, {bore:g} mm.",
            hint="Accepted: the pilot's diameter where the micrometer rests, in the guide.",
            field="pilot",
        )
    if request.depth is not None and request.depth > bore:
        raise BadRequest(
            f"depth: {request.depth:g} mm is deeper than the counterbore is wide, {bore:g} mm.",
            hint="Accepted: the depth of the counterbore below the deck.",
            field="depth",
        )


_AT_ROOM = {"head_temperature": 20.0, "insert_temperature": 20.0}
"""The fit of a plan is the cold one; the readings' `head_temperature` is that of fitting."""


def _asked(model: type[Q], request: SeatReadings, **also: Any) -> Q:
    """The request of another question, with every field told that the two have in common."""
    shared = {
        name: value
        for name, value in request
        if name in model.model_fields and value is not None and value != ()
    }
    return model.model_validate({**shared, **also})


def _part(name: str, ask: Callable[[], A], unknown: dict[str, str]) -> A | None:
    try:
        return ask()
    except NoAnswer as error:
        unknown[name] = str(error)
        return None


def _interference(
    reader: Reader,
    request: SeatReadings,
    found: SizesResult,
    chosen: Candidate | None,
    unknown: dict[str, str],
) -> InterferenceResult | None:
    diameter = chosen.outer_mm if chosen else found.measured.mean_mm
    asked = _asked(InterferenceRequest, request, diameter=diameter)
    return _part("interference", lambda: interference(reader, asked), unknown)


def _fit(
    reader: Reader, request: SeatReadings, chosen: Candidate | None, unknown: dict[str, str]
) -> FitResult | None:
    """The fit, cold; counterbores that overlap have no pressure."""
    if chosen is None:
        unknown.update(dict.fromkeys(("chosen", "fit", "shrink"), NONE_SERVES))
        return None
    if chosen.bridge_left_mm is not None and chosen.bridge_left_mm <= 0.0:
        unknown["fit"] = OVERLAPS
        return None
    metal = _metal(request, chosen)
    asked = _asked(FitRequest, request, **_joint(request, chosen), **metal, **_AT_ROOM)
    return _part("fit", lambda: fit(reader, asked), unknown)


def _shrink(
    reader: Reader,
    request: SeatReadings,
    chosen: Candidate | None,
    how: tuple[float | None, bool],
    unknown: dict[str, str],
) -> ShrinkResult | None:
    if chosen is None:
        return None
    asked, (heat_c, brief) = to_shrink(request, chosen), how
    return _part("shrink", lambda: shrink(reader, asked, head_heat_c=heat_c, brief=brief), unknown)


def _place(request: SeatReadings) -> dict[str, float]:
    """What the place of the seat says about the ring: its height and its inside at the most."""
    limits = {
        "height_max": request.height_max or request.depth,
        "inner_max": request.inner_max or request.throat,
    }
    return {name: limit for name, limit in limits.items() if limit is not None}


def _joint(request: SeatReadings, chosen: Candidate) -> dict[str, Any]:
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


def _metal(request: SeatReadings, chosen: Candidate) -> dict[str, float | None]:
    """The bridge is the one boring leaves; metal all round, where told, has it in already."""
    told = request.thinnest_metal is not None or request.hub_outer is not None
    return {"bridge": None if told else chosen.bridge_left_mm}


def _removal(
    reader: Reader, request: SeatReadings, unknown: dict[str, str]
) -> RemovalResult | None:
    """How the old ring comes out, if one is still in. Its run-out is the counterbore's."""
    missing = [name for name in ("old_insert", "pilot") if getattr(request, name) is None]
    if missing:
        unknown["removal"] = f"not told: {', '.join(missing)}"
        return None
    asked = RemovalRequest.model_validate(
        {
            "insert_diameter": request.old_insert,
            "insert": request.old_insert_class,
            "pilot": request.pilot,
            "wall": request.wall,
            "runout": request.runout or None,
            "depth": request.depth,
            "head": request.head,
        }
    )
    found = _part("removal", lambda: removal(reader, asked), unknown)
    if found is None:
        return None
    # The plan bores the ring out: what concerns a weld bead is said where that way is asked about.
    quiet = tuple(note for note in found.cautions if not note.key.startswith("weld-"))
    return found.model_copy(update={"cautions": quiet})


def _cut(
    reader: Reader, request: SeatReadings, chosen: Candidate | None, unknown: dict[str, str]
) -> CutResult | None:
    """The seat in the chosen ring, which stands on the floor of the counterbore."""
    if request.valve_diameter is None:
        unknown["cut"] = "the valve's diameter (valve_diameter) was not told"
        return None
    ring = {}
    if chosen is not None:
        ring = {"insert_diameter": chosen.outer_mm, "insert_inner": chosen.inner_mm}
        ring["height"] = chosen.height_mm
        if request.depth is not None:
            ring["insert_depth_below_deck"] = max(request.depth - chosen.height_mm, 0.0)
    asked = _asked(CutRequest, request, **ring)
    try:
        return _part("cut", lambda: cut(reader, asked), unknown)
    except BadRequest as error:
        # The ring was chosen here, not told: what it cannot carry is no misuse of the question.
        if error.field not in _OF_THE_RING:
            raise
        unknown["cut"] = str(error)
        return None


_OF_THE_RING = ("seat_width", "insert_diameter")
"""Arguments a refusal of `cut` names when the ring cannot carry the seat."""
