"""Seats of a head that do not go like the others, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from specdb.answers import advice, bench
from specdb.answers.head_settings import Shared
from specdb.records.head import NO_HEAT, NO_SIZE, OTHER_HEAT, TOO_LOW, HeadHeat, SeatException
from specdb.records.seat import SeatPlan
from specdb.records.some import some

ALIKE_MM = 1.0
"""Bores further apart are of another kind of seat, and nobody expects one setting of both."""


class Alike(NamedTuple):
    """The same exception of some seats, named in words."""

    labels: str
    what: str
    why: str


def alike(found: Iterable[SeatException]) -> list[Alike]:
    """Each exception once with its seats, in the order of the first."""
    seats: dict[tuple[str, str], list[str]] = {}
    for each in found:
        seats.setdefault((each.what, each.why), []).append(each.label)
    return [Alike(some(labels), *why) for why, labels in seats.items()]


def of_plan(plan: SeatPlan, heat: HeadHeat | None) -> Iterator[SeatException]:
    """What the plan of one seat says against going with the others."""
    ring = plan.chosen
    if ring is None:
        why = plan.sizes.unknown.get("candidates", "see the near misses")
        yield SeatException(label=plan.label, what=NO_SIZE, why=why)
        return
    if ring.too_low:
        yield SeatException(label=plan.label, what=TOO_LOW, why=bench.too_low(plan.sizes, ring))
    yield from _unheated(plan, heat)


def _unheated(plan: SeatPlan, heat: HeadHeat | None) -> Iterator[SeatException]:
    """A ring that no heat and chill let in, or not those of the head."""
    pair = plan.shrink.chosen if plan.shrink else None
    if pair is None:
        why = plan.shrink.unknown["chosen"] if plan.shrink else plan.unknown["shrink"]
        yield SeatException(label=plan.label, what=NO_HEAT, why=why)
    elif heat is not None and pair.head_temperature_c != heat.head_temperature_c:
        alone = "; ".join(advice.of_pair(pair))
        yield SeatException(label=plan.label, what=OTHER_HEAT, why=f"by itself: {alone}")


def alone(shared: Sequence[Shared], within: float) -> Iterator[SeatException]:
    """Seats that have a setting for themselves though others are bored to nearly the same: on the
    same pilot, or but for their pilot."""
    for each in shared:
        yield from _pilot_apart(each, shared)
        others = [other for other in shared if other.pilot == each.pilot]
        if len(each.rings) == 1 and len(others) > 1:
            (label,) = each.rings
            near = min(
                (other for other in others if other is not each),
                key=lambda other: (abs(other.least - each.least), other.least),
            )
            if abs(near.least - each.least) > ALIKE_MM:
                continue
            why = (
                f"bored to {each.least:.3f} to {each.most:.3f} mm; the nearest other setting "
                f"is {near.least:.3f} to {near.most:.3f} mm, and no ring within "
                f"{within:.2f} mm brings them together"
            )
            yield SeatException(label=label, what="a setting of its own", why=why)


def _pilot_apart(each: Shared, shared: Sequence[Shared]) -> Iterator[SeatException]:
    """A seat alone on its pilot, bored to nearly what others are on theirs."""
    if len(each.rings) != 1 or any(other.pilot == each.pilot for other in _but(each, shared)):
        return
    near = min(
        _but(each, shared),
        key=lambda other: (abs(other.least - each.least), other.least),
        default=None,
    )
    if near is None or abs(near.least - each.least) > ALIKE_MM:
        return
    (label,) = each.rings
    why = (
        f"its pilot is {_pilot(each)}; the nearest other setting, {near.least:.3f} to "
        f"{near.most:.3f} mm, stands on {_pilot(near)}, and a setting is of one pilot"
    )
    yield SeatException(label=label, what="a setting of its own", why=why)


def _but(each: Shared, shared: Sequence[Shared]) -> list[Shared]:
    return [other for other in shared if other is not each]


def _pilot(each: Shared) -> str:
    return "not told" if each.pilot is None else f"{each.pilot:.2f} mm"
