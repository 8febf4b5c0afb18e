"""The fewest settings: against every way there is (brute force), which needs no other judge."""

from __future__ import annotations

import random
from itertools import combinations, pairwise

from hypothesis import given
from hypothesis import strategies as st

from specdb.answers.settings import cover, fewest, join, stab

SPAN = st.tuples(st.integers(0, 12), st.integers(0, 5)).map(lambda at: (at[0], at[0] + at[1]))
SPANS = st.lists(SPAN, min_size=1, max_size=7)
SEATS = st.lists(st.lists(SPAN, min_size=1, max_size=3), min_size=1, max_size=6)


def served(spans, position) -> bool:
    return any(low <= position <= high for low, high in spans)


def least_by_trying(seats) -> int:
    """The smallest number of positions that serve every seat, found by trying them all."""
    positions = sorted({end for spans in seats for span in spans for end in span})
    for number in range(1, len(seats) + 1):
        for chosen in combinations(positions, number):
            if all(any(served(spans, at) for at in chosen) for spans in seats):
                return number
    raise AssertionError("a position each always serves")


def check_groups(seats, groups) -> None:
    """Every seat in one group, and each served where its group is set."""
    members = sorted(member for group in groups for member in group.members)
    assert members == list(range(len(seats)))
    for group in groups:
        assert all(served(seats[member], group.position) for member in group.members)


@given(SPANS)
def test_stabbing_is_never_more_than_brute_force_finds(spans) -> None:
    seats = [[span] for span in spans]
    groups = stab(spans)
    check_groups(seats, groups)
    assert len(groups) == least_by_trying(seats)


@given(SEATS)
def test_greedy_serves_every_seat_and_never_beats_brute_force(seats) -> None:
    groups = cover(seats)
    check_groups(seats, groups)
    assert len(groups) >= least_by_trying(seats)


@given(SEATS)
def test_what_is_called_exact_is_the_least_there_is(seats) -> None:
    groups, exact = fewest(seats)
    check_groups(seats, groups)
    if exact:
        assert len(groups) == least_by_trying(seats)


def test_gaps_between_choices_are_not_called_exact() -> None:
    assert fewest([[(0, 1), (5, 6)], [(1, 2)]]) == (cover([[(0, 1), (5, 6)], [(1, 2)]]), False)
    assert fewest([[(0, 2), (3, 6)], [(1, 2)]])[1], "choices that touch leave no gap"


@given(SEATS, st.randoms(use_true_random=False))
def test_the_order_of_seats_changes_no_group(seats, chance: random.Random) -> None:
    order = list(range(len(seats)))
    chance.shuffle(order)
    plain = {frozenset(group.members) for group in fewest(seats)[0]}
    shuffled = fewest([seats[at] for at in order])[0]
    mixed = {frozenset(order[member] for member in group.members) for group in shuffled}
    positions = sorted(group.position for group in fewest(seats)[0])
    assert sorted(group.position for group in shuffled) == positions
    assert len(mixed) == len(plain)


@given(st.lists(SPAN, max_size=8))
def test_joined_spans_hold_the_same_positions_apart(spans) -> None:
    joined = join(spans)
    for position in range(-1, 20):
        assert served(joined, position) == served(spans, position)
    assert all(one[1] + 1 < other[0] for one, other in pairwise(joined))
