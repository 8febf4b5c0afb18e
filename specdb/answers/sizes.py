"""Sizes: what goes into a measured counterbore, as found, or bored to what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import replace
from typing import Any, NamedTuple

from specdb.answers import counterbore as judged
from specdb.answers import guide_hole, offered, press_range, recommended
from specdb.answers.candidates import Alike, ranked, with_first
from specdb.answers.counterbore import Counterbore
from specdb.answers.evidence import conclude
from specdb.answers.measuring import measuring
from specdb.answers.near_misses import Search, near_misses, nearest, why_not_as_found
from specdb.answers.own_shelves import OwnShelf, of_exact, of_nominal, own_shelves
from specdb.answers.press_range import PressRange
from specdb.answers.recommended import Segment
from specdb.answers.shelves import Generic
from specdb.answers.trade_limits import Limit, limits
from specdb.errors import BadRequest
from specdb.records.sizes import GENERIC, Candidate, Rejected, SizesRequest, SizesResult
from specdb.store.asof import Reader
from specdb.store.query import stock as stock_rows
from specdb.store.stock.stocked import lists_beside

LARGEST_SHARE = 0.01
"""Press over diameter beyond which a slip of the pen is likelier than a fit."""


class Place(NamedTuple):
    """What a seat knows besides: its `depth`, mm, which its ring must fill, and the ring that was
    settled for it, which comes first: the name of its shelf, its size, its outside in mm."""

    depth: float | None = None
    ring: tuple[str, str, float] | None = None


ANYWHERE = Place()


def sizes(reader: Reader, request: SizesRequest, place: Place = ANYWHERE) -> SizesResult:
    """What goes into a counterbore, or into the hole of a guide, best first: as found, then least
    metal, then the closer inside.

    Looked for on the shop's own lists, where the reader has some beside it, and in the generic
    series; among sizes alike the shop's own come first. Where `place` tells a depth, rings that
    do not fill it come after all that do. Raises `BadRequest` for readings that disagree wildly or
    limits that contradict each other, `UnknownName`, and `NotKnown` where no range of press is
    known for the pair.
    """
    _check(request)
    held = lists_beside(reader)
    with held.snapshot() if held else nullcontext():
        asked = prepared(reader, request, stock_rows.lists(held) if held else [], place)
        candidates = served(asked, request)
        shelf = _on_shelf(asked, candidates)
        near = nearest(asked.search)
        rejected = near_misses(
            asked.search,
            near,
            inner=request.inner_max is not None or request.inner_min is not None,
            height=request.height_max is not None,
        )
    why = _why_as_found(candidates) or why_not_as_found(asked.search, near)
    return _concluded(reader, request, asked, (candidates, shelf), rejected, why)


class Serving(NamedTuple):
    """The rings that serve, best first, the class of the head, and the largest reading, mm."""

    head_class: str
    largest_mm: float
    candidates: tuple[Candidate, ...]


def serving(reader: Reader, request: SizesRequest, place: Place = ANYWHERE) -> Serving:
    """The candidates of `sizes` alone, without near misses or evidence: what a head asks of each
    seat before it is planned. Raises what `sizes` raises."""
    _check(request)
    held = lists_beside(reader)
    with held.snapshot() if held else nullcontext():
        asked = prepared(reader, request, stock_rows.lists(held) if held else [], place)
        head_class, largest = asked.found.head.head_class, asked.search.wanted.largest_reading
        return Serving(head_class, largest, served(asked, request))


class Prepared(NamedTuple):
    """All that is known before the first ring is looked at. `stock`: the lists searched, with
    their digests."""

    place: Place

    found: PressRange
    bore: Counterbore
    search: Search
    alike: Alike
    stock: Mapping[str, str]


def prepared(
    reader: Reader,
    request: SizesRequest,
    lists: Sequence[Mapping[str, Any]],
    place: Place = ANYWHERE,
) -> Prepared:
    """The counterbore judged, the press over its diameters, the shelves to look at; `lists` are
    the rows of the reader's own lists."""
    low, high = min(request.bore), max(request.bore) + request.largest_clean_up
    found = press_range.press_range(
        reader, request, low - 1.0, high + 2.0, part=request.part, instead=_own(request)
    )
    state = measuring(reader, found.head, found.ring, request.measured_at)
    trade = limits(reader, judged.FEATURES)
    trade |= limits(reader, (judged.SETBACK,), "seat_geometry")
    guide = request.part == guide_hole.PART
    if guide:
        bore: Counterbore = guide_hole.guide_hole(request, state, trade)
    else:
        bore = judged.counterbore(request, state, trade, found.head.head_class)
        bore = judged.deepened(bore, place.depth)
    held = lists_beside(reader)
    own, gone = own_shelves(held, lists, found) if held else ((), ())
    search = Search(
        what="guide" if guide else "ring",
        wanted=bore.wanted,
        segments=found.segments,
        shelves=(*own, Generic(reader, request.part)),
        gone=gone,
        faults=bore.faults,
        clean_up_limit=bore.clean_up_limit,
        mean=bore.bore.mean,
    )
    stock = {each["name"]: each["digest"] for each in lists}
    return Prepared(place, found, bore, search, _alike(trade, guide=guide), stock)


def _alike(trade: Mapping[str, Limit], *, guide: bool) -> Alike:
    """How far choices may differ for the shop's own to come first. Of a guide's length and wall no
    play is known: its own must be as long and as thick."""
    within = trade["same-size-preference"].value
    if guide:
        return Alike(within, setback=0.0, wall=0.5)
    setback, wall = trade[judged.SETBACK].greatest, trade["wall-to-outer-diameter"].least
    return Alike(within, setback or 0.0, wall or 0.5)


def served(asked: Prepared, request: SizesRequest) -> tuple[Candidate, ...]:
    """The rings that serve, best first."""
    most, depth = request.most, asked.place.depth
    if depth is None:
        choices = ranked(asked.search, most, request.prefer, asked.alike)
    else:
        high, low = asked.search.filling(depth - asked.bore.setback)
        choices = ranked(high, most, request.prefer, asked.alike)
        if len(choices) < most:
            no_lower = replace(asked.alike, setback=0.0)
            choices += ranked(low, most - len(choices), request.prefer, no_lower)
    if asked.place.ring is not None:
        choices = with_first(choices, asked.search, asked.place.ring)[:most]
    return offered.candidates(choices, asked.bore)


def _on_shelf(asked: Prepared, candidates: tuple[Candidate, ...]) -> Candidate | None:
    """The best of the shop's own that serves and is high enough, where a generic ring comes before
    it."""
    if not candidates or candidates[0].origin != GENERIC:
        return None
    depth, search = asked.place.depth, asked.search
    if depth is not None:
        search, _ = search.filling(depth - asked.bore.setback)
    own = tuple(shelf for shelf in search.shelves if shelf.own)
    best = ranked(replace(search, shelves=own), 1, (), asked.alike) if own else []
    return next(iter(offered.candidates(best, asked.bore)), None)


def _concluded(
    reader: Reader,
    request: SizesRequest,
    asked: Prepared,
    serve: tuple[tuple[Candidate, ...], Candidate | None],
    rejected: tuple[Rejected, ...],
    why: tuple[str, ...],
) -> SizesResult:
    found, bore, search = asked.found, asked.bore, asked.search
    candidates, shelf = serve
    first = candidates[0].outer_mm if candidates else search.ideal
    segment = recommended.at(found.segments, first)
    remarks = (*found.conditions.remarks(bore.trade[press_range.SOFT]), *bore.remarks(candidates))
    nominal = {
        shelf.name for shelf in search.shelves if isinstance(shelf, OwnShelf) and shelf.nominal
    }
    remarks += tuple(of_nominal((*candidates, *filter(None, (shelf,))), nominal))
    remarks += tuple(_not_preferred(request, candidates, asked.alike))
    return conclude(
        SizesResult,
        reader,
        topics=[*found.topics(), *bore.topics(candidates)],
        rows=(*found.ring.rows, *bore.rows_used(candidates)),
        part=request.part,
        head_class=found.head.head_class,
        insert_class=found.ring.insert_class or found.ring.name,
        position=request.position,
        measured=bore.measured(),
        as_found=any(each.as_found for each in candidates),
        as_found_why=why,
        clean_bore_mm=bore.wanted.clean_bore,
        setback_mm=None if request.part == guide_hole.PART else round(bore.setback, 6),
        candidates=candidates,
        on_shelf=shelf,
        rejected=rejected,
        rule=segment.rule if segment else "no range of press is known at this diameter",
        remarks=remarks,
        sources=segment.sources if segment else (),
        assumed=(*found.conditions.assumed(), *bore.assumed(), *_of_lists(asked, candidates)),
        unknown=_unknown(bore, found, candidates, search.what),
        stock=asked.stock,
    )


def _not_preferred(
    request: SizesRequest, candidates: tuple[Candidate, ...], alike: Alike
) -> Iterator[str]:
    """Why an outside diameter that was preferred does not come first."""
    first = next(iter(candidates), None)
    for size in request.prefer if first else ():
        if first is None or abs(first.outer_mm - size) <= SAME_MM:
            continue
        if first.as_found:
            yield f"{size:.2f} mm was preferred, but {first.outer_mm:.2f} mm goes in as found."
        elif size - first.outer_mm > alike.diameter:
            yield (
                f"{size:.2f} mm was preferred, but is {size - first.outer_mm:.2f} mm larger than "
                f"{first.outer_mm:.2f} mm: a size is put first up to {alike.diameter:.2f} mm above "
                "the one that takes the least metal."
            )
        else:
            yield f"{size:.2f} mm was preferred, but no ring of that outside serves here."


SAME_MM = 1e-6
"""Outside diameters nearer than this are one."""


def _of_lists(asked: Prepared, candidates: tuple[Candidate, ...]) -> Iterator[str]:
    """What is taken for granted of the shop's own lists."""
    if asked.stock and asked.found.part == guide_hole.PART:
        yield "on own lists, what is longer than it is wide is a guide, anything else a ring"
    yield from of_exact(candidates)


def _why_as_found(candidates: tuple[Candidate, ...]) -> tuple[str, ...]:
    """The press of each outside that goes in as found, at the worst readings and ring sizes."""
    said = {
        each.outer_mm: f"{each.outer_mm:.2f} mm: press {each.press_least_mm:.3f} to "
        f"{each.press_greatest_mm:.3f} mm at the worst readings, inside "
        f"{each.interference_min_mm:.3f} to {each.interference_max_mm:.3f} mm"
        for each in candidates
        if each.as_found
    }
    return tuple(said.values())


def _unknown(
    bore: Counterbore, found: PressRange, candidates: tuple[Candidate, ...], what: str
) -> Mapping[str, str]:
    unknown = dict(bore.unknown())
    if not found.segments:
        unknown["candidates"] = "no range of press is known at these diameters"
    elif not candidates:
        unknown["candidates"] = f"no {what} suits; the near misses say what each would need"
    return unknown


def _own(request: SizesRequest) -> Segment | None:
    """The range of press the asker brings along, if any."""
    low, high = request.interference_min, request.interference_max
    if low is None and high is None:
        return None
    if low is None or high is None:
        missing = "interference_min" if low is None else "interference_max"
        raise BadRequest(
            f"{missing}: a range of press of your own needs both ends.",
            hint="Accepted: both interference_min and interference_max, or neither.",
            field=missing,
        )
    most = LARGEST_SHARE * max(request.bore)
    if not 0.0 <= low <= high <= most:
        raise BadRequest(
            f"interference_max: {low:g} to {high:g} mm is no range of press for this bore.",
            hint=f"Accepted: 0 <= least <= greatest <= {most:.2f} mm (one in a hundred).",
            field="interference_max",
        )
    return Segment(0.0, press_range.EVERY_MM, low, high, "the range given with the question", ())


def _check(request: SizesRequest) -> None:
    if request.part == guide_hole.PART:
        guide_hole.check(request)
    low, high, bore = request.inner_min, request.inner_max, max(request.bore)
    if low is not None and high is not None and low > high:
        raise BadRequest(
            f"inner_min: {low:g} mm is above inner_max, {high:g} mm.",
            hint="Accepted: the smaller inside diameter as inner_min.",
            field="inner_min",
        )
    if low is not None and low >= bore:
        raise BadRequest(
            f"inner_min: {low:g} mm is not inside a counterbore of {bore:g} mm.",
            hint="Accepted: an inside diameter of the ring, smaller than the counterbore.",
            field="inner_min",
        )
    if request.throat is not None and request.throat >= bore:
        raise BadRequest(
            f"throat: {request.throat:g} mm is not inside a counterbore of {bore:g} mm.",
            hint="Accepted: the port's diameter below the seat, smaller than the counterbore.",
            field="throat",
        )
