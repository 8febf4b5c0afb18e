"""One heat for a head: every ring goes in at one go, with the casting at one temperature.

Each seat says at which heating steps a ring goes in and with what chill. Between the steps the same
is weighed as between the pairs of one seat (`steps.mildness`): as few seats as can be that are left
out, then as few as can be with nitrogen, with dry ice in alcohol, with dry ice, then the least
heat. So a warmer head comes before dry ice, and dry ice before nitrogen, for a head as for a seat.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from specdb.answers.entries import Tried
from specdb.answers.steps import RANKS
from specdb.records.head import HeadHeat
from specdb.records.some import some


class Way(NamedTuple):
    """The mildest chill a ring goes in with at one heat of the head; degC."""

    heat_c: float
    heat: str
    ring_c: float
    chill: str

    @property
    def rank(self) -> int:
        """Hazard of the chill, by `steps.RANKS`."""
        return RANKS.get(self.chill, 0)


Ways = tuple[Way, ...]
"""One for each heat that serves a seat, the mildest pair of all first."""


class Warmed(NamedTuple):
    """A seat, and the heats that serve it: none where no pair does."""

    label: str
    ways: Ways


def ways_of(tried: Iterable[Tried]) -> Ways:
    """The heats that serve a seat, from its pairs, mildest first."""
    found: dict[float, Way] = {}
    for each in tried:
        if each.allowed:
            heat, chill = each.head.step, each.ring.step
            found.setdefault(heat.at, Way(heat.at, heat.key, chill.at, chill.key))
    return tuple(found.values())


def with_milder(limits: Ways, measured: Ways) -> Ways:
    """At each heat the way with the milder chill: for any ring and bore inside their limits, or for
    a bore made to the measured ring."""
    found: dict[float, Way] = {}
    for way in (*limits, *measured):
        if way.heat_c not in found or way.rank < found[way.heat_c].rank:
            found[way.heat_c] = way
    return tuple(sorted(found.values(), key=lambda way: (way.rank, way.heat_c)))


def settle(seats: Sequence[Warmed]) -> HeadHeat | None:
    """The heat of the head, or None where no ring goes in with any."""
    going = [each for each in seats if each.ways]
    heats = sorted({way.heat_c for each in going for way in each.ways})
    if not heats:
        return None
    chosen = min(heats, key=lambda heat_c: _cost(going, heat_c))
    at = {each.label: _at(each, chosen) for each in going}
    served = {label: way for label, way in at.items() if way is not None}
    milder = [heat_c for heat_c in heats if heat_c < chosen]
    decided = [each.label for each in going if milder and _worse(each, milder[-1], chosen)]
    looser = [each.label for each in going if each.label in served and each.ways[0].heat_c < chosen]
    chills: dict[str, list[str]] = {}
    for label, way in sorted(served.items(), key=lambda each: _gravity(each[1])):
        chills.setdefault(way.chill, []).append(label)
    left_out = tuple(label for label, way in at.items() if way is None)
    return HeadHeat(
        head_temperature_c=chosen,
        heat=next(way.heat for way in served.values()),
        chills={chill: tuple(labels) for chill, labels in chills.items()},
        chills_c={way.chill: way.ring_c for way in served.values()},
        decided_by=tuple(decided),
        looser=tuple(looser),
        not_served=left_out,
        why=_why(chosen, milder, decided, looser, left_out),
    )


def _cost(seats: Sequence[Warmed], heat_c: float) -> tuple[float, ...]:
    """What a heat costs, the gravest first: seats left out, seats with each hazard, the heat."""
    ways = [_at(each, heat_c) for each in seats]
    ranks = [way.rank for way in ways if way is not None]
    hazards = (ranks.count(rank) for rank in sorted(set(RANKS.values()), reverse=True))
    return (len(ways) - len(ranks), *hazards, heat_c)


def _at(seat: Warmed, heat_c: float) -> Way | None:
    return next((way for way in seat.ways if way.heat_c == heat_c), None)


def _worse(seat: Warmed, milder_c: float, chosen_c: float) -> bool:
    """Whether a seat loses at the next milder heat: left out there, or with a graver chill."""
    milder, chosen = _at(seat, milder_c), _at(seat, chosen_c)
    if chosen is None:
        return False
    return milder is None or milder.rank > chosen.rank


def _gravity(way: Way) -> tuple[int, float, str]:
    """What a chill can do to people, then how deep it is; seats with the same keep their order."""
    return way.rank, -way.ring_c, way.chill


def _why(
    heat_c: float,
    milder: Sequence[float],
    decided: Sequence[str],
    looser: Sequence[str],
    left_out: Sequence[str],
) -> str:
    but = f" but {some(left_out)}, which this heat does not serve" if left_out else " together"
    if not milder:
        alone = f" for all{but}" if left_out else " there is"
        return f"the head at {heat_c:g} degC is the mildest step{alone}"
    said = (
        f"the head at {heat_c:g} degC is the mildest step for all of them{but}: at "
        f"{milder[-1]:g} degC {some(decided)} would not go in, or only with a graver chill"
    )
    if looser:
        said += f"; alone, {some(looser)} would need less heat and {_go(looser)} in the looser"
    return said


def _go(labels: Sequence[str]) -> str:
    return "goes" if len(labels) == 1 else "go"
