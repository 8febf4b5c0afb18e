"""Interference: every range that applies to a case, side by side, and the recommended one."""

from __future__ import annotations

from specdb.answers import press_range, recommended, side_by_side, standard_fits
from specdb.answers.evidence import conclude
from specdb.answers.press_range import PressRange
from specdb.answers.trade_limits import limits
from specdb.records.interference import InterferenceRequest, InterferenceResult
from specdb.store.asof import Reader
from specdb.store.query import interference as range_rows


def interference(reader: Reader, request: InterferenceRequest) -> InterferenceResult:
    """Press on diameter for a ring in a head, mm, with every row side by side.

    Raises `UnknownName` for a head, ring, part or fuel nobody knows and `NotKnown` where no range
    is known for the pair at any diameter.
    """
    at = request.diameter
    found = press_range.press_range(reader, request, at, at, part=request.part)
    here = recommended.at(found.segments, at)
    soft = limits(reader, [press_range.SOFT])[press_range.SOFT]
    behind = here.sources if here else ()
    rows = range_rows.published(reader, request.part, found.head.head_class)
    laid_out = side_by_side.laid_out(rows, found.case, at, behind)
    return conclude(
        InterferenceResult,
        reader,
        topics=found.topics(),
        rows=(*found.ring.rows, *behind, *((soft.row,) if found.conditions.weak else ())),
        part=request.part,
        head_class=found.head.head_class,
        insert_class=found.ring.insert_class or found.ring.name,
        position=request.position,
        diameter_mm=at,
        interference_min_mm=here.minimum_mm if here else None,
        interference_max_mm=here.maximum_mm if here else None,
        rule=here.rule if here else "no rule reaches this diameter",
        nearest=None if here else press_range.nearest_words(reader, found, at),
        remarks=found.conditions.remarks(soft),
        standard_fits=standard_fits.nearest(reader, at, here.minimum_mm, here.maximum_mm)
        if here
        else (),
        decided_by=tuple(row.row for row in laid_out if row.decides),
        ranges=laid_out,
        assumed=found.conditions.assumed(),
        unknown={} if here else _outside(reader, found, at),
    )


def _outside(reader: Reader, found: PressRange, diameter_mm: float) -> dict[str, str]:
    known = press_range.over(reader, found, 0.0, press_range.EVERY_MM)
    text = (
        f"no recommended range reaches {diameter_mm:.2f} mm; known from "
        f"{known[0].low_mm:.1f} to {known[-1].high_mm:.1f} mm"
    )
    return {"interference_min_mm": text, "interference_max_mm": text}
