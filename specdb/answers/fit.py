"""The question `fit`: pressure, stresses, force, hold, and where the fit lets go."""

from __future__ import annotations

from typing import Any, NamedTuple

from specdb.answers import (
    beside_range,
    bridges,
    chance,
    cycle,
    fit_verdict,
    grip,
    hot_states,
    running,
    standard_fits,
)
from specdb.answers.beside_range import Beside
from specdb.answers.evidence import conclude
from specdb.answers.fit_words import assumed, conical, remarks, running_remarks, topics
from specdb.answers.joint import Joint, joint_of
from specdb.answers.metals import Pair, pair
from specdb.answers.press import BOUNDS, OF_HEAD, OF_RING, Hub, Press, figures
from specdb.answers.rubbing import rubbing, smoothing
from specdb.answers.surroundings import Around, around
from specdb.errors import BadRequest
from specdb.estimate import Estimate, propagate
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


class Fitted(NamedTuple):
    """A fit worked out as far as its joint goes: the metals, the metal round it, the figures."""

    joint: Joint
    metals: Pair
    hubs: Hubs
    press: Press
    metal: Around
    main: dict[str, Estimate]
    lost: dict[str, grip.Grip]
    grip_rows: tuple[str, ...]
    """The expansions that say where it lets go, or that it holds as far as they go."""


class Run(NamedTuple):
    """The same fit in a running engine and through a hot cycle."""

    known: hot_states.Known
    states: running.States
    cycled: cycle.Cycle


def fit(reader: Reader, request: FitRequest) -> FitResult:
    """How a ring sits in its counterbore at the temperatures asked about.

    Raises `BadRequest` for sizes that cannot be, `UnknownName` for a metal nobody knows,
    `OutOfRange` for a temperature beyond a curve, `NotKnown` for counterbores that overlap.
    """
    fitted = _fitted(reader, request)
    run = _run(reader, request, fitted)
    beside = beside_range.beside(reader, request)
    outside, why_not = chance.outside(request, beside)
    unknown = _unknown(fitted, run, beside)
    if request.part == "valve-guide":
        unknown |= GUIDE
    if outside is None:
        unknown["outside_chance"] = why_not
    trade = bridges.trade(reader, request, fitted.metals.head_class)
    thin = bridges.figures(fitted.press, fitted.metal, fitted.main)
    return conclude(
        FitResult,
        reader,
        topics=topics(request, fitted.metals),
        rows=(
            *fitted.metals.rows,
            *fitted.grip_rows,
            *(limit.row for limit in trade.values()),
        ),
        assumed=(
            *assumed(request, fitted.metals, fitted.hubs.said),
            *(() if outside is None else (chance.ASSUMED,)),
        ),
        unknown=unknown,
        bridges=thin,
        outside_chance=outside,
        thin_metal=_thin(reader, request, fitted.press, fitted.hubs),
        remarks=(
            *bridges.remarks(request, fitted.press, fitted.metal, thin, trade),
            *remarks(request, fitted.press, fitted.main, fitted.lost, fitted.metals),
            *conical(fitted.main, fitted.metal),
            *running_remarks(run.states.deciding, run.cycled.states),
        ),
        **_verdict(reader, fitted, run, beside),
        **_of_joint(fitted),
        **_of_run(run),
        **_fields(fitted.main, fitted.hubs.said),
    )


def _fitted(reader: Reader, request: FitRequest) -> Fitted:
    joint = joint_of(request)
    hubs = _hubs(request)
    damaged = request.head_state not in (None, "sound")
    metals = pair(reader, request.head, request.insert, soft_head=damaged)
    press = _press(reader, request, joint, metals)
    metal = around(reader, request, press, hubs.main)
    main = figures(press, metal.hub)
    along = _along(metals)
    lost = _grip(along, joint, press, main)
    return Fitted(joint, metals, hubs, press, metal, main, lost, along.rows)


def _run(reader: Reader, request: FitRequest, fitted: Fitted) -> Run:
    """What rows say of a running engine; nothing where a guide is asked about."""
    metals, press, hub = fitted.metals, fitted.press, fitted.metal.hub
    guide = request.part == "valve-guide"
    known = NO_HEATS if guide else hot_states.known(reader, metals.head_class, request.position)
    states = running.states(metals, fitted.joint, press, hub, known)
    usual = cycle.within(hot_states.usual_cycle(known), metals)
    heats = cycle.told(request.cycle) if request.cycle else usual
    return Run(known, states, cycle.cycle(metals, press, hub, heats))


def _verdict(reader: Reader, fitted: Fitted, run: Run, beside: Beside) -> dict[str, Any]:
    """The lines at the top, and the range and the standard fits behind the first."""
    held, cold = beside.range, fitted.joint.cold()
    at = fitted.joint.insert_diameter.value
    return {
        "verdict": beside_range.verdict(beside, cold),
        "strength_verdict": fit_verdict.strength(fitted.press, fitted.main),
        "grip_verdict": fit_verdict.lets_go(fitted.lost["grip"], run.known),
        "deciding_verdict": fit_verdict.decides(run.states.deciding),
        "press_verdict": beside.place(cold.value),
        "recommended_mm": None if held is None else beside_range.recommended_mm(held),
        "standard_fits": ()
        if held is None
        else standard_fits.nearest(reader, at, held.minimum_mm, held.maximum_mm),
    }


def _of_joint(fitted: Fitted) -> dict[str, Any]:
    """The fields of the fit as it was asked about."""
    main, metal, press, lost = fitted.main, fitted.metal, fitted.press, fitted.lost
    return {
        "interference_mm": main["interference_mm"],
        "interference_cold_mm": fitted.joint.cold(),
        "smoothing_mm": press.smoothing,
        "pocket_factor": metal.factor,
        "squeeze_bottom_mpa": _squeeze(main, metal, 0),
        "squeeze_top_mpa": _squeeze(main, metal, 1),
        "insert_limit_kind": press.insert.limit,
        "head_limit_kind": press.head.limit,
        "insert_strength_mpa": press.insert.strength,
        "head_strength_mpa": press.head.strength,
        "grip_lost_c": lost["grip"].lost_c,
        "grip_lost_after_set_c": lost["after_set"].lost_c if "after_set" in lost else None,
    }


def _of_run(run: Run) -> dict[str, Any]:
    """The fields of the running engine."""
    deciding = run.states.deciding
    return {
        "running": run.states.states,
        "deciding_state": deciding.state if deciding else None,
        "deciding_margin_k": deciding.margin_k if deciding else None,
        "cycle": run.cycled.states,
    }


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


def _along(metals: Pair) -> grip.Path:
    """Both expansions, as far as the shorter curve goes."""
    end = min(metals.insert.material.curve().end_c, metals.head.material.curve().end_c)
    return grip.path(metals.insert.strain, metals.head.strain, end)


def _grip(
    along: grip.Path, joint: Joint, press: Press, main: dict[str, Estimate]
) -> dict[str, grip.Grip]:
    """Where the fit lets go, and where it does once a yielded ring has taken its set."""
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
    found = propagate(
        lambda squeeze, over: {"at": squeeze * over},
        units={"at": "MPa"},
        limits={"squeeze": main["insert_hoop_bore_mpa"]},
        spreads={"over": metal.ends[end]},
        bounds={"at": BOUNDS["insert_hoop_bore_mpa"]},
    )
    return found["at"]


def _undecided(deciding: RunningState | None) -> dict[str, str]:
    if deciding is None:
        return dict.fromkeys(
            ("deciding_state", "deciding_verdict", "deciding_margin_k"), "no running state is known"
        )
    if deciding.margin_k is None:
        return {"deciding_margin_k": deciding.why}
    return {}


def _unknown(fitted: Fitted, run: Run, beside: Beside) -> dict[str, str]:
    """Why each field is None that is None."""
    return {
        **_unknown_of_metals(fitted),
        **_unknown_of_grip(fitted),
        **run.states.unknown,
        **run.cycled.unknown,
        **_undecided(run.states.deciding),
        **(
            {}
            if beside.range
            else dict.fromkeys(("press_verdict", "recommended_mm"), beside.why_not)
        ),
    }


def _unknown_of_metals(fitted: Fitted) -> dict[str, str]:
    metals, main, metal = fitted.metals, fitted.main, fitted.metal
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
    if fitted.hubs.thin is None:
        unknown["thin_metal"] = "not asked for: the metal round the counterbore was given"
    return unknown


def _unknown_of_grip(fitted: Fitted) -> dict[str, str]:
    lost = fitted.lost
    unknown: dict[str, str] = {}
    if lost["grip"].lost_c is None:
        unknown["grip_lost_c"] = lost["grip"].text
    if "after_set" not in lost:
        unknown["grip_lost_after_set_c"] = fitted.metals.insert.no_strength
    elif lost["after_set"].lost_c is None:
        unknown["grip_lost_after_set_c"] = lost["after_set"].text
    return unknown
