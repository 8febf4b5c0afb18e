"""What the sheet of a head says of its seats together, by their numbers in its tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specdb.answers import bench, look_at
from specdb.answers.look_at import STOPS
from specdb.records.head import HeadPlan, RingToFetch
from specdb.records.sizes import GENERIC
from specdb.sheet.seats import SheetSeat


@dataclass(frozen=True, slots=True)
class Fetched:
    """Rings to fetch, with the numbers of their seats and of those that go without."""

    ring: RingToFetch
    sizes: str
    which: str
    numbers: list[int]
    without: list[int]


@dataclass(frozen=True, slots=True)
class Looked:
    """Something to look at, and whose."""

    whose: str
    text: str


def fetched(whole: HeadPlan | None, seats: Sequence[SheetSeat]) -> list[Fetched]:
    """The rings of a head, and its seats told where the shelf has none left for them."""
    number = {each.label: each.number for each in seats}
    found = []
    for ring in whole.rings if whole else ():
        for label in ring.without:
            seats[number[label] - 1].gone = True
        part = f"part {ring.size} of the list {ring.origin}"
        found.append(
            Fetched(
                ring,
                f"{ring.outer_mm:.2f} × {ring.inner_mm:.2f} × {ring.height_mm:.2f}",
                bench.GENERIC_SIZE if ring.origin == GENERIC else part,
                [number[label] for label in ring.labels],
                [number[label] for label in ring.without],
            )
        )
    return found


def looked(whole: HeadPlan | None, seats: Sequence[SheetSeat]) -> tuple[list[Looked], list[Looked]]:
    """What stops the work, and everything to look at, in order."""
    if whole is None:
        found = [Looked("", text) for text in seats[0].plan.problems]
    else:
        number = {each.label: each.number for each in seats}
        found = [
            Looked(
                f"all {each.seats} seats"
                if each.all_seats and each.seats > 1
                else ", ".join(str(number[label]) for label in each.labels),
                each.text,
            )
            for each in whole.look_at
        ]
    return [each for each in found if look_at.weight(each.text) < len(STOPS)], found


def by_text(seats: Sequence[SheetSeat], name: str) -> dict[str, list[int]]:
    """A line of each seat, once with the numbers of its seats; seats without are left out."""
    found: dict[str, list[int]] = {}
    for each in seats:
        if text := getattr(each, name):
            found.setdefault(text, []).append(each.number)
    return found


def off_insert(seats: Sequence[SheetSeat]) -> tuple[list[int], str]:
    """The seats whose cut runs off the insert, and what to tell, where that was only assumed."""
    off = [each for each in seats if each.plan.cut and each.plan.cut.insert_carries is False]
    missing = {
        name
        for each in off
        for name in ("margin", "recess")
        if getattr(each.plan.readings, name) is None
    }
    give = f"give {' and '.join(sorted(missing))}" if missing else ""
    return [each.number for each in off], give
