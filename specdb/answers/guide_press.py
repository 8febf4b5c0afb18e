"""The press of a guide: recommended, as measured, how far its bore closes in, which guides serve.

The machinery is that of seat inserts, asked with the part `valve-guide`.
"""

from __future__ import annotations

from dataclasses import dataclass

from specdb.answers import guide_hole, readings
from specdb.answers.interference import interference
from specdb.answers.metals import pair
from specdb.answers.press_range import press_range
from specdb.answers.recommended import Segment
from specdb.answers.windows import Verdict, Wanted, judge, reach
from specdb.errors import BadRequest, NoAnswer
from specdb.estimate import Estimate, propagate
from specdb.physics import rings
from specdb.records.guide import GuideRequest, GuideSize
from specdb.records.interference import InterferenceRequest, InterferenceResult
from specdb.records.sizes import SizesRequest
from specdb.store.asof import Reader
from specdb.store.query import guides as guide_rows

PART = "valve-guide"
LARGEST_OVERSIZE_MM = 0.8
"""Guides larger than the hole by up to this are looked at: the usual oversizes end there."""
FEW = 6
USUAL_STOCK_MM = 0.5
"""A guide narrower inside than the finished bore by more is offered only where the hole takes it as
it is, or none is nearer: no row says what a reamer takes; from memory, tenths."""
LARGEST_SHARE = 0.01
"""Press over diameter beyond which a slip of the pen is likelier than a fit."""


@dataclass
class GuidePress:
    """What is known of the press; `unknown` has the reason for what is not."""

    recommended: InterferenceResult | None
    press: Estimate | None
    closes_in: Estimate | None
    assumed: list[str]
    unknown: dict[str, str]
    segments: tuple[Segment, ...] = ()
    """The recommended press over the diameters guides for this hole have, as `sizes` takes it."""

    @property
    def range_mm(self) -> tuple[float, float] | None:
        """The recommended press, mm."""
        found = self.recommended
        if found is None or found.interference_min_mm is None or found.interference_max_mm is None:
            return None
        return found.interference_min_mm, found.interference_max_mm


def pressed(reader: Reader, request: GuideRequest) -> GuidePress:
    """Press and closing-in as far as head, guide and sizes were told."""
    found = GuidePress(None, _measured(request), None, [], {})
    if request.head is None or request.guide is None:
        found.unknown["interference_min_mm"] = "not told: head or guide, the two materials"
    elif request.guide_diameter is None and not request.bore:
        found.unknown["interference_min_mm"] = "not told: guide_diameter or bore"
    else:
        _recommend(reader, request, found)
    if found.press is None:
        found.unknown["press_mm"] = "not told: guide_diameter and bore"
    _close_in(reader, request, found)
    return found


def _measured(request: GuideRequest) -> Estimate | None:
    outer, bore = request.guide_diameter, request.bore
    if outer is None or not bore:
        return None
    middle = outer - sum(bore) / len(bore)
    if abs(middle) > LARGEST_SHARE * outer:
        raise BadRequest(
            f"guide_diameter: a guide of {outer:g} mm in a hole of {bore[0]:g} mm is not likely.",
            hint="Accepted: the measured outside of the guide, and of the hole it goes into. Check "
            "the units.",
            field="guide_diameter",
        )
    return Estimate(middle, outer - max(bore), outer - min(bore), "mm")


def _recommend(reader: Reader, request: GuideRequest, found: GuidePress) -> None:
    size = request.guide_diameter or sum(request.bore) / len(request.bore)
    asked = InterferenceRequest.model_validate(
        {
            "part": PART,
            "head": request.head,
            "insert": request.guide,
            "position": request.position,
            "diameter": size,
        }
    )
    try:
        found.recommended = interference(reader, asked)
    except NoAnswer as error:
        found.unknown["interference_min_mm"] = error.message
        return
    found.unknown.update(found.recommended.unknown)
    if request.bore:
        low, high = min(request.bore), max(request.bore) + LARGEST_OVERSIZE_MM
        found.segments = press_range(reader, asked, low, high, part=PART).segments


def _close_in(reader: Reader, request: GuideRequest, found: GuidePress) -> None:
    """How far the guide's bore shrinks: by the press measured, else by the recommended one."""
    by = found.press if found.press is not None and found.press.high > 0.0 else _range(found)
    outer = request.guide_diameter or (max(request.bore) if request.bore else None)
    inner = request.guide_inner
    if by is None or outer is None or inner is None or not (request.head and request.guide):
        found.unknown["closes_in_mm"] = "not told: head, guide, guide_diameter or bore, guide_inner"
        return
    if inner >= outer:
        raise BadRequest(
            f"guide_inner: {inner:g} mm is not inside a guide of {outer:g} mm.",
            hint="Accepted: guide_inner below guide_diameter.",
            field="guide_inner",
        )
    metals = pair(reader, request.head, request.guide)
    ring, hub = metals.insert.part(20.0), metals.head.part(20.0)

    def closing(**at: float) -> dict[str, float]:
        fit = rings.press_fit(joint_mm=outer, ring_bore_mm=inner, hub_outer_mm=float("inf"), **at)
        return {"by": float(rings.close_in_mm(fit.pressure_mpa, outer, inner, at[MODULUS]))}

    held = Estimate(by.value, max(by.low, 0.0), by.high, "mm", by.sources)
    spreads = {
        MODULUS: ring.modulus,
        "ring_poisson": ring.poisson,
        "hub_modulus_mpa": hub.modulus,
        "hub_poisson": hub.poisson,
    }
    found.closes_in = propagate(
        closing, units={"by": "mm"}, limits={"interference_mm": held}, spreads=spreads
    )["by"]
    found.assumed.append("thick metal round the guide: in a thin boss it closes in less")
    found.assumed += [*metals.head.assumed, *metals.insert.assumed]


MODULUS = "ring_modulus_mpa"


def _range(found: GuidePress) -> Estimate | None:
    ends = found.range_mm
    if ends is None or found.recommended is None:
        return None
    return Estimate(sum(ends) / 2, *ends, "mm", found.recommended.decided_by)


def serving(
    reader: Reader, request: GuideRequest, found: GuidePress, ream: tuple[float, float] | None
) -> tuple[GuideSize, ...]:
    """Guides of the generic series for the hole: as it is, then the next oversizes; of either those
    first whose inside is nearest under the finished bore. Judged as `sizes` judges them."""
    if not found.segments or ream is None or not request.bore:
        return ()
    want = _wanted(request, ream[0])
    best: dict[float, GuideSize] = {}
    for segment in found.segments:
        window = reach(want, segment)
        if window is None:
            continue
        rows = guide_rows.between(
            reader,
            window.low,
            window.high,
            inner=ream[0],
            inner_max=ream[0],
            length=request.length or 50.0,
            limit=500,
        )
        for row in rows:
            judged = judge(row, want, segment)
            if judged.serves and row["outer_mm"] not in best:
                best[row["outer_mm"]] = _size(row, judged, ream[0])
    near = [size for size in best.values() if size.as_found or size.stock_mm <= USUAL_STOCK_MM]
    order = sorted(
        near or best.values(), key=lambda size: (not size.as_found, size.stock_mm, size.outer_mm)
    )
    return tuple(order[:FEW])


def _wanted(request: GuideRequest, ream_mm: float) -> Wanted:
    """The hole as `sizes` is asked about it."""
    asked = SizesRequest.model_validate(
        {
            "part": PART,
            "head": request.head or "",
            "insert": request.guide or "",
            "position": request.position,
            "bore": request.bore,
            "inner_max": ream_mm,
            "height_max": request.length,
            "reading_error": request.reading_error,
            "largest_clean_up": LARGEST_OVERSIZE_MM,
        }
    )
    return guide_hole.wanted(
        asked, readings.bore(request.bore), request.reading_error, as_found=True
    )


def _size(row: dict[str, float], judged: Verdict, ream_mm: float) -> GuideSize:
    return GuideSize(
        outer_mm=row["outer_mm"],
        inner_mm=row["inner_mm"],
        length_mm=row["height_mm"],
        oversize_mm=row["oversize_mm"],
        stock_mm=round(ream_mm - row["inner_mm"], 6),
        as_found=judged.as_found,
        ream_head_min_mm=None if judged.as_found else judged.cut_min,
        ream_head_max_mm=None if judged.as_found else judged.cut_max,
        sources=(str(row["series"]),),
    )
