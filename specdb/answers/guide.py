"""Guide: wear by place, press and closing-in, finished bore, and the order of the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from specdb.answers import guide_press, guide_wear, published
from specdb.answers.evidence import conclude
from specdb.answers.guide_press import GuidePress
from specdb.answers.trade_limits import limits
from specdb.errors import NotKnown
from specdb.estimate import Estimate
from specdb.physics import stem
from specdb.records.guide import GuideRequest, GuideResult, GuideSize
from specdb.records.published import PublishedRow
from specdb.store.asof import Reader
from specdb.store.query import limits as limit_rows
from specdb.store.query import sources as source_rows

STEPS = (
    "removal-method",
    "fitting-sequence",
    "repair-methods",
    "oven-temperature",
    "liner-wall",
    "oversize-step",
    "oversize-stem",
    "knurling-limit",
    "protrusion",
    "installed-height",
)
LINER = "liner-wall"
WORN_AT = "stem-clearance-limit"
FLOAT_MM = 1e-9


def guide(reader: Reader, request: GuideRequest) -> GuideResult:
    """How worn a guide is, how the new one goes in, and what it is reamed to.

    Raises `BadRequest` for readings that cannot belong together, `UnknownName` for a metal nobody
    knows.
    """
    read = guide_wear.worn(request)
    limits_held = _limits(reader, request, read)
    usual = _usual(reader, request)
    clearance = (usual["minimum_house"], usual["maximum_house"])
    ream = _ream(request, *clearance)
    press = guide_press.pressed(reader, request)
    liner = limits(reader, (LINER,), "guide_dimensions")[LINER]
    fitted = _fitted(request, press)
    guides = guide_press.serving(reader, request, press, ream)
    wear = guide_wear.wear(read, limits_held)
    bell = guide_wear.bell_mouth(request)
    bell_said = guide_wear.bell_mouth_said(bell, read.error, clearance[1] - clearance[0])
    parts = (press.recommended,) if press.recommended else ()
    return conclude(
        GuideResult,
        reader,
        topics=("guide",),
        parts=parts,
        rows=(usual["id"], liner.row),
        assumed=(*_assumed(request, guides), *press.assumed),
        unknown=_unknown(request, press, ream) | dict(guide_wear.unknown(request, read)),
        position=request.position,
        places=read.places,
        worst_play_mm=read.play,
        bell_mouth_mm=bell,
        wear=wear,
        clearance_min_mm=clearance[0],
        clearance_max_mm=clearance[1],
        ream_min_mm=ream[0] if ream else None,
        ream_max_mm=ream[1] if ream else None,
        interference_min_mm=press.range_mm[0] if press.range_mm else None,
        interference_max_mm=press.range_mm[1] if press.range_mm else None,
        press_mm=press.press,
        closes_in_mm=press.closes_in,
        inner_fitted_mm=fitted,
        to_ream_mm=_to_ream(fitted, ream),
        liner_bore_min_mm=ream[0] + 2 * (liner.least or 0.0) if ream else None,
        liner_bore_max_mm=ream[1] + 2 * (liner.greatest or 0.0) if ream else None,
        protrusion_change_mm=_protrusion(request),
        why=guide_wear.why(read, wear, limits_held, clearance[1], bell_said),
        remarks=tuple(_remarks(reader, request, press, ream, fitted)),
        guides=guides,
        steps=published.rows(reader, "guide_dimensions", STEPS, request.position),
        limits=limits_held,
        clearances=published.rows(reader, "seat_geometry", ("stem-clearance",), request.position),
        sources=(usual["id"], liner.row),
    )


def _limits(
    reader: Reader, request: GuideRequest, read: guide_wear.Worn
) -> tuple[PublishedRow, ...]:
    """The published limits of play, each with whose engine it is and what it says of the play."""

    def says(row: Mapping[str, Any]) -> str:
        of = f"for the engine of a {_engine(reader, row['source'])}"
        most = row["maximum_house"]
        if read.play is None or most is None:
            return of
        if read.play + read.error <= most + FLOAT_MM:
            return f"within; {of}"
        return f"{'past' if read.play > most + FLOAT_MM else 'too near to tell'}; {of}"

    return published.rows(reader, "seat_geometry", (WORN_AT,), request.position, says=says)


def _engine(reader: Reader, source: str) -> str:
    """Whose engine a manual is of: the last words of its title."""
    found = source_rows.by_key(reader, source)
    return source if found is None else str(found["title"]).rpartition(", ")[2]


def _usual(reader: Reader, request: GuideRequest) -> Mapping[str, Any]:
    rows = limit_rows.features(reader, "seat_geometry", ("stem-clearance",))
    row = published.common_practice(rows, request.position)
    if row is None:
        raise NotKnown("this data release holds no usual stem clearance.", hint="Ask the maker's.")
    return row


def _ream(request: GuideRequest, least: float, most: float) -> tuple[float, float] | None:
    shafts = _shafts(request)
    return stem.ream_mm(min(shafts), max(shafts), least, most) if shafts else None


def _shafts(request: GuideRequest) -> tuple[float, ...]:
    """Readings of the stem that goes in; the old one where no other was told."""
    return request.stem or guide_wear.old_stem(request)


def _fitted(request: GuideRequest, press: GuidePress) -> Estimate | None:
    inner, by = request.guide_inner, press.closes_in
    if inner is None or by is None:
        return None
    return Estimate(inner - by.value, inner - by.high, inner - by.low, "mm", by.sources)


def _to_ream(fitted: Estimate | None, ream: tuple[float, float] | None) -> Estimate | None:
    if fitted is None or ream is None or ream[0] > ream[1]:
        return None
    middle = sum(ream) / 2
    return Estimate(
        middle - fitted.value, ream[0] - fitted.high, ream[1] - fitted.low, "mm", fitted.sources
    )


def _protrusion(request: GuideRequest) -> float | None:
    before, after = request.protrusion_before, request.protrusion_after
    return None if before is None or after is None else after - before


def _remarks(
    reader: Reader,
    request: GuideRequest,
    press: GuidePress,
    ream: tuple[float, float] | None,
    fitted: Estimate | None,
) -> Iterator[str]:
    if guide_wear.read(request):
        yield (
            "The limits are of the engines named beside them, and none says for which stem: a "
            "thin stem may be worn out sooner. The maker's limit comes first."
        )
    bell = guide_wear.bell_mouth(request)
    if bell is not None and bell > 2 * request.reading_error:
        yield f"Bell-mouthed by {bell:.3f} mm: measured in the middle alone it does not show."
    if ream is not None and ream[0] > ream[1]:
        yield (
            "The stem varies by more than the clearance may: no bore suits all of it. Take another "
            "valve."
        )
    ends = press.range_mm
    if press.press is not None and ends is not None:
        yield from _press_remarks(press.press, *ends, request.reading_error)
    if fitted is not None and ream is not None and fitted.high > ream[1]:
        yield "The guide is wider inside than the finished bore wanted: nothing to ream, too loose."
    moved = _protrusion(request)
    if moved is not None and abs(moved) > 0.25:
        yield (
            f"The new guide stands {abs(moved):.2f} mm {'higher' if moved > 0 else 'lower'} than "
            "the old one: look at retainer, seal and valve lift before going on."
        )
    yield "Note how far the guide stands out before it is driven; carbon off the port's end first."
    yield "Then measure the run-out of the old counterbore about the new guide: the centre moved."


def _press_remarks(press: Estimate, least: float, most: float, error: float) -> Iterator[str]:
    """A press outside the range; one that the readings of hole and guide, each `error` mm off,
    cannot tell from the range is measured again first."""
    again = (
        f" mm by less than the readings may be off ({error:g} mm each, hole and guide): measure "
        "both again before you take "
    )
    if press.low < least - FLOAT_MM:
        near = press.low + 2 * error >= least - FLOAT_MM
        yield (
            f"Press {press.low:.3f} mm at the widest reading of the hole is under {least:.3f}"
            f"{again if near else ' mm: '}an oversize guide, the hole reamed to suit."
        )
    if press.high > most + FLOAT_MM:
        near = press.high - 2 * error <= most + FLOAT_MM
        what = "a reamer to the hole, or" if near else "ream the hole, or take"
        yield (
            f"Press {press.high:.3f} mm at the narrowest reading of the hole is over {most:.3f}"
            f"{again if near else ' mm: '}{what} a smaller guide."
        )


def _assumed(request: GuideRequest, guides: tuple[GuideSize, ...]) -> Iterator[str]:
    if not request.stem and _shafts(request):
        yield "the old valve goes back: stem of another not told"
    if guides or guide_wear.read(request):
        yield f"readings good to {request.reading_error:g} mm each way (reading_error)"
    if guides:
        yield (
            "guides of the inside nearest under the finished bore come first, up to "
            f"{guide_press.USUAL_STOCK_MM:g} mm under it (memory): no row says what a reamer takes"
        )


def _unknown(
    request: GuideRequest,
    press: GuidePress,
    ream: tuple[float, float] | None,
) -> dict[str, str]:
    unknown = dict(press.unknown)
    if press.range_mm is None:
        unknown.setdefault("interference_max_mm", unknown.get("interference_min_mm", "not known"))
    if guide_wear.bell_mouth(request) is None:
        unknown["bell_mouth_mm"] = "not told: guide_middle, and guide_top or guide_bottom"
    if ream is None:
        why = "no reading of a stem was told (stem)"
        names = ("ream_min_mm", "ream_max_mm", "liner_bore_min_mm", "liner_bore_max_mm")
        unknown |= dict.fromkeys(names, why)
    if press.closes_in is None:
        unknown["inner_fitted_mm"] = unknown["closes_in_mm"]
    if press.closes_in is None or ream is None or ream[0] > ream[1]:
        unknown["to_ream_mm"] = "closing-in or finished bore is not known"
    if _protrusion(request) is None:
        unknown["protrusion_change_mm"] = "not told: protrusion_before and protrusion_after"
    return unknown
