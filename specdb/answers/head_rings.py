"""Rings to fetch for a head: how many of each, how many there are, and which seats go without."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from specdb.records.head import SHORT, RingToFetch, SeatException
from specdb.records.sizes import GENERIC, Candidate

Key = tuple[str, str]
"""The name of a shelf, and the size (or part number) on it."""
MOST_LABELS = 40
"""Seats named of a ring; those that go without are all named."""


def key_of(ring: Candidate) -> Key:
    """What two rings must share to be of one kind."""
    return ring.origin, ring.size


@dataclass(slots=True)
class _Kind:
    """A ring, and the seats that take it."""

    ring: Candidate
    insert: str
    needed: int = 0
    labels: list[str] = field(default_factory=list)
    without: list[str] = field(default_factory=list)


class RingCount:
    """The rings of a head, counted seat by seat in the order of its table."""

    def __init__(self) -> None:
        self._kinds: dict[tuple[Key, str], _Kind] = {}
        self._without: set[str] = set()
        self._instead: dict[str, str] = {}

    def add(self, label: str, ring: Candidate, insert: str) -> None:
        """One more seat that takes a ring; whoever comes once all are taken goes without."""
        made_of = insert if ring.origin == GENERIC else ""
        kind = self._kinds.setdefault((key_of(ring), made_of), _Kind(ring, insert))
        kind.needed += 1
        if ring.left is not None and kind.needed > ring.left:
            kind.without.append(label)
            self._without.add(label)
        if len(kind.labels) < MOST_LABELS:
            kind.labels.append(label)

    def counted(self, ring: Candidate, insert: str) -> tuple[int, int | None]:
        """How many a head takes of a seat's ring, and how many there are."""
        made_of = insert if ring.origin == GENERIC else ""
        kind = self._kinds[key_of(ring), made_of]
        return kind.needed, kind.ring.left

    def instead(self, label: str, key: Key, how: str) -> None:
        """What else the shelf has for a seat that goes without."""
        self._instead[label] = f"{key[1]} of the list {key[0]} {how}"

    def goes_without(self, label: str) -> bool:
        """Whether the shelf has no ring left for a seat."""
        return label in self._without

    def told(self) -> tuple[RingToFetch, ...]:
        """The rings to fetch: those of the shop's own first, by list and part."""
        kinds = sorted(
            self._kinds.values(),
            key=lambda each: (each.ring.origin == GENERIC, *key_of(each.ring), each.insert),
        )
        return tuple(
            RingToFetch(
                outer_mm=each.ring.outer_mm,
                inner_mm=each.ring.inner_mm,
                height_mm=each.ring.height_mm,
                insert=each.insert,
                origin=each.ring.origin,
                size=each.ring.size,
                needed=each.needed,
                on_hand=each.ring.left,
                without=tuple(each.without),
                instead={at: self._instead[at] for at in each.without if at in self._instead},
                labels=tuple(each.labels),
            )
            for each in kinds
        )

    def exceptions(self) -> Iterator[SeatException]:
        """The seats that go without, and why."""
        for each in self.told():
            for label in each.without:
                why = (
                    f"{each.size} of the list {each.origin}: {each.needed} needed, "
                    f"{each.on_hand} on hand; order {each.short}, or take "
                    f"{each.instead.get(label, 'another size')}"
                )
                yield SeatException(label=label, what=SHORT, why=why)


class Supply:
    """What is left of the shop's own rings while they are given to the seats of a head."""

    def __init__(self) -> None:
        self._taken: dict[Key, int] = {}

    def take(self, key: Key) -> None:
        """One of these is spoken for."""
        self._taken[key] = self._taken.get(key, 0) + 1

    def has(self, key: Key, left: int | None) -> bool:
        """Whether there is one more of these, of which the list says `left`."""
        return left is None or self._taken.get(key, 0) < left
