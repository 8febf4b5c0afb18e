"""From a plan to the document: a template, the seats on it, the hazards first.

A template library is used because a sheet is mostly markup: it keeps the layout in a file that can
be read and changed as a page, and escapes every word a user typed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from specdb.answers import head_exceptions, head_rows
from specdb.records import layout
from specdb.records.figures import hundredths
from specdb.records.footnotes import Footnotes
from specdb.records.head import HeadPlan
from specdb.records.seat import SeatPlan
from specdb.sheet.checks import CHECKS, FOUND_LEFT, HEIGHTS, WHOLE_HEAD
from specdb.sheet.plan_view import DO, LEAVE, STOP, fate, seats_map
from specdb.sheet.seats import SheetSeat
from specdb.sheet.section import alike
from specdb.sheet.whole import by_text, fetched, looked, off_insert

if TYPE_CHECKING:
    from jinja2 import Template

DENSE = 8
"""Seats beyond which rows are set closer, so that a large head stays in the hand."""


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
    fetch = fetched(whole, shown)
    stops, looks = looked(whole, shown)
    off, rests = off_insert(shown)
    measured = [each for each in shown if each.to_ring]
    first = layout.first_dangers(plan)
    aside = layout.beside(plan)
    page = _template("record.html" if record else "bench.html").render(
        plan=plan,
        whole=whole,
        job=job,
        head=head,
        date=date,
        seats=shown,
        **_by_fate(shown),
        hazards=first,
        others=[note for note in plan.cautions if note not in (*first, *aside)],
        instead=by_text(shown, "instead"),
        fetch=fetch,
        on_shelf=by_text(shown, "on_shelf"),
        first=stops,
        **_of_head(whole, seats),
        to_ring=by_text(measured, "to_ring"),
        any_ring=by_text(measured, "any_ring"),
        off_insert=off,
        off_rests=rests,
        aside=aside,
        served=_served(shown),
        one_go=ONE_GO,
        soaks=_once(soak for each in shown for soak in each.soaks),
        look_at=looks,
        drawings=_drawings(shown),
        dense=len(shown) > DENSE,
        checks=CHECKS,
        found_left=FOUND_LEFT,
        heights=HEIGHTS,
        whole_head=WHOLE_HEAD,
        notes=notes,
    )
    return page.replace(" degC", " °C")  # answers say degC; paper has one sign for it


def _by_fate(shown: list[SheetSeat]) -> dict[str, Any]:
    """The seats by what is done to them at the machine."""
    return {
        "bored": [each for each in shown if fate(each.plan) == DO],
        "left": [each for each in shown if fate(each.plan) == LEAVE],
        "stopped": [each for each in shown if fate(each.plan) == STOP],
        "at_the_tool": [each for each in shown if each.plan.boring or each.plan.removal],
        "untried": any(
            each.plan.boring and each.plan.boring.first_bore_mm is None for each in shown
        ),
    }


def _of_head(whole: HeadPlan | None, seats: list[SeatPlan]) -> dict[str, Any]:
    """What only a whole head has; empty for a seat."""
    return {
        "bad_rows": head_rows.alike(whole.bad_rows) if whole else (),
        "exceptions": head_exceptions.alike(whole.exceptions) if whole else (),
        "map": seats_map(seats) if whole else "",
        "settings": list(enumerate(whole.settings, start=1)) if whole else [],
    }


def _settings(whole: HeadPlan | None) -> dict[str, int]:
    settings = whole.settings if whole else ()
    return {label: number for number, each in enumerate(settings, 1) for label in each.labels}


ONE_GO = (
    "The rings go in at one go: out of the oven the head cools all the while; the times hold for a "
    "head at its heat."
)


def _served(seats: Sequence[SheetSeat]) -> dict[int, list[int]]:
    """The numbers of the seats each setting serves."""
    found: dict[int, list[int]] = {}
    for each in seats:
        if each.setting is not None:
            found.setdefault(each.setting, []).append(each.number)
    return found


def _once(texts: Iterator[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def _drawings(seats: Sequence[SheetSeat]) -> list[list[SheetSeat]]:
    """Seats that one drawing serves, in order."""
    found: dict[object, list[SheetSeat]] = {}
    for each in seats:
        if each.plan.chosen is not None:
            found.setdefault(alike(each.plan), []).append(each)
    return list(found.values())


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
    environment.filters["depth"] = lambda value: "–" if value is None else hundredths(value)
    return environment.get_template(name)


def _mm(value: Any, places: int = 3) -> str:
    """A length to so many places, or a dash where there is none."""
    return "–" if value is None else f"{value:.{places}f}"
