"""What a fit's figures say, in words: what was assumed, what to look at, which cautions apply."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from specdb.answers.cycle import cost
from specdb.answers.grip import Grip
from specdb.answers.metals import Pair
from specdb.answers.press import Press
from specdb.answers.surroundings import Around
from specdb.estimate import Estimate
from specdb.records.fit import CycleState, FitRequest, RunningState

SOFT_HB = 70.0
"""Below this an alloy head is soft: common practice."""


def topics(request: FitRequest, metals: Pair) -> set[str]:
    """The caution topics of this fit."""
    found = {"fit", "press"} if request.joining == "pressed" else {"fit"}
    if request.part == "valve-guide":
        found = {"guide"}
    if metals.ring.copper_coloured:
        found.add("copper-ring")
    if metals.ring.brittle:
        found.add("brittle-ring")
    if _damaged(request) or _soft(request, metals):
        found.add("welded-head")
    return found


def _damaged(request: FitRequest) -> bool:
    return request.head_state not in (None, "sound")


def _soft(request: FitRequest, metals: Pair) -> bool:
    hardness = request.hardness_hb
    return metals.head_class == "aluminium" and hardness is not None and hardness < SOFT_HB


def assumed(request: FitRequest, metals: Pair, hub: str) -> tuple[str, ...]:
    """What was taken for granted because nobody said otherwise."""
    found = [f"head metal: {hub}"]
    if request.part != "valve-guide" and request.metal_below is None:
        found.append(
            "metal below the ring five times its height (metal_below not told); the low ends of "
            "the figures reach down to one height"
        )
    if request.bridge is not None:
        found.append("the next counterbore is as large and holds a like ring, fitted alike")
    if request.thinnest_metal is not None:
        found.append(
            "a hub as thin all round as at its thinnest place: where it is thin on one side only, "
            "the ring is held better, and the metal there stretched more, than this says"
        )
    if request.insert_roughness is None and request.bore_roughness is None:
        found.append("roughness not given: no press taken off for smoothing")
    if request.joining == "pressed":
        found.append(f"pressed in cold, {request.surface}; friction is that of steel rings")
    else:
        found.append(f"shrunk in, {request.surface}; friction is that of steel rings")
    if request.insert_tolerance is None and request.bore_tolerance is None:
        found.append("both diameters exact as given")
    return (*found, *metals.head.assumed, *metals.insert.assumed)


def remarks(
    request: FitRequest,
    press: Press,
    main: Mapping[str, Estimate],
    lost: Mapping[str, Grip],
    metals: Pair,
) -> tuple[str, ...]:
    """The answer in words, the worst first."""
    return (
        *_head_state(request, metals),
        *_grips(main),
        *_ring(press, main),
        *_head(press, main),
        lost["grip"].text,
        *_after_set(main, lost),
    )


def _grips(main: Mapping[str, Estimate]) -> Iterator[str]:
    left = main["interference_mm"]
    if left.value <= 0:
        yield f"no press left at these temperatures: {-left.value:.3f} mm of clearance"
    elif left.low <= 0:
        yield "at the loose end of the tolerances no press is left at these temperatures"


def _ring(press: Press, main: Mapping[str, Estimate]) -> Iterator[str]:
    ratio = main.get("insert_yield_ratio")
    if ratio is None:
        yield "ring strength not known: nothing is said about the ring yielding"
    elif press.insert.limit == "cracks" and ratio.value > 1:
        yield "a brittle ring past its strength in squeeze: it may crack or crush at its inside"
    elif _all_yields(main):
        yield (
            f"the whole wall of the ring yields: the pressure stays at what it can carry and more "
            f"press buys nothing{_lost(main)}"
        )
    elif ratio.value > 1:
        yield (
            f"this ring yields at the inside from {main['insert_yield_press_mm'].value:.3f} mm of "
            f"press: more press buys next to nothing{_lost(main)}"
        )
    elif ratio.high > 1:
        yield "the ring may begin to yield at its inside"
    if press.insert.limit == "cracks" and ratio is None:
        yield "a brittle ring: squeeze alone has no tension to crack it, but driven askew it may"


CONE = 0.05
"""Difference of the squeeze at bottom and top, over that half-way, from which it is said."""


def conical(main: Mapping[str, Estimate], metal: Around) -> Iterator[str]:
    """That the ring does not close evenly."""
    ends = [end.value for end in metal.ends]
    bottom, top = (main["insert_hoop_bore_mpa"].value * end for end in ends)
    if abs(bottom - top) < CONE * abs(main["insert_hoop_bore_mpa"].value) or not bottom:
        return
    where = "bottom" if abs(bottom) > abs(top) else "top"
    yield (
        f"the ring closes conically, more at its {where} (squeezed {-bottom:.0f} MPa at the bottom "
        f"of its inside, {-top:.0f} at the top): cut the seat once the ring is in"
    )
    ratio = main.get("insert_yield_ratio")
    worst = max(ends)
    if ratio is not None and ratio.value <= 1.0 < ratio.value * worst:
        most = ratio.value * worst
        yield f"at its {where} edge the ring yields first: {most:.2f} times its strength"


def _lost(main: Mapping[str, Estimate]) -> str:
    """What is gone of the press, where a micrometer would show it."""
    lost = main["insert_set_mm"].value
    return f"; {lost:.3f} mm of it is lost for good" if lost >= 0.0005 else ""


def _all_yields(main: Mapping[str, Estimate]) -> bool:
    return main["pressure_mpa"].value >= main["pressure_ceiling_mpa"].value * 0.9999


def _head(press: Press, main: Mapping[str, Estimate]) -> Iterator[str]:
    ratio = main.get("head_yield_ratio")
    if ratio is None or ratio.high <= 1:
        return
    sure = ratio.value > 1
    if press.head.limit == "cracks":
        yield (
            "the head may crack at the counterbore"
            if sure
            else ("at the tight end the head may crack at the counterbore")
        )
    else:
        yield (
            "the head yields at the counterbore"
            if sure
            else ("at the tight end the head may yield at the counterbore")
        )


def running_remarks(
    deciding: RunningState | None, states: tuple[CycleState, ...]
) -> tuple[str, ...]:
    """The state that decides, and what a hot cycle costs."""
    found = []
    if deciding is not None:
        left = deciding.interference_mm
        held = f"{left.value:.3f} mm of press left" if left.value > 0 else "no press left"
        margin = deciding.margin_k
        spare = f", {margin.value:.0f} K to letting go" if margin and margin.value > 0 else ""
        found.append(f"what decides: {deciding.state}: {held}{spare}")
    lost = cost(states)
    return (*found, *((lost,) if lost else ()))


def _head_state(request: FitRequest, metals: Pair) -> Iterator[str]:
    if _damaged(request):
        yield (
            f"{request.head_state} head: strength of the metal not known, more press is no cure; "
            "ask for the hardness beside the seat"
        )
    if _soft(request, metals):
        yield f"{request.hardness_hb:g} HB beside the seat is soft (under {SOFT_HB:g})"


def _after_set(main: Mapping[str, Estimate], lost: Mapping[str, Grip]) -> Iterator[str]:
    if main.get("insert_set_mm") and main["insert_set_mm"].value > 0:
        yield f"once the ring has yielded: {lost['after_set'].text}"
