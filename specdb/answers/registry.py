"""Every question, declared once: command, page, HTTP path and Python method come from here.

Modules are named as text and imported on use, so that printing the list of commands imports
no record and no arithmetic.
"""

from __future__ import annotations

import importlib
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

    from specdb.records.answer import Answer, Frozen


class Question(NamedTuple):
    """A question: `request`, `result` and `function` are `module:attribute` below specdb.

    `leading` names the request field a command line may give without its option. `example` is a
    request that every face can answer from the bundled data: documentation and tests use it.
    `searches`: it looks for rings, on the shop's own lists too.
    """

    name: str
    summary: str
    request: str
    result: str
    function: str
    example: dict[str, Any]
    leading: str = ""
    searches: bool = False

    def request_type(self) -> type[Frozen]:
        """The request record, imported now."""
        return _load(self.request)  # type: ignore[no-any-return]

    def result_type(self) -> type[Answer]:
        """The result record, imported now."""
        return _load(self.result)  # type: ignore[no-any-return]

    def answer(self) -> Callable[..., Answer]:
        """The function that answers, `(reader, request) -> result`, imported now."""
        return _load(self.function)  # type: ignore[no-any-return]


@cache
def _load(path: str) -> Any:
    module, _, attribute = path.partition(":")
    return getattr(importlib.import_module(f"specdb.{module}"), attribute)


def _question(
    name: str,
    summary: str,
    example: dict[str, Any],
    *,
    request: str = "",
    result: str = "",
    leading: str = "",
    searches: bool = False,
) -> Question:
    camel = name.title()
    return Question(
        name=name,
        summary=summary,
        request=f"records.{name}:{request or camel + 'Request'}",
        result=f"records.{name}:{result or camel + 'Result'}",
        function=f"answers.{name}:{name}",
        example=example,
        leading=leading,
        searches=searches,
    )


_JOINT = {
    "insert_diameter": "38.16 mm",
    "bore": "38.02 mm",
    "insert_inner": "31 mm",
    "height": "8 mm",
    "head": "al-si7mg-t6",
    "insert": "sintered-tool-steel",
}

QUESTIONS: dict[str, Question] = {
    question.name: question
    for question in (
        _question(
            "material",
            "What a material is, how it expands, its values at a temperature.",
            {"material": "al-si7mg-t6"},
            leading="material",
        ),
        _question(
            "interference",
            "Every published range of press for a case, and the recommended one.",
            {"head": "aluminium", "insert": "sintered-tool-steel", "diameter": "38 mm"},
        ),
        _question(
            "choose",
            "Which class of insert for a duty, a fuel and a valve.",
            {"position": "exhaust", "duty": "petrol", "fuel": "petrol"},
        ),
        _question(
            "sizes",
            "What goes into a measured counterbore, or a guide's hole: as found, or bored.",
            {
                "bore": ["38.05 mm", "38.06 mm"],
                "head": "al-si7mg-t6",
                "insert": "sintered-tool-steel",
            },
            searches=True,
        ),
        _question(
            "fit",
            "Squeeze, stretch, press force, hold, and where a fit lets go.",
            _JOINT,
        ),
        _question(
            "shrink",
            "How hot, how cold, how long: every pair of heat and chill that fits a ring.",
            _JOINT,
        ),
        _question(
            "removal",
            "Boring an old ring out: cutter, setting, wall left, and other ways out.",
            {
                "insert_diameter": "38.1 mm",
                "wall": "0.4 mm",
                "pilot": "6.98 mm",
                "runout": "0.10 mm",
                "depth": "8.2 mm",
                "head": "aluminium",
                "insert": "sintered-plain",
            },
        ),
        _question(
            "cut",
            "A seat in three faces: diameters, heights, feeds, and what the insert carries.",
            {
                "valve_diameter": "29 mm",
                "seat_width": "1.5 mm",
                "inset": "0.5 mm",
                "margin": "1.2 mm",
                "recess": "0.3 mm",
                "insert_diameter": "32 mm",
                "insert_inner": "24.5 mm",
                "height": "6 mm",
            },
        ),
        _question(
            "deck",
            "What a skim leaves: setback, volume, compression, clearance, height.",
            {
                "skim": "0.25 mm",
                "setback": "0.1 mm",
                "chamber_area": "50 cm2",
                "swept_volume": "399.5 cm3",
                "compression_ratio": "10.5",
            },
        ),
        _question(
            "height",
            "After the seat is cut: spring shim, tip to grind, lash shim, bridge.",
            {"stem_old": "40.00 mm", "stem_new": "40.20 mm", "shim": "2.60 mm"},
        ),
        _question(
            "guide",
            "Valve guides: wear, press, closing in, finished bore, oversize or liner.",
            {
                "guide_top": ["7.06 mm", "7.08 mm"],
                "guide_middle": ["7.03 mm", "7.03 mm"],
                "guide_bottom": ["7.09 mm", "7.12 mm"],
                "stem_top": ["6.96 mm"],
                "stem_middle": ["6.97 mm"],
                "stem_bottom": ["6.95 mm"],
                "stem": ["6.97 mm"],
                "head": "aluminium",
                "guide": "bronze",
                "bore": ["12.000 mm", "12.005 mm"],
                "guide_diameter": "12.05 mm",
                "guide_inner": "6.9 mm",
            },
        ),
        _question(
            "loose",
            "Short guided answers: a loose ring, a bare counterbore, a welded head.",
            {"about": "loose-ring", "ring_new": "38.16 mm", "ring": ["38.12 mm"]},
            leading="about",
        ),
        _question(
            "seat",
            "All of it for one seat: ring, bore, setting, heat, chill, seconds.",
            {
                "label": "exhaust 2",
                "bore": ["38.05 mm", "38.06 mm"],
                "head": "al-si7mg-t6",
                "insert": "sintered-tool-steel",
                "depth": "8.2 mm",
                "pilot": "6.98 mm",
            },
            request="SeatReadings",
            result="SeatPlan",
            searches=True,
        ),
        _question(
            "head",
            "Every seat of a head at once: rings, the fewest settings, bridges between.",
            {
                "readings": "label,position,bore_1,bore_2,depth,pilot,x,y\n"
                "1E,exhaust,38.05,38.06,8.2,6.98,0,0\n"
                "2E,exhaust,38.07,38.08,8.2,6.98,84,0\n",
                "head": "al-si7mg-t6",
                "insert": "sintered-tool-steel",
            },
            result="HeadPlan",
            leading="readings",
            searches=True,
        ),
        _question(
            "trace",
            "A row as it was written, what replaced it, and what was derived from it.",
            {"row": "material.al-si7mg-t6"},
            leading="row",
        ),
        _question(
            "source",
            "A source, and every row it gave.",
            {"source": "common-practice"},
            leading="source",
        ),
    )
}


def find(name: str) -> Question:
    """The question called `name`; raises `UnknownName` with the nearest."""
    if name not in QUESTIONS:
        from specdb.errors import UnknownName

        raise UnknownName("question", name, QUESTIONS)
    return QUESTIONS[name]
