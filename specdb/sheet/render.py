"""From a plan to the document: a template, the seats on it, the hazards first.

A template library is used because a sheet is mostly markup: it keeps the layout in a file that can
be read and changed as a page, and escapes every word a user typed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from specdb.records.answer import CautionNote
from specdb.records.footnotes import Footnotes
from specdb.records.head import HeadPlan
from specdb.records.seat import SeatPlan
from specdb.sheet.checks import CHECKS, FOUND_LEFT, HEIGHTS, WHOLE_HEAD
from specdb.sheet.plan_view import DO, LEAVE, STOP, fate, seats_map
from specdb.sheet.seats import SheetSeat
from specdb.sheet.section import alike

if TYPE_CHECKING:
    from jinja2 import Template

DENSE = 8
"""Seats beyond which rows are set closer, so that a large head stays in the hand."""
RED = 3
"""Hazards on top of the first page; every other one stands further down."""
FIRST = (("beryllium",), ("sodium",), ("hot-head", "oven"), ("nitrogen", "dry-ice"), ("hard-ring",))
"""Kinds of danger by their keys, in the order in which one of each comes first: what poisons, what
burns, what suffocates, what splinters."""


def render(
    plan: SeatPlan | HeadPlan,
    *,
    job: str = "",
    head: str = "",
    date: str = "",
    record: bool = False,
) -> str:
    """The sheet of a plan as one HTML document; `record` makes it the customer's.

    `job`, `head` and `date` are printed as told; not told, there is a line to write on.
    """
    seats = [plan] if isinstance(plan, SeatPlan) else list(plan.seats.values())
    whole = None if isinstance(plan, SeatPlan) else plan
    notes = Footnotes(plan.facts, each_row=False)
    numbers = _settings(whole)
    shown = [
        SheetSeat(number, each, numbers.get(each.label), notes)
        for number, each in enumerate(seats, start=1)
    ]
    first = hazards(plan.cautions, seats)
    return _template("record.html" if record else "bench.html").render(
        plan=plan,
        whole=whole,
        job=job,
        head=head,
        date=date,
        seats=shown,
        bored=[each for each in shown if fate(each.plan) == DO],
        left=[each for each in shown if fate(each.plan) == LEAVE],
        stopped=[each for each in shown if fate(each.plan) == STOP],
        at_the_tool=[each for each in shown if each.plan.boring or each.plan.removal],
        hazards=first,
        others=[note for note in plan.cautions if note not in first],
        map=seats_map(seats) if whole is not None else "",
        settings=list(enumerate(whole.settings, start=1)) if whole else [],
        heats={each.line.head_c for each in shown if each.line.head_c is not None},
        soaks=_once(soak for each in shown for soak in each.soaks),
        look_at=_by_text(shown),
        drawings=_drawings(shown),
        dense=len(shown) > DENSE,
        checks=CHECKS,
        found_left=FOUND_LEFT,
        heights=HEIGHTS,
        whole_head=WHOLE_HEAD,
        notes=notes,
    )


def hazards(cautions: Sequence[CautionNote], plans: Sequence[SeatPlan]) -> list[CautionNote]:
    """The dangers of the first page: one of each kind, the gravest first, as many as are read."""
    dangers = [note for note in cautions if note.severity == "danger"]
    used = {plan.shrink.chosen.chill for plan in plans if plan.shrink and plan.shrink.chosen}
    found: list[CautionNote] = []
    for kinds in FIRST:
        note = next((each for each in dangers if each.key.startswith(kinds)), None)
        if note is not None and _concerns(note, used):
            found.append(note)
    found += [note for note in dangers if note not in found]
    return found[:RED]


def _concerns(note: CautionNote, used: set[str]) -> bool:
    """Whether a danger of a chilling medium is of one that is used here."""
    if note.key.startswith("nitrogen"):
        return "liquid-nitrogen" in used
    return not note.key.startswith("dry-ice") or any(each.startswith("dry-ice") for each in used)


def _settings(whole: HeadPlan | None) -> dict[str, int]:
    settings = whole.settings if whole else ()
    return {label: number for number, each in enumerate(settings, 1) for label in each.labels}


def _once(texts: Iterator[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def _drawings(seats: Sequence[SheetSeat]) -> list[list[SheetSeat]]:
    """Seats that one drawing serves, in order."""
    found: dict[object, list[SheetSeat]] = {}
    for each in seats:
        if each.plan.chosen is not None:
            found.setdefault(alike(each.plan), []).append(each)
    return list(found.values())


def _by_text(seats: Sequence[SheetSeat]) -> dict[str, list[int]]:
    """What to look at, each sentence once with the numbers of its seats."""
    found: dict[str, list[int]] = {}
    for each in seats:
        for text in each.plan.problems:
            found.setdefault(text, []).append(each.number)
    return found


@lru_cache(maxsize=2)
def _template(name: str) -> Template:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("specdb", "sheet"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["mm"] = _mm
    return environment.get_template(name)


def _mm(value: Any, places: int = 3) -> str:
    """A length to so many places, or a dash where there is none."""
    return "–" if value is None else f"{value:.{places}f}"
