"""The press of a guide: recommended, as measured, how far its bore closes in, which guides serve.

The machinery is that of seat inserts, asked with the part `valve-guide`.
"""

from __future__ import annotations

from dataclasses import dataclass

from specdb.answers.interference import interference
from specdb.answers.metals import pair
from specdb.answers.windows import FLOAT_MM
from specdb.errors import BadRequest, NoAnswer
from specdb.estimate import Estimate, propagate
from specdb.physics import rings
from specdb.records.guide import GuideRequest, GuideSize
from specdb.records.interference import InterferenceRequest, InterferenceResult
from specdb.store.asof import Reader
from specdb.store.query import guides as guide_rows

PART = "valve-guide"
LARGEST_OVERSIZE_MM = 0.8
"""Guides larger than the hole by up to this are looked at: the usual oversizes end there."""
FEW = 6
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
    """Guides of the generic series for the hole: as it is, then the next oversizes."""
    ends = found.range_mm
    if ends is None or not request.bore or ream is None:
        return ()
    least, most = ends
    small, large = min(request.bore), max(request.bore)
    rows = guide_rows.between(
        reader,
        small + least - FLOAT_MM,
        large + most + LARGEST_OVERSIZE_MM + FLOAT_MM,
        inner=ream[0],
        inner_max=ream[1],
        length=request.length or 50.0,
        limit=500,
    )
    best: dict[float, GuideSize] = {}
    for row in rows:
        outer = row["outer_mm"]
        as_found = (
            outer - row["outer_minus_mm"] - large >= least - FLOAT_MM
            and outer + row["outer_plus_mm"] - small <= most + FLOAT_MM
        )
        if outer in best or not (as_found or outer - most > large + FLOAT_MM):
            continue
        best[outer] = _size(row, as_found, least, most)
    order = sorted(best.values(), key=lambda size: (not size.as_found, size.outer_mm))
    return tuple(order[:FEW])


def _size(row: dict[str, float], as_found: bool, least: float, most: float) -> GuideSize:
    outer = row["outer_mm"]
    return GuideSize(
        outer_mm=outer,
        inner_mm=row["inner_mm"],
        length_mm=row["height_mm"],
        oversize_mm=row["oversize_mm"],
        as_found=as_found,
        ream_head_min_mm=None if as_found else outer - most,
        ream_head_max_mm=None if as_found else outer - least,
        sources=(str(row["series"]),),
    )
