"""Height: stem, spring, tip and lash after the seat was cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specdb.answers import published
from specdb.answers.evidence import conclude
from specdb.answers.trade_limits import limits
from specdb.errors import BadRequest
from specdb.physics import stem
from specdb.records.height import HeightRequest, HeightResult
from specdb.store.asof import Reader

TIP, BRIDGE = "tip-grinding", "bridge-height-difference"
FLOAT_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Changed:
    """What became of stem and spring, and what the trade allows, mm."""

    change: float
    sink: float
    tip_limit: float
    bridge_limit: float
    by_height: float | None

    def allowed(self, ground: float) -> float:
        """What may still come off the tip."""
        return min(max(self.change, 0.0), max(self.tip_limit - ground, 0.0))


def height(reader: Reader, request: HeightRequest) -> HeightResult:
    """Spring shim, tip and lash shim for a valve that sank, and valves under one bridge.

    Raises `BadRequest` for heights that cannot be of one valve, or a lash shim that cannot be.
    """
    trade = limits(reader, (TIP, BRIDGE), "seat_geometry")
    made = _changed(request, trade[TIP].value, trade[BRIDGE].value)
    grind, allowed = max(made.change, 0.0), made.allowed(request.tip_ground)
    shim = _shim(request, made)
    spread = _spread(request)
    rows = tuple(limit.row for limit in trade.values())
    return conclude(
        HeightResult,
        reader,
        topics=("stem-tip", "sodium-valve"),
        rows=rows,
        assumed=_assumed(request),
        unknown=_unknown(request),
        sink_mm=made.sink,
        stem_change_mm=made.change,
        spring_shim_mm=max(made.sink if made.by_height is None else made.by_height, 0.0),
        spring_shim_by_height_mm=made.by_height,
        tip_to_grind_mm=grind,
        tip_allowed_mm=allowed,
        tip_over_mm=grind - allowed,
        tip_limit_mm=made.tip_limit,
        lash_shim_mm=shim,
        lash_shim_change_mm=None if shim is None or not request.shim else shim - request.shim,
        bridge_spread_mm=spread,
        bridge_limit_mm=made.bridge_limit,
        bridge_within=None if spread is None else spread <= made.bridge_limit + FLOAT_MM,
        why=_why(made),
        remarks=tuple(_remarks(request, made, allowed, spread)),
        recession=published.rows(reader, "seat_geometry", ("recession-limit",)),
        sources=rows,
    )


def _changed(request: HeightRequest, tip_limit: float, bridge_limit: float) -> Changed:
    change = request.stem_new - request.stem_old
    if abs(change) > 0.2 * request.stem_old:
        raise BadRequest(
            f"stem_new: {request.stem_new:g} mm after {request.stem_old:g} mm is not one valve.",
            hint="Accepted: heights from the same face, before and after. Check the units.",
            field="stem_new",
        )
    sink = stem.sink_mm(request.stem_old, request.stem_new, request.tip_ground)
    by_height = None
    if request.spring_height is not None and request.spring_height_wanted is not None:
        by_height = request.spring_height - request.spring_height_wanted
    return Changed(change, sink, tip_limit, bridge_limit, by_height)


def _shim(request: HeightRequest, made: Changed) -> float | None:
    """The lash shim to fit. Lash not measured: it was right before, and the stem took it away."""
    if request.shim is None:
        return None
    if request.lash_found is not None and request.lash is not None:
        found = stem.lash_shim_mm(request.shim, request.lash_found, request.lash)
    else:
        found = stem.lash_shim_mm(request.shim, -made.change, 0.0)
    if found <= 0.0:
        raise BadRequest(
            f"shim: a shim of {request.shim:g} mm cannot be made {request.shim - found:.3f} mm "
            "thinner.",
            hint="Accepted: the thickness of the shim that is in. Else the tip, or the seat.",
            field="shim",
        )
    return found


def _spread(request: HeightRequest) -> float | None:
    if not request.bridge_heights:
        return None
    return stem.spread_mm((request.stem_new, *request.bridge_heights))


def _why(made: Changed) -> str:
    if made.sink < -FLOAT_MM:
        return f"the valve sits {-made.sink:.3f} mm higher than before"
    if made.sink <= FLOAT_MM:
        return "the valve sits as before"
    return f"the valve sank {made.sink:.3f} mm: the spring is that much longer"


def _remarks(
    request: HeightRequest, made: Changed, allowed: float, spread: float | None
) -> Iterator[str]:
    if made.change - allowed > FLOAT_MM:
        yield (
            f"{made.change - allowed:.2f} mm more than a tip gives ({made.tip_limit:g} mm in all, "
            "never through its hard layer): a thinner lash shim, a new insert or another valve."
        )
    elif allowed > FLOAT_MM:
        yield "Grind the tip or change the lash shim, not both; never through the hard layer."
    if made.change < -FLOAT_MM:
        yield "The stem is lower than before: nothing to grind; a thicker lash shim."
    if made.by_height is not None and abs(made.by_height - made.sink) > 0.05:
        yield (
            f"The spring's own height asks for {made.by_height:.2f} mm, the sunk valve for "
            f"{made.sink:.2f} mm: the spring's height counts, look why they differ."
        )
    if made.by_height is not None and made.by_height < -FLOAT_MM:
        yield (
            f"The spring is {-made.by_height:.2f} mm shorter than wanted: take shims out, and "
            "look that the coils do not bind."
        )
    if spread is not None and spread > made.bridge_limit + FLOAT_MM:
        yield (
            f"Valves under one bridge differ by {spread:.3f} mm, more than "
            f"{made.bridge_limit:g} mm: grind the higher tip."
        )


def _assumed(request: HeightRequest) -> list[str]:
    if request.shim is not None and (request.lash is None or request.lash_found is None):
        return ["the lash was right before the work"]
    return []


def _unknown(request: HeightRequest) -> dict[str, str]:
    unknown = {}
    if request.spring_height is None or request.spring_height_wanted is None:
        unknown["spring_shim_by_height_mm"] = "not told: spring_height and spring_height_wanted"
    if request.shim is None:
        why = "the lash shim that is in (shim) was not told"
        unknown |= dict.fromkeys(("lash_shim_mm", "lash_shim_change_mm"), why)
    if not request.bridge_heights:
        why = "no other valve under the bridge was told (bridge_heights)"
        unknown |= dict.fromkeys(("bridge_spread_mm", "bridge_within"), why)
    return unknown
