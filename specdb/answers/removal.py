"""Removal: boring an old ring out thin, and the other ways it may come out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from specdb.answers import boring, names, removal_methods
from specdb.answers.evidence import conclude
from specdb.answers.trade_limits import Limit, limits
from specdb.errors import BadRequest
from specdb.estimate import Estimate
from specdb.physics import geometry
from specdb.physics import removal as wall_of
from specdb.records.removal import ComesAway, RemovalRequest, RemovalResult
from specdb.store.asof import Reader

LEAST, DEFAULT = "removal-wall-least", "removal-wall-default"
FREES, STOP = "removal-wall-frees", "removal-stop-above-floor"
FLOAT_MM = 1e-9
"""A wall on the very limit is inside."""


@dataclass(frozen=True, slots=True)
class Bored:
    """The ring once it is bored: cutter, walls and the distance between the axes, mm."""

    cutter: float
    thin: float
    thick: float
    off_axis: float


NOT_TOLD = ("tip_over_pilot_mm", "comes_away")
"""What an unsafe cut does not get."""


def removal(reader: Reader, request: RemovalRequest) -> RemovalResult:
    """Cutter and setting that leave the wanted wall of an old ring, and whether that is safe.

    Raises `BadRequest` for sizes that cannot be and for run-out and eccentricity together,
    `UnknownName` for a head or ring nobody knows.
    """
    trade = limits(reader, (LEAST, DEFAULT, FREES, STOP))
    ring = None if request.insert is None else names.ring(reader, request.insert)
    head = None if request.head is None else names.head(reader, request.head)
    boring.check_pilot(request.pilot, request.insert_diameter, "the old ring")
    if request.insert_inner is not None:
        boring.check_pilot(request.pilot, request.insert_inner, "the inside of the old ring")
    bored = _bored(request, trade)
    least = trade[LEAST].value
    stop, depth_stop, unknown = _stop(request, trade[STOP])
    unsafe = "the cut is not safe; ask with a wall of wall_needed_mm or more"
    methods = removal_methods.methods(reader, ring, head.head_class if head else None)
    safe = bored.thin >= least - FLOAT_MM
    return conclude(
        RemovalResult,
        reader,
        topics=removal_methods.topics(ring, methods),
        rows=(*(ring.rows if ring else ()), *(each.row for each in trade.values())),
        assumed=tuple(_assumed(request, trade)),
        unknown={**unknown, **({} if safe else dict.fromkeys(NOT_TOLD, unsafe))},
        cutter_diameter_mm=bored.cutter,
        tip_over_pilot_mm=geometry.tip_over_pilot_mm(request.pilot, bored.cutter) if safe else None,
        wall_min_mm=bored.thin,
        wall_max_mm=bored.thick,
        wall_limit_mm=least,
        wall_needed_mm=least + bored.off_axis,
        eccentricity_mm=bored.off_axis,
        runout_mm=2.0 * bored.off_axis,
        safe=safe,
        why=_why(request, bored, least, safe),
        comes_away=_comes_away(bored, trade[FREES]) if safe else None,
        stop_above_floor_mm=stop,
        depth_stop_mm=depth_stop,
        remarks=tuple(_remarks(request, bored, trade)) if safe else (),
        methods=methods,
        sources=tuple(each.row for each in trade.values()),
    )


def _bored(request: RemovalRequest, trade: Mapping[str, Limit]) -> Bored:
    wall = trade[DEFAULT].value if request.wall is None else request.wall
    off_axis = _off_axis(request)
    cutter = wall_of.cutter_diameter_mm(request.insert_diameter, wall)
    if request.insert_inner is not None and cutter <= request.insert_inner:
        raise BadRequest(
            f"wall: a wall of {wall:g} mm leaves nothing to bore: the ring is "
            f"{(request.insert_diameter - request.insert_inner) / 2:g} mm thick.",
            hint="Accepted: a wall thinner than the ring's, and insert_inner below "
            "insert_diameter.",
            field="wall",
        )
    return Bored(cutter, *wall_of.wall_mm(request.insert_diameter, cutter, off_axis), off_axis)


def _off_axis(request: RemovalRequest) -> float:
    if request.eccentricity is not None and request.runout is not None:
        raise BadRequest(
            "eccentricity and runout both say how far the ring stands off the guide's axis.",
            hint="Accepted: one of them. The dial shows the run-out, twice the eccentricity.",
            field="runout",
        )
    if request.runout is not None:
        return wall_of.eccentricity_mm(request.runout)
    return request.eccentricity or 0.0


def _stop(
    request: RemovalRequest, limit: Limit
) -> tuple[Estimate, Estimate | None, dict[str, str]]:
    """The depth stop above the floor and, where the floor's depth is known, from the face."""
    low, high = limit.least or 0.0, limit.greatest or 0.0
    above = Estimate((low + high) / 2, low, high, "mm", (limit.row,))
    floor = request.depth
    if floor is None and request.height is not None:
        floor = request.height + request.setback
    if floor is None:
        why = "neither the depth of the counterbore nor the height of the old ring was told"
        return above, None, {"depth_stop_mm": why}
    if floor <= high:
        raise BadRequest(
            f"depth: a floor {floor:g} mm deep leaves no room for a stop {high:g} mm above it.",
            hint="Accepted: depth, or height with setback, of a counterbore.",
            field="height" if request.depth is None else "depth",
        )
    rows = above.sources
    return above, Estimate(floor - above.value, floor - high, floor - low, "mm", rows), {}


def _assumed(request: RemovalRequest, trade: Mapping[str, Limit]) -> Iterator[str]:
    if request.wall is None:
        yield f"a wall of {trade[DEFAULT].value:g} mm, which the trade leaves"
    if request.runout is None and request.eccentricity is None:
        yield "the old ring runs true to the guide: put a dial on it before cutting"
    if request.insert is None:
        yield "the old ring may be of any material: treat a copper-coloured one as beryllium"


def _why(request: RemovalRequest, bored: Bored, least: float, safe: bool) -> str:
    walls = f"wall {bored.thin:.3f} to {bored.thick:.3f} mm"
    if bored.off_axis:
        walls += f" with {2 * bored.off_axis:.3f} mm of run-out"
    told = request.runout is not None or request.eccentricity is not None
    taken = "" if told else "; run-out not told: taken as none; measure it before cutting"
    if safe:
        return f"{walls}: at its thinnest not under the {least:.2f} mm that must stay{taken}"
    touches = " (the cutter touches the head)" if bored.thin <= 0.0 else ""
    return (
        f"refused: {walls}; at its thinnest under the {least:.2f} mm that must stay{touches}. "
        f"Leave a wall of {least + bored.off_axis:.3f} mm, or pilot on the ring's own centre{taken}"
    )


def _comes_away(bored: Bored, frees: Limit) -> ComesAway:
    most = frees.greatest if frees.greatest is not None else frees.value
    if bored.thick <= most + FLOAT_MM:
        return "by itself"
    return "thick side broken out" if bored.thin <= most + FLOAT_MM else "broken out"


def _remarks(request: RemovalRequest, bored: Bored, trade: Mapping[str, Limit]) -> Iterator[str]:
    frees, least = trade[FREES], trade[LEAST].value
    said = {
        "by itself": f"With {frees.least:.2f} to {frees.greatest:.2f} mm left the wall usually "
        "comes away by itself: lift it out.",
        "thick side broken out": f"The thick side keeps more than {frees.greatest:.2f} mm: it will "
        "need breaking out. Cover it, protect the eyes.",
        "broken out": f"More than {frees.greatest:.2f} mm is left all round: the ring will need "
        "breaking out. Cover it, protect the eyes.",
    }
    yield said[_comes_away(bored, frees)]
    spare = 2.0 * ((bored.thin + bored.off_axis) - least)
    if spare > 0.0 and not bored.off_axis:
        yield f"With this wall the dial may show up to {spare:.2f} mm of run-out."
    yield (
        "The setting is the middle between pilot and cutter: measure the pilot where the "
        "micrometer rests; it is not the stem's nor the guide's size."
    )
    if request.insert_inner is None:
        yield "A stepped or flanged ring is larger below or above: look before setting the cutter."
