"""The question `fit`: pressure, stresses, force, hold, and where the fit lets go."""

from __future__ import annotations

from typing import Any, NamedTuple

from specdb.answers import bridges, chance, cycle, grip, hot_states, running
from specdb.answers.evidence import conclude
from specdb.answers.fit_words import assumed, conical, remarks, running_remarks, topics
from specdb.answers.joint import Joint, joint_of
from specdb.answers.metals import Pair, pair
from specdb.answers.press import OF_HEAD, OF_RING, Hub, Press, figures
from specdb.answers.rubbing import rubbing, smoothing
from specdb.answers.surroundings import Around, around
from specdb.errors import BadRequest
from specdb.estimate import Estimate
from specdb.records.fit import FitFigures, FitRequest, FitResult, RunningState
from specdb.store.asof import Reader

THIN_MM = 3.0
"""Thin metal round a counterbore, for the second set of figures where nobody measured it."""


NO_HEATS = hot_states.Known(None, None, None)
GUIDE = {
    "pocket_factor": "a guide runs through the head: it has no pocket",
    "running": "no running temperature of guides is known",
}


class Hubs(NamedTuple):
    """The head metal the main figures are for, in words, and the second set's, if any."""

    main: Hub
    said: str
    thin: Hub | None


def fit(reader: Reader, request: FitRequest) -> FitResult:
    """How a ring sits in its counterbore at the temperatures asked about.

    Raises `BadRequest` for sizes that cannot be, `UnknownName` for a metal nobody knows,
    `OutOfRange` for a temperature beyond a curve, `NotKnown` for counterbores that overlap.
    """
    joint = joint_of(request)
    hubs = _hubs(request)
    metals = pair(
        reader, request.head, request.insert, soft_head=request.head_state not in (None, "sound")
    )
    press = _press(reader, request, joint, metals)
    metal = around(reader, request, press, hubs.main)
    main = figures(press, metal.hub)
    lost = _grip(metals, joint, press, main)
    guide = request.part == "valve-guide"
    known = NO_HEATS if guide else hot_states.known(reader, metals.head_class, request.position)
    states = running.states(metals, joint, press, metal.hub, known)
    usual = cycle.within(hot_states.usual_cycle(known), metals)
    heats = cycle.told(request.cycle) if request.cycle else usual
    cycled = cycle.cycle(metals, press, metal.hub, heats)
    outside, why_not = chance.outside(reader, request)
    deciding = states.deciding
    unknown = _unknown(metals, main, lost, hubs, metal) | states.unknown | cycled.unknown
    unknown |= _undecided(deciding)
    if guide:
        unknown |= GUIDE
    if outside is None:
        unknown["outside_chance"] = why_not
    thin = bridges.figures(press, metal, main)
    trade = bridges.trade(reader, request, metals.head_class)
    return conclude(
        FitResult,
        reader,
        topics=topics(request, metals),
        rows=(*metals.rows, *(limit.row for limit in trade.values())),
        assumed=(
            *assumed(request, metals, hubs.said),
            *(() if outside is None else (chance.ASSUMED,)),
        ),
        unknown=unknown,
        interference_mm=main["interference_mm"],
        interference_cold_mm=joint.cold(),
        smoothing_mm=press.smoothing,
        pocket_factor=metal.factor,
        squeeze_bottom_mpa=_squeeze(main, metal, 0),
        squeeze_top_mpa=_squeeze(main, metal, 1),
        bridges=thin,
        insert_limit_kind=press.insert.limit,
        head_limit_kind=press.head.limit,
        insert_strength_mpa=press.insert.strength,
        head_strength_mpa=press.head.strength,
        grip_lost_c=lost["grip"].lost_c,
        grip_lost_after_set_c=lost["after_set"].lost_c if "after_set" in lost else None,
        running=states.states,
        deciding_state=deciding.state if deciding else None,
        deciding_margin_k=deciding.margin_k if deciding else None,
        cycle=cycled.states,
        outside_chance=outside,
        thin_metal=_thin(reader, request, press, hubs),
        remarks=(
            *bridges.remarks(request, press, metal, thin, trade),
            *remarks(request, press, main, lost, metals),
            *conical(main, metal),
            *running_remarks(deciding, cycled.states),
        ),
        **_fields(main, hubs.said),
    )


def _hubs(request: FitRequest) -> Hubs:
    outer, metal, bore = request.hub_outer, request.thinnest_metal, request.bore
    one_side = request.bridge is not None or request.edge is not None
    if one_side and (outer is not None or metal is not None):
        raise BadRequest(
            "bridge and edge are thin metal on one side of a ring in thick metal; hub_outer and "
            "thinnest_metal are metal all round.",
            hint="Accepted: bridge, edge or both; or one of hub_outer and thinnest_metal.",
            field="bridge" if request.bridge is not None else "edge",
        )
    if outer is not None and metal is not None:
        raise BadRequest(
            "hub_outer and thinnest_metal both say how much metal there is.",
            hint="Accepted: one of them.",
            field="thinnest_metal",
        )
    if outer is not None:
        if outer <= request.insert_diameter:
            raise BadRequest(
                f"the head metal's outside, {outer:g} mm, is not larger than the ring's, "
                f"{request.insert_diameter:g} mm.",
                hint="Accepted: hub_outer above insert_diameter.",
                field="hub_outer",
            )
        return Hubs(Hub(outer=outer), f"a ring of head metal, {outer:g} mm outside", None)
    if metal is not None:
        said = f"{metal:g} mm of metal all round, as at the thinnest place ({bore:g} mm bore)"
        return Hubs(Hub(metal=metal), said, None)
    if one_side:
        return Hubs(Hub(), "thick metal round the ring but for the thin metal told", None)
    return Hubs(Hub(), "thick metal all round", Hub(metal=THIN_MM))


def _press(reader: Reader, request: FitRequest, joint: Joint, metals: Pair) -> Press:
    rubs = rubbing(reader, metals.head_class, request.joining, request.surface)
    return Press(
        insert_diameter=joint.insert_diameter,
        bore=joint.bore,
        smoothing=smoothing(reader, request.insert_roughness, request.bore_roughness),
        insert_inner=joint.insert_inner,
        height=joint.height,
        insert=metals.insert.part(request.insert_temperature),
        head=metals.head.part(request.head_temperature),
        press_friction=rubs.press,
        hold_friction=rubs.hold,
    )


def _grip(
    metals: Pair, joint: Joint, press: Press, main: dict[str, Estimate]
) -> dict[str, grip.Grip]:
    """Where the fit lets go, and where it does once a yielded ring has taken its set."""
    end = min(metals.insert.material.curve().end_c, metals.head.material.curve().end_c)
    along = grip.path(metals.insert.strain, metals.head.strain, end)
    left = running.press_left(joint, press)
    sizes = (joint.insert_diameter.value, joint.bore.value)
    found = {"grip": grip.lost(along, left, *sizes)}
    if "grip_mm" in main:
        found["after_set"] = grip.lost(along, main["grip_mm"], *sizes)
    return found


def _fields(found: dict[str, Estimate], hub: str) -> dict[str, Any]:
    """The fields of `FitFigures`; those that need a strength nobody knows are None."""
    names = [name for name in FitFigures.model_fields if name != "hub"]
    return {"hub": hub} | {name: found.get(name) for name in names}


def _thin(reader: Reader, request: FitRequest, press: Press, hubs: Hubs) -> FitFigures | None:
    if hubs.thin is None:
        return None
    metal = around(reader, request, press, hubs.thin)
    said = f"{hubs.thin.metal:g} mm of metal all round"
    if metal.factor is None:
        said = f"{said}; {metal.why}"
    return FitFigures(**_fields(figures(press, metal.hub), said))


def _squeeze(main: dict[str, Estimate], metal: Around, end: int) -> Estimate | None:
    """The squeeze at the bottom (0) or top (1) of the ring's inside."""
    if metal.factor is None:
        return None
    return main["insert_hoop_bore_mpa"].scaled(metal.ends[end], "MPa")


def _undecided(deciding: RunningState | None) -> dict[str, str]:
    if deciding is None:
        return dict.fromkeys(("deciding_state", "deciding_margin_k"), "no running state is known")
    if deciding.margin_k is None:
        return {"deciding_margin_k": deciding.why}
    return {}


def _unknown(
    metals: Pair,
    main: dict[str, Estimate],
    lost: dict[str, grip.Grip],
    hubs: Hubs,
    metal: Around,
) -> dict[str, str]:
    """Why each field is None that is None."""
    unknown: dict[str, str] = {}
    if metal.factor is None:
        of_pocket = ("pocket_factor", "squeeze_bottom_mpa", "squeeze_top_mpa")
        unknown |= dict.fromkeys(of_pocket, metal.why)
    if "insert_yield_ratio" not in main:
        of_ring = (*OF_RING, "insert_strength_mpa")
        unknown |= dict.fromkeys(of_ring, metals.insert.no_strength)
    if "head_yield_ratio" not in main:
        of_head = (*OF_HEAD, "head_strength_mpa")
        unknown |= dict.fromkeys(of_head, metals.head.no_strength)
    if lost["grip"].lost_c is None:
        unknown["grip_lost_c"] = lost["grip"].text
    if "after_set" not in lost:
        unknown["grip_lost_after_set_c"] = metals.insert.no_strength
    elif lost["after_set"].lost_c is None:
        unknown["grip_lost_after_set_c"] = lost["after_set"].text
    if hubs.thin is None:
        unknown["thin_metal"] = "not asked for: the metal round the counterbore was given"
    return unknown
