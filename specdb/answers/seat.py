"""The question `seat`: sizes, press, boring, fit, heat and cold for one seat, as one plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, TypeVar

from specdb.answers import bench, boring, look_at, measured_ring
from specdb.answers.cut import cut
from specdb.answers.evidence import conclude
from specdb.answers.fit import fit
from specdb.answers.interference import interference
from specdb.answers.removal import removal
from specdb.answers.seat_joint import asked, joint, metal, to_shrink
from specdb.answers.shrink import shrink
from specdb.answers.sizes import Place, Serving, serving, sizes
from specdb.answers.trade_limits import limits
from specdb.errors import BadRequest, NoAnswer
from specdb.records.answer import Answer
from specdb.records.cut import CutRequest, CutResult
from specdb.records.fit import FitRequest, FitResult
from specdb.records.interference import InterferenceRequest, InterferenceResult
from specdb.records.removal import RemovalRequest, RemovalResult
from specdb.records.seat import BoringSetting, SeatPlan, SeatReadings, ToMeasuredRing
from specdb.records.shrink import ShrinkPair, ShrinkRequest, ShrinkResult
from specdb.records.sizes import Candidate, SizesRequest, SizesResult
from specdb.store.asof import Reader

A = TypeVar("A", bound=Answer)


class Settled(NamedTuple):
    """What a whole head decided for a seat to be bored: its ring (name of the shelf, size, outside
    in mm), and the bore's limits it shares with others, mm; `hole`, the largest of theirs."""

    ring: tuple[str, str, float]
    least: float
    most: float
    hole: float


def rings(reader: Reader, request: SeatReadings, settled: Settled | None = None) -> Serving:
    """The rings for a seat, its place in the head considered. Raises what `sizes` raises."""
    question = asked(SizesRequest, request, **_inside(request))
    return serving(reader, question, _place(request, settled))


def ring_of(
    reader: Reader, request: SeatReadings, settled: Settled | None = None
) -> Candidate | None:
    """The ring that the plan of a seat will be for. Raises what `sizes` raises."""
    _check(request)
    return _chosen(rings(reader, request, settled).candidates, settled)


def _chosen(candidates: Sequence[Candidate], settled: Settled | None) -> Candidate | None:
    """The first ring that serves; bored to the limits its setting shares, or to its own as they
    are printed."""
    ring = candidates[0] if candidates else None
    if ring is None:
        return None
    if settled and _is_settled(ring, settled):
        return boring.narrowed(ring, settled.least, settled.most)
    return boring.printed(ring)


def _is_settled(ring: Candidate, settled: Settled) -> bool:
    return (ring.origin, ring.size) == settled.ring[:2]


def _setting(
    request: SeatReadings,
    found: SizesResult,
    chosen: Candidate | None,
    settled: Settled | None,
    trial: boring.Trial,
    unknown: dict[str, str],
) -> BoringSetting | None:
    """How the tool is set; the first cut by the largest hole of those that share the setting."""
    own = boring.hole_of(found.measured.largest_mm, request.runout)
    shared = chosen and settled and _is_settled(chosen, settled)
    holes = (settled.hole if settled and shared else own, own)
    return boring.setting(chosen, request, holes, trial, unknown)


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
    question = asked(SizesRequest, request, **_inside(request))
    found = sizes(reader, question, _place(request, settled))
    chosen = _chosen(found.candidates, settled)
    unknown: dict[str, str] = {}
    heated = _shrink(reader, request, chosen, (head_heat_c, brief), unknown)
    parts = _Parts(
        sizes=found,
        interference=_interference(reader, request, found, chosen, unknown),
        fit=_fit(reader, request, chosen, unknown),
        shrink=heated.planned,
        removal=_removal(reader, request, unknown),
        cut=_cut(reader, request, chosen, unknown),
    )
    trade = limits(reader, boring.FEATURES)
    setting = _setting(request, found, chosen, settled, boring.trial_by(trade), unknown)
    rows = [each.row for each in trade.values()] if setting else []
    return _plan(reader, request, (chosen, setting, heated), parts, unknown, (head_heat_c, rows))


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
    made: tuple[Candidate | None, BoringSetting | None, _Heated],
    parts: _Parts,
    unknown: dict[str, str],
    whole: tuple[float | None, Sequence[str]],
) -> SeatPlan:
    """The plan of what was found and `made`; `whole`: the heat of the head, and the rows the first
    cut is judged by."""
    chosen, setting, heated = made
    head_heat_c, rows = whole
    no_first = unknown.get(boring.NO_FIRST_CUT, "")
    answers = [*parts.answers(), *filter(None, (heated.limits,))]
    any_ring = heated.limits.chosen if heated.limits else None
    return conclude(
        SeatPlan,
        reader,
        parts=answers,
        rows=rows,
        topics=("any", "press", "remove-ring", *(("bore",) if setting else ())),
        assumed=tuple(dict.fromkeys(text for part in answers for text in part.assumed)),
        unknown=unknown,
        label=request.label,
        readings=request,
        bench=(
            *bench.out(parts.removal),
            *bench.lines(request, parts.sizes, chosen, (setting, no_first), heated.to_ring),
            *bench.heat(parts.shrink, heated.to_ring, any_ring),
            *bench.grip(parts.fit),
            *bench.faces(parts.cut),
        ),
        problems=look_at.in_order(
            (
                *bench.problems(request, parts.sizes, chosen, parts.fit, parts.shrink),
                *bench.other_heat(parts.shrink, head_heat_c),
                *bench.geometry_problems(request, parts.removal, parts.cut, unknown.get("cut", "")),
            )
        ),
        chosen=chosen,
        boring=setting,
        to_measured_ring=heated.to_ring,
        any_ring=any_ring,
        **parts.bare(),
    )


NONE_SERVES = "no size serves; see near misses"
OVERLAPS = "the counterbores overlap: no ring of head is left, so no pressure is calculated"


def _check(request: SeatReadings) -> None:
    """Sizes of the seat that cannot be together."""
    bore = min(request.bore)
    boring.check_pilot(request.pilot, bore, "the counterbore")
    if request.depth is not None and request.depth > bore:
        raise BadRequest(
            f"depth: {request.depth:g} mm is deeper than the counterbore is wide, {bore:g} mm.",
            hint="Accepted: the depth of the counterbore below the deck.",
            field="depth",
        )


_AT_ROOM = {"head_temperature": 20.0, "insert_temperature": 20.0}
"""The fit of a plan is the cold one; the readings' `head_temperature` is that of fitting."""


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
    question = asked(InterferenceRequest, request, diameter=diameter)
    return _part("interference", lambda: interference(reader, question), unknown)


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
    told = {**joint(request, chosen), **metal(request, chosen), **_AT_ROOM}
    question = asked(FitRequest, request, **told)
    return _part("fit", lambda: fit(reader, question), unknown)


class _Heated(NamedTuple):
    """How the ring goes in. Where a bore made to the measured ring spares a chill, that is planned,
    `to_ring`, and `limits` answers for any ring and bore inside their limits."""

    planned: ShrinkResult | None
    limits: ShrinkResult | None = None
    to_ring: ToMeasuredRing | None = None


def _shrink(
    reader: Reader,
    request: SeatReadings,
    chosen: Candidate | None,
    how: tuple[float | None, bool],
    unknown: dict[str, str],
) -> _Heated:
    if chosen is None:
        return _Heated(None)
    heat_c, brief = how

    def ask(question: ShrinkRequest) -> ShrinkResult:
        return shrink(reader, question, head_heat_c=heat_c, brief=brief)

    plain = _part("shrink", lambda: ask(to_shrink(request, chosen)), unknown)
    if plain is None or not _spares(plain.chosen, heat_c):
        return _Heated(plain)
    narrower = measured_ring.both(reader, request, chosen).question
    easier = None if narrower is None else ask(narrower)
    if easier is None or not measured_ring.milder(easier.chosen, plain.chosen, heat_c):
        return _Heated(plain)
    return _Heated(easier, plain, measured_ring.press_of(request, chosen))


def _spares(pair: ShrinkPair | None, heat_c: float | None) -> bool:
    """Whether there is anything to be spared: a chill that can hurt, or another heat."""
    return (
        pair is None
        or measured_ring.rank(pair) > 0
        or heat_c not in (None, pair.head_temperature_c)
    )


def _inside(request: SeatReadings) -> dict[str, float]:
    """What the port says about the ring: its inside at the most."""
    inner = request.inner_max or request.throat
    return {} if inner is None else {"inner_max": inner}


def _place(request: SeatReadings, settled: Settled | None) -> Place:
    """The depth the ring has to fill (a higher one is faced down), and the ring settled for it."""
    return Place(request.depth, settled.ring if settled else None)


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
    """The seat in the chosen ring, which stands on the floor of the counterbore and is no higher
    than it is deep once it is faced."""
    if request.valve_diameter is None:
        unknown["cut"] = "the valve's diameter (valve_diameter) was not told"
        return None
    ring = {}
    if chosen is not None:
        ring = {"insert_diameter": chosen.outer_mm, "insert_inner": chosen.inner_mm}
        ring["height"] = min(chosen.height_mm, request.depth or chosen.height_mm)
        if request.depth is not None:
            ring["insert_depth_below_deck"] = max(request.depth - chosen.height_mm, 0.0)
    question = asked(CutRequest, request, **ring)
    try:
        return _part("cut", lambda: cut(reader, question), unknown)
    except BadRequest as error:
        # The ring was chosen here, not told: what it cannot carry is no misuse of the question.
        if error.field not in _OF_THE_RING:
            raise
        unknown["cut"] = str(error)
        return None


_OF_THE_RING = ("seat_width", "insert_diameter")
"""Arguments a refusal of `cut` names when the ring cannot carry the seat."""
