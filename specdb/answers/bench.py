"""The plan as it is read at the machine: a few lines, rounded for people, and what to look at
first.

Temperatures to 5 degC, bores to 0.005 mm (0.0002 in) inward, settings to 0.01 mm, seconds down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from specdb.answers import advice
from specdb.answers.boring import inches, ring_minus
from specdb.answers.near_misses import NONE_LEFT
from specdb.answers.steps import RANKS
from specdb.physics import geometry
from specdb.records import figures
from specdb.records.cut import CutResult
from specdb.records.fit import FitResult
from specdb.records.removal import RemovalResult
from specdb.records.seat import BenchLine, BoringSetting, SeatReadings, ToMeasuredRing
from specdb.records.shrink import ShrinkPair, ShrinkResult
from specdb.records.sizes import GENERIC, Candidate, SizesResult
from specdb.units.words import INCH

ON_SHELF = "on your shelf"
"""The line that names a ring of the shop's own where a generic one takes less metal."""


def lines(
    request: SeatReadings,
    found: SizesResult,
    chosen: Candidate | None,
    bored: tuple[BoringSetting | None, str],
    to_ring: ToMeasuredRing | None,
) -> Iterator[BenchLine]:
    """The one screen a machinist works from, in the order of the work, up to the press. `bored`:
    how the tool is set, and why no first cut is taken, where none is."""
    if chosen is None:
        yield BenchLine(what="ring", text="no size serves; see the near misses")
        return
    if chosen.too_low:
        yield BenchLine(what="first", text=too_low(found, chosen))
    yield BenchLine(what="ring", text=_ring(request, chosen))
    if found.on_shelf is not None and chosen.origin == GENERIC:
        yield BenchLine(what=ON_SHELF, text=_on_shelf(found.on_shelf, chosen))
    for what, text in _bore(chosen, bored, to_ring):
        yield BenchLine(what=what, text=text)
    yield BenchLine(what="press", text=_press(chosen))


def too_low(found: SizesResult, chosen: Candidate) -> str:
    """That no ring fills the counterbore, and which height would."""
    deep = chosen.height_mm + (chosen.below_deck_mm or 0.0)
    least = math.ceil((deep - (found.setback_mm or 0.0)) * 100 - 1e-6) / 100
    return (
        f"no ring listed is high enough: the counterbore is {deep:.2f} mm deep; order one "
        f"{least:.2f} mm ({least / INCH:.4f} in) high or more"
    )


def _on_shelf(own: Candidate, chosen: Candidate) -> str:
    """A ring of the shop's own that serves too, and what it costs in metal."""
    sizes = " x ".join(f"{size:.2f}" for size in (own.outer_mm, own.inner_mm, own.height_mm))
    more = own.clean_up_mm - chosen.clean_up_mm
    said = f"{own.size} {sizes} of the list {own.origin}"
    said += ", as found" if own.as_found else f", bore to {own.bore_target_mm:.2f}"
    if own.left is not None:
        said += f", {own.left} there"
    return said if more < METAL_MM else f"{said} ({more:.2f} mm more metal)"


METAL_MM = 0.005
"""Metal too little to be told."""


def heat(
    shrink: ShrinkResult | None, to_ring: ToMeasuredRing | None, any_ring: ShrinkPair | None
) -> Iterator[BenchLine]:
    """Heat and chill; `any_ring` is what serves where the bore is not made to the ring."""
    if shrink is None:
        return
    for what, text in _heat(shrink, to_ring):
        yield BenchLine(what=what, text=text)
    if to_ring is not None:
        text = "no pair of heat and chill serves any ring and bore inside their limits"
        if any_ring is not None:
            text = "; ".join(advice.of_pair(any_ring)) + _dangers(any_ring)
        yield BenchLine(what="not measured", text=text)


def grip(fit: FitResult | None) -> Iterator[BenchLine]:
    """Where it lets go."""
    if fit is not None:
        yield BenchLine(what="lets go", text=_lets_go(fit))


def out(removal: RemovalResult | None) -> Iterator[BenchLine]:
    """How the old ring comes out, before anything else."""
    if removal is None:
        return
    if removal.tip_over_pilot_mm is None:
        yield BenchLine(what="old ring", text=removal.why)
        return
    tip = geometry.to_setting(removal.tip_over_pilot_mm)
    yield BenchLine(
        what="old ring",
        text=f"bore to {removal.cutter_diameter_mm:.2f} mm, tip over pilot {tip:.2f} mm "
        f"({tip / INCH:.4f} in); wall {removal.wall_min_mm:.2f} to {removal.wall_max_mm:.2f} mm, "
        f"comes away: {removal.comes_away}",
    )
    stop = removal.depth_stop_mm
    if stop is not None:
        yield BenchLine(
            what="depth stop", text=f"{stop.low:.2f} to {stop.high:.2f} mm; lock it before cutting"
        )


def faces(cut: CutResult | None) -> Iterator[BenchLine]:
    """How the seat is cut, once the ring is in."""
    if cut is None:
        return
    yield BenchLine(
        what="seat",
        text=f"{cut.top_angle_deg:g} / {cut.seat_angle_deg:g} / {cut.throat_angle_deg:g} degrees; "
        f"outside {cut.seat_outer_mm:.2f}, inside {cut.seat_inner_mm:.2f} mm, "
        f"{cut.seat_width_mm:.2f} mm wide along the face",
    )
    feeds = ", ".join(f"{crossing} {feed:.3f} mm" for crossing, feed in cut.feed_per_mm.items())
    yield BenchLine(what="feed", text=f"for 1 mm of diameter: {feeds}")
    if cut.seat_outer_below_deck_mm is not None:
        yield BenchLine(
            what="seat height",
            text=f"outer edge {cut.seat_outer_below_deck_mm:.2f} mm below the deck",
        )


def geometry_problems(
    request: SeatReadings, removal: RemovalResult | None, cut: CutResult | None, no_cut: str
) -> Iterator[str]:
    """What removal and cut have against the plan; `no_cut` is why there is no cut."""
    if no_cut and not no_cut.endswith("not told"):
        yield f"Seat: {no_cut.splitlines()[0]}"
    if removal is not None and not removal.safe:
        yield f"Old ring: {removal.why}."
    if cut is not None and cut.insert_carries is False:
        yield f"Seat: {cut.why}{rests_on(request)}."
    if cut is not None and cut.metal_below_seat_mm is not None:
        yield from (text for text in cut.remarks if text.startswith("Only "))


def rests_on(request: SeatReadings) -> str:
    """What the place of a seat in its ring is only assumed by, and what to give instead."""
    missing = [name for name in ("margin", "recess") if getattr(request, name) is None]
    if not missing:
        return ""
    words = {"margin": "a rim of the least thickness", "recess": "a valve flush with the deck"}
    taken = " and ".join(words[name] for name in missing)
    return f". That rests on {taken}: give {' and '.join(missing)}"


def origin(ring: Candidate) -> str:
    """Where a ring is had: a part of a list, or a size to be ordered or made."""
    if ring.origin == GENERIC:
        return GENERIC_SIZE
    return f"part {ring.size} of the list {ring.origin}"


GENERIC_SIZE = "generic size (order or make)"


def _ring(request: SeatReadings, chosen: Candidate) -> str:
    sizes = (chosen.outer_mm, chosen.inner_mm, chosen.height_mm)
    metric = " x ".join(f"{size:.2f}" for size in sizes)
    inch = " x ".join(f"{size / INCH:.4f}" for size in sizes)
    return (
        f"{metric} mm outside, inside, height ({inch} in), {request.insert}, "
        f"{origin(chosen)}. Measure this ring: ____"
    )


def _bore(
    chosen: Candidate, bored: tuple[BoringSetting | None, str], to_ring: ToMeasuredRing | None
) -> Iterator[tuple[str, str]]:
    boring, no_first = bored
    if boring is None:
        yield "bore", "as found; cut nothing"
        return
    least, most = boring.bore_least_mm, boring.bore_most_mm
    inch = inches(least, most)
    yield (
        "bore to",
        f"{boring.bore_mm:.3f} mm, {least:.3f} to {most:.3f} mm "
        f"({inch[0]:.4f} to {inch[1]:.4f} in)",
    )
    middle = ring_minus(chosen)
    if to_ring is None:
        yield "or", f"measured ring minus {middle:.3f} mm ({_thou(middle)} thou)"
    else:
        yield (
            "better",
            f"measured ring minus {middle:.3f} mm, {to_ring.press_least_mm:.3f} to "
            f"{to_ring.press_greatest_mm:.3f} ({_thou(to_ring.press_least_mm)} to "
            f"{_thou(to_ring.press_greatest_mm)} thou): it spares a graver chill",
        )
    if boring.tip_over_pilot_mm is not None:
        first = boring.first_tip_over_pilot_mm
        yield (
            "tip over pilot",
            f"{boring.tip_over_pilot_mm:.2f} mm ({boring.tip_over_pilot_mm / INCH:.4f} in) on a "
            f"{boring.pilot_mm:.2f} pilot; "
            + (no_first if first is None else f"first cut at {first:.2f} mm, {CORRECT}"),
        )
    if boring.depth_mm is not None:
        yield "depth", f"{figures.hundredths(boring.depth_mm)} mm ({boring.depth_mm / INCH:.4f} in)"


CORRECT = "measure, correct by half of what is missing"


def _press(chosen: Candidate) -> str:
    low, high = chosen.press_least_mm, chosen.press_greatest_mm
    band = f"{low:.3f} to {high:.3f} mm ({_thou(low)} to {_thou(high)} thou)"
    wanted = f"{chosen.interference_min_mm:.3f} to {chosen.interference_max_mm:.3f} wanted"
    if chosen.as_found:
        return f"{band}; {wanted}"
    return f"{band} for any ring and bore inside their limits; {wanted}: bore to the measured ring"


def _heat(shrink: ShrinkResult, to_ring: ToMeasuredRing | None) -> Iterator[tuple[str, str]]:
    if shrink.chosen is None:
        yield "heat and chill", "no pair of heat and chill serves within the limits; see why below"
        return
    only = ", bored to the measured ring" if to_ring is not None else ""
    first, *others = advice.of_pair(shrink.chosen)
    yield "heat and chill", "; ".join((first + only, *others))
    if shrink.drop_in is not None and shrink.drop_in != shrink.chosen:
        graver = RANKS.get(shrink.drop_in.chill, 0) > RANKS.get(shrink.chosen.chill, 0)
        said = "; ".join(advice.of_pair(shrink.drop_in))
        yield "or drop in", said + (_dangers(shrink.drop_in) if graver else "")


def _dangers(pair: ShrinkPair) -> str:
    return f"; first read the dangers of {pair.chill}" if RANKS.get(pair.chill, 0) else ""


def _lets_go(fit: FitResult) -> str:
    if fit.grip_lost_c is None:
        return fit.unknown.get("grip_lost_c", "not known")
    at = fit.grip_lost_c
    least = geometry.to_temperature(at.low)
    return f"head and ring both at {geometry.to_temperature(at.value):.0f} degC (from {least:.0f})"


def _thou(length_mm: float) -> str:
    return f"{length_mm / INCH * 1000:.1f}"


def problems(
    request: SeatReadings,
    found: SizesResult,
    chosen: Candidate | None,
    fit: FitResult | None,
    shrink: ShrinkResult | None,
) -> tuple[str, ...]:
    """What to look at before cutting."""
    said = []
    if chosen is not None and chosen.too_low:
        text = too_low(found, chosen)
        said.append(f"{text[0].upper()}{text[1:]}.")
    if len(request.bore) + len(request.bore_bottom) < MANY:
        said.append("One reading: measure at least two ways, top and bottom.")
    said += found.remarks
    if not found.as_found:
        said += [f"Not as found: {why}" for why in found.as_found_why]
    said += _gone(request, found, chosen)
    if not found.candidates:
        said.append("No size serves.")
    if fit is not None:
        said += fit.remarks
    if shrink is not None:
        said += shrink.warnings
    if shrink is not None and shrink.chosen is None and found.candidates:
        said.append("No pair of heat and chill serves within the limits.")
    return tuple(dict.fromkeys(said))


def _gone(request: SeatReadings, found: SizesResult, chosen: Candidate | None) -> Iterator[str]:
    """The shop's own rings that would serve where none of them does, and of which none is left;
    none that does not fill the counterbore."""
    if chosen is not None and chosen.origin != GENERIC:
        return
    least = (request.depth or 0.0) - (found.setback_mm or 0.0)
    for each in found.rejected:
        if each.reason == NONE_LEFT and each.height_mm >= least:
            yield f"Your {each.size} of the list {each.origin} would serve; none is left: reorder."


MANY = 2
"""Readings of a counterbore below which nothing is known of its shape."""


def other_heat(shrink: ShrinkResult | None, head_heat_c: float | None) -> Iterator[str]:
    """A ring that does not go in at the heat of the head it belongs to."""
    chosen = shrink.chosen if shrink else None
    if chosen is not None and head_heat_c not in (None, chosen.head_temperature_c):
        alone = "; ".join(advice.of_pair(chosen))
        yield (
            f"Not with the others: with the head at {head_heat_c:g} degC this ring does not go in. "
            f"By itself: {alone}."
        )
