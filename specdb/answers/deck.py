"""Deck: what a skim leaves, and the published limits side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from specdb.answers import published
from specdb.answers.evidence import conclude
from specdb.errors import BadRequest
from specdb.physics import deck as skimmed
from specdb.records.deck import DeckRequest, DeckResult
from specdb.records.published import PublishedRow
from specdb.store.asof import Reader

TOTAL = ("deck-stock-total",)
AFTER = (
    "deck-stock-per-pass",
    "deck-skim-effect",
    "valve-below-deck-after-skim",
    "valve-below-deck-after-work",
    "valve-below-deck",
    "insert-setback",
    "deck-plane-after-work",
    "port-flatness-after-skim",
    "sealing-groove-depth",
    "chamber-volume-spread",
)
LEAST_AREA_MM2 = 100.0
"""Below it the figure was meant in other units."""
REPAIR = ("skimmed-deck-repair",)
MM3 = 1000.0
"""Cubic millimetres in a cubic centimetre."""


class Volumes(NamedTuple):
    """Volumes after the skim, mm3, and the ratio; None where not enough was told."""

    lost: float | None
    chamber: float | None
    clearance: float | None
    ratio: float | None


def deck(reader: Reader, request: DeckRequest) -> DeckResult:
    """What a skim leaves of setback, recess, volume, compression, clearance and height.

    Raises `BadRequest` for a skim that takes more than there is.
    """
    if request.chamber_area is not None and 0.0 < request.chamber_area < LEAST_AREA_MM2:
        raise BadRequest(
            f"chamber_area: {request.chamber_area:g} mm2 is no chamber's mouth.",
            hint="A bare number is mm2. Accepted: 50 cm2, 7.75 in2, or 0 for a flat deck.",
            field="chamber_area",
        )
    left = _left(request)
    volumes = _volumes(request)
    taken = request.skim + (request.skimmed_before or 0.0)
    on_deck = request.reference == "deck"
    lost = skimmed.clearance_lost_mm(request.skim, request.inclination)
    limits = published.rows(reader, "seat_geometry", TOTAL, says=lambda row: _says(row, taken))
    after = published.rows(reader, "seat_geometry", AFTER)
    repair = published.rows(reader, "insert_dimensions", REPAIR) if on_deck else ()
    return conclude(
        DeckResult,
        reader,
        topics=("deck",),
        assumed=_assumed(request),
        unknown=_unknown(request, volumes),
        reference=request.reference,
        skim_mm=request.skim,
        taken_mm=taken,
        **left,
        deepen_mm=request.skim if on_deck else 0.0,
        volume_lost_cm3=_cm3(volumes.lost),
        chamber_volume_left_cm3=_cm3(volumes.chamber),
        clearance_volume_left_cm3=_cm3(volumes.clearance),
        compression_ratio=volumes.ratio,
        compression_ratio_before=request.compression_ratio,
        valve_clearance_lost_mm=lost,
        valve_clearance_left_mm=_less(request.valve_clearance, lost),
        why="; ".join((*_faults(request, left, lost), _why(limits, taken))),
        remarks=tuple(_remarks(request, left, volumes, lost)),
        limits=limits,
        after=(*repair, *after),
        sources=tuple(row.sources[0] for row in limits if row.stands),
    )


def _left(request: DeckRequest) -> dict[str, Any]:
    """Setback, recess and height after the skim; in a chamber's roof the first two stay."""
    off = request.skim if request.reference == "deck" else 0.0
    height = _less(request.height, request.skim)
    if height is not None and height <= 0.0:
        raise BadRequest(
            f"skim: {request.skim:g} mm is the whole height of the head.",
            hint="Accepted: a skim well under height. Check the units.",
            field="skim",
        )
    return {
        "setback_left_mm": _less(request.setback, off),
        "recess_left_mm": _less(request.recess, off),
        "height_left_mm": height,
        "above_minimum_mm": _less(height, request.minimum_height),
    }


def _less(value: float | None, off: float | None) -> float | None:
    return None if value is None or off is None else value - off


def _cm3(volume_mm3: float | None) -> float | None:
    return None if volume_mm3 is None else volume_mm3 / MM3


def _volumes(request: DeckRequest) -> Volumes:
    lost = chamber = clearance = ratio = None
    if request.chamber_area is not None:
        lost = skimmed.volume_lost_mm3(request.chamber_area, request.skim)
    if lost is not None and request.chamber_volume is not None:
        chamber = _left_over(request.chamber_volume, lost, "chamber_volume")
    swept, before = request.swept_volume, request.compression_ratio
    if lost is not None and swept is not None and before is not None:
        held = skimmed.clearance_volume_mm3(swept, before)
        if request.chamber_volume is not None and request.chamber_volume > held:
            raise BadRequest(
                f"chamber_volume: {request.chamber_volume / MM3:.1f} cm3 in the head alone is "
                f"more than the {held / MM3:.1f} cm3 that a ratio of {before:g} leaves in all.",
                hint="Accepted: volumes of one cylinder. Check the units.",
                field="chamber_volume",
            )
        clearance = _left_over(held, lost, "swept_volume")
        ratio = skimmed.compression_ratio(swept, clearance)
    return Volumes(lost, chamber, clearance, ratio)


def _left_over(volume: float, lost: float, field: str) -> float:
    if lost >= volume:
        raise BadRequest(
            f"{field}: the skim takes {lost / MM3:.1f} cm3, all there is is {volume / MM3:.1f}.",
            hint="Accepted: chamber_area, skim and volumes of one cylinder. Check the units.",
            field=field,
        )
    return volume - lost


def _says(row: Mapping[str, Any], taken: float) -> str | None:
    most = row["maximum_house"] if row["maximum_house"] is not None else row["minimum_house"]
    if most is None:
        return None
    if taken <= most + 1e-9:
        return f"within, {most - taken:.2f} mm left"
    return f"over by {taken - most:.2f} mm"


def _why(limits: tuple[PublishedRow, ...], taken: float) -> str:
    judged = [row for row in limits if row.says is not None]
    over = sum(1 for row in judged if row.says and row.says.startswith("over"))
    how = f"over {over} of the {len(judged)}" if over else f"within all {len(judged)}"
    return (
        f"{taken:.2f} mm in all: {how} published limits that stand; "
        "each belongs to one engine, the maker's for this head comes first"
    )


def _faults(request: DeckRequest, left: Mapping[str, float | None], lost: float) -> Iterator[str]:
    """What forbids the skim as things lie, first of all."""
    setback, recess, spare = (
        left[name] for name in ("setback_left_mm", "recess_left_mm", "above_minimum_mm")
    )
    if spare is not None and spare < 0.0:
        yield f"no: the head ends {-spare:.2f} mm under its least height"
    if request.valve_clearance is not None and request.valve_clearance <= lost:
        yield "no: the valves would touch the pistons"
    if request.reference != "deck":
        return
    if setback is not None and setback < 0.0:
        yield f"not with the inserts as they lie: they end {-setback:.2f} mm proud of the deck"
    if recess is not None and recess < 0.0:
        yield f"not with the valves as they lie: they end {-recess:.2f} mm above the deck"


def _remarks(
    request: DeckRequest, left: Mapping[str, float | None], volumes: Volumes, lost: float
) -> Iterator[str]:
    setback, recess, spare = (
        left[name] for name in ("setback_left_mm", "recess_left_mm", "above_minimum_mm")
    )
    if request.reference == "deck":
        if setback is not None and setback < 0.0:
            yield (
                f"The inserts would stand {-setback:.2f} mm proud: never. Deepen the counterbores "
                "or take the rings out."
            )
        if recess is not None and recess < 0.0:
            yield f"The valves would stand {-recess:.2f} mm above the deck."
        yield (
            f"To keep inserts and valves as they lie, everything goes {request.skim:.2f} mm deeper."
        )
    else:
        yield "Inserts in a chamber's roof are left alone by a skim; volume and clearance are not."
    if spare is not None and spare < 0.0:
        yield (
            f"Below the least height by {-spare:.2f} mm: the deck may crack. Do not cut this much."
        )
    if volumes.ratio is not None and request.compression_ratio is not None:
        rise = volumes.ratio - request.compression_ratio
        yield f"Compression rises by {rise:.2f}."
    if request.valve_clearance is not None and request.valve_clearance <= lost:
        yield "The valves would touch the pistons."
    yield "Skim every head of an engine, and every chamber of a head, alike."


def _assumed(request: DeckRequest) -> list[str]:
    found = []
    if request.skimmed_before is None:
        found.append("never skimmed before: measure the height, it may have been")
    if not request.inclination:
        found.append("valves square to the deck")
    return found


def _unknown(request: DeckRequest, volumes: Volumes) -> dict[str, str]:
    unknown = {}
    for field, needs in {
        "setback_left_mm": ("setback",),
        "recess_left_mm": ("recess",),
        "volume_lost_cm3": ("chamber_area",),
        "chamber_volume_left_cm3": ("chamber_area", "chamber_volume"),
        "clearance_volume_left_cm3": ("chamber_area", "swept_volume", "compression_ratio"),
        "compression_ratio": ("chamber_area", "swept_volume", "compression_ratio"),
        "compression_ratio_before": ("compression_ratio",),
        "valve_clearance_left_mm": ("valve_clearance",),
        "height_left_mm": ("height",),
        "above_minimum_mm": ("height", "minimum_height"),
    }.items():
        missing = [name for name in needs if getattr(request, name) is None]
        if missing:
            unknown[field] = f"not told: {', '.join(missing)}"
    return unknown
