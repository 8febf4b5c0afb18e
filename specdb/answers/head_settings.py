"""From the rings each seat could take to the settings that serve most with least."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specdb.answers import boring, settings
from specdb.answers.head_rings import Key, Supply, key_of
from specdb.answers.seat import Settled
from specdb.answers.windows import FLOAT_MM
from specdb.physics import geometry
from specdb.records.head import Method, Setting
from specdb.records.sizes import GENERIC, Candidate

STEP = geometry.BORE_STEP_MM


@dataclass(frozen=True, slots=True)
class Choice:
    """A ring a seat could be bored for: outside and wall, its bore's limits in mm, and the
    positions (steps of `STEP`) a setting may aim at so that the limits can be hit; the shelf it is
    from, its size, and how many of it there are where the shelf says."""

    outer: float
    wall: float
    least: float
    most: float
    span: settings.Span
    key: Key
    left: int | None

    @property
    def own(self) -> bool:
        """Whether it is on the shop's own shelf."""
        return self.key[0] != GENERIC


@dataclass(frozen=True, slots=True)
class Bored:
    """A seat to be bored, with the choices it has, least metal first, the shop's own rings that
    may take the place of a choice near to them, and the hole there is, mm."""

    label: str
    pilot: float | None
    choices: tuple[Choice, ...]
    shelf: tuple[Choice, ...]
    hole: float


@dataclass(frozen=True, slots=True)
class Shared:
    """One setting: the limits all its seats have in common and the largest hole, mm, and each
    seat's ring."""

    pilot: float | None
    least: float
    most: float
    rings: dict[str, Choice]
    hole: float


@dataclass(frozen=True, slots=True)
class Rule:
    """When a ring of the shelf is as good as another, by the trade: no more than `within` mm apart
    on diameter, and no thinner, or no thinner than `wall` of its outside."""

    within: float
    wall: float

    def alike(self, own: Choice, other: Choice) -> bool:
        """Whether `own` may take the place of `other`."""
        near = abs(own.outer - other.outer) <= self.within + FLOAT_MM
        return near and own.wall >= min(other.wall, self.wall * own.outer) - FLOAT_MM


def choices(found: Sequence[Candidate], error: float, within: float) -> tuple[Choice, ...]:
    """The rings a seat may be bored for: those no more than `within` mm from the best in size and
    in metal taken, one for each outside, best first. None for a seat that goes as found. The shop's
    own shelf comes before a common size: where the best is preferred for being on it, only rings
    that are too are choices."""
    best = found[0]
    shelf = best.preferred == "shelf"
    made: dict[float, Choice] = {}
    for each in _near(found, within):
        if shelf and each.preferred != best.preferred:
            continue
        choice = _choice(each, error)
        if choice is not None:
            made.setdefault(each.outer_mm, choice)
    return tuple(made.values())


def on_shelf(found: Sequence[Candidate], error: float, within: float) -> tuple[Choice, ...]:
    """The shop's own rings up to as far from the best as a ring near to a choice can be, best
    first."""
    made: dict[Key, Choice] = {}
    for each in _near(found, 2 * within):
        if each.origin != GENERIC and (choice := _choice(each, error)) is not None:
            made.setdefault(choice.key, choice)
    return tuple(made.values())


def _near(found: Sequence[Candidate], within: float) -> Iterator[Candidate]:
    """Those to be bored for that are no more than `within` mm from the best in size and in metal
    taken; none too low for the counterbore where the best is not."""
    best = found[0]
    for each in found:
        near = abs(each.outer_mm - best.outer_mm) <= within + FLOAT_MM
        costs = each.clean_up_mm > best.clean_up_mm + within + FLOAT_MM
        if near and not costs and not each.as_found and each.too_low is best.too_low:
            yield each


def _choice(ring: Candidate, error: float) -> Choice | None:
    """A ring as a choice; None where no whole step lies inside its limits."""
    if ring.cut_min_mm is None or ring.cut_max_mm is None:
        return None
    limits = geometry.inward(ring.cut_min_mm, ring.cut_max_mm, STEP)
    if limits is None:
        return None
    low, high = (round(end / STEP) for end in limits)
    # an aim nearer to a limit than the reading error could not be told from a miss
    room = min(math.ceil(error / STEP - 1e-9), (high - low) // 2)
    return Choice(
        ring.outer_mm,
        ring.ring_wall_mm,
        *limits,
        (low + room, high - room),
        key_of(ring),
        ring.left if ring.origin != GENERIC else None,
    )


def settle(seats: Sequence[Bored], rule: Rule, supply: Supply) -> tuple[list[Shared], Method, str]:
    """The fewest settings for the seats, how they were found, and why that is so.

    Seats on pilots of different diameter never share a setting. At its setting a seat takes a ring
    of the shelf before a generic one alike (`rule`), as long as there are any (`supply`).
    """
    by_pilot: dict[float | None, list[Bored]] = defaultdict(list)
    for seat in sorted(seats, key=lambda each: each.label):
        by_pilot[seat.pilot].append(seat)
    shared: list[Shared] = []
    proven = True
    for pilot in sorted(by_pilot, key=lambda each: (each is not None, each or 0.0)):
        members = by_pilot[pilot]
        groups, exact = settings.fewest([[c.span for c in each.choices] for each in members])
        proven = proven and exact
        for group in groups:
            seated = [members[at] for at in group.members]
            taken = _from_shelf(seated, _taken(group, seated), rule, supply)
            shared.append(_shared(pilot, seated, taken))
    if not seats:
        return [], "none", "nothing is bored"
    return shared, "exact" if proven else "greedy", EXACT if proven else GREEDY


EXACT = (
    "no fewer settings serve: the bores each seat's rings allow are one unbroken span, and each "
    "setting was put where the first of those left over ends"
)
GREEDY = (
    "fewer settings may serve: some seat's rings leave gaps between the bores they allow, so each "
    "setting was put where it serves most of the seats left"
)


def _shared(pilot: float | None, members: list[Bored], taken: list[Choice]) -> Shared:
    """One setting: the limits all its seats' rings have in common."""
    least = max(choice.least for choice in taken)
    most = min(choice.most for choice in taken)
    rings = {seat.label: choice for seat, choice in zip(members, taken, strict=True)}
    return Shared(pilot, least, most, rings, max(each.hole for each in members))


def _taken(group: settings.Group, members: list[Bored]) -> list[Choice]:
    """The ring of each seat: one size for all where that can be, else the one that takes the least
    metal at the group's position."""
    return _one_size(members) or [_at(each, group.position) for each in members]


def _from_shelf(
    members: list[Bored], taken: list[Choice], rule: Rule, supply: Supply
) -> list[Choice]:
    """The same, with a ring of the shelf in place of one alike that is generic, or of which none is
    left, wherever one position still serves all of the setting's seats."""
    for at, seat in enumerate(members):
        if not (taken[at].own and supply.has(taken[at].key, taken[at].left)):
            for own in seat.shelf:
                if not (rule.alike(own, taken[at]) and supply.has(own.key, own.left)):
                    continue
                swapped = [*taken[:at], own, *taken[at + 1 :]]
                if _one_position(swapped):
                    taken = swapped
                    break
        if taken[at].own:
            supply.take(taken[at].key)
    return taken


def _one_position(taken: Sequence[Choice]) -> bool:
    return max(each.span[0] for each in taken) <= min(each.span[1] for each in taken)


def _one_size(members: list[Bored]) -> list[Choice] | None:
    """The smallest outside that all members can take at one position."""
    count = Counter(choice.outer for each in members for choice in each.choices)
    for outer in sorted(size for size, seats in count.items() if seats == len(members)):
        taken = [next(c for c in each.choices if c.outer == outer) for each in members]
        if _one_position(taken):
            return taken
    return None


def _at(seat: Bored, position: int) -> Choice:
    return next(c for c in seat.choices if c.span[0] <= position <= c.span[1])


def elsewhere(seat: Bored, shared: Sequence[Shared], supply: Supply) -> tuple[Key, str] | None:
    """A ring of the shelf, not spoken for, that would serve a seat at a setting as it stands, and
    which setting."""
    for own in seat.shelf:
        if not supply.has(own.key, own.left):
            continue
        low, high = (end * STEP for end in own.span)
        for number, each in enumerate(shared, start=1):
            bore = boring.middle(each.least, each.most)
            if each.pilot == seat.pilot and low - FLOAT_MM <= bore <= high + FLOAT_MM:
                return own.key, f"at setting {number}"
    return None


def decisions(shared: Sequence[Shared]) -> Iterator[tuple[str, Settled]]:
    """What each seat is told: its ring and the limits it shares."""
    for each in shared:
        for label, ring in each.rings.items():
            yield label, Settled((*ring.key, ring.outer), each.least, each.most, each.hole)


def record(shared: Shared, rings: dict[str, str], trial: boring.Trial) -> Setting:
    """A setting as it is read at the machine."""
    bore = boring.middle(shared.least, shared.most)
    first = trial.first_bore(bore, shared.hole)
    return Setting(
        bore_mm=bore,
        bore_least_mm=shared.least,
        bore_most_mm=shared.most,
        pilot_mm=shared.pilot,
        tip_over_pilot_mm=boring.tip(shared.pilot, bore),
        first_tip_over_pilot_mm=None if first is None else boring.tip(shared.pilot, first),
        first_bore_mm=first,
        rings={label: rings[label] for label in shared.rings if label in rings},
        labels=tuple(shared.rings),
    )


def untried(shared: Sequence[Shared], trial: boring.Trial) -> dict[int, str]:
    """The settings, by their number from 1, that no first cut is taken for, and why."""
    found = {}
    for number, each in enumerate(shared, start=1):
        bore = boring.middle(each.least, each.most)
        if trial.first_bore(bore, each.hole) is None:
            found[number] = boring.no_first_cut(bore, each.hole, shared=len(each.rings) > 1)
    return found
