"""The fewest settings of a boring tool that serve a set of seats.

Whole numbers only: a position is a bore in steps of 0.005 mm. A seat may be bored to any position
of one of its choices (rings); a setting is one position.

exact     every seat's positions, over all its choices, are one unbroken span. Fewest points
          stabbing spans: take the span that ends first, set there, drop what is served, go on.
greedy    some seat has gaps between its choices (hitting sets, for which nobody knows a quick exact
          way): set where most of the seats left are served, the smallest bore first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Span = tuple[int, int]
"""First and last position, both served."""


@dataclass(frozen=True, slots=True)
class Group:
    """Seats, by their place in the list given, that one position serves."""

    position: int
    members: tuple[int, ...]


def fewest(seats: Sequence[Sequence[Span]]) -> tuple[list[Group], bool]:
    """Groups that serve every seat, and whether there are provably no fewer.

    Each seat is its choices' spans, at least one; the order of seats decides nothing but the order
    of members.
    """
    joined = [join(spans) for spans in seats]
    if all(len(spans) == 1 for spans in joined):
        return stab([spans[0] for spans in joined]), True
    return cover(joined), False


def join(spans: Iterable[Span]) -> list[Span]:
    """The same positions as spans that neither touch nor overlap, ascending."""
    joined: list[Span] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1] + 1:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return joined


def stab(spans: Sequence[Span]) -> list[Group]:
    """The fewest points that stab every span; of those for a group, the least: less metal."""
    order = sorted(range(len(spans)), key=lambda at: (spans[at][1], spans[at][0], at))
    groups: list[list[int]] = []
    point = None
    for at in order:
        if point is None or spans[at][0] > point:
            point = spans[at][1]
            groups.append([])
        groups[-1].append(at)
    return [Group(max(spans[at][0] for at in group), tuple(sorted(group))) for group in groups]


def cover(seats: Sequence[Sequence[Span]]) -> list[Group]:
    """Groups found greedily: each time the position that serves most of the seats left."""
    served_at: dict[int, set[int]] = defaultdict(set)
    for at, spans in enumerate(seats):
        for low, high in spans:
            for position in range(low, high + 1):
                served_at[position].add(at)
    groups = []
    left = set(range(len(seats)))
    while left:
        position = max(served_at, key=lambda each: (len(served_at[each]), -each))
        members = tuple(sorted(served_at[position]))
        groups.append(Group(position, members))
        left.difference_update(members)
        for at in members:
            for low, high in seats[at]:
                for each in range(low, high + 1):
                    served_at[each].discard(at)
    return groups
