"""Which valve a row of a head's table is of, and what its label says of it.

An exhaust seat takes another ring, width and heat than an intake seat, so that none is planned on
a guess where the table has a column for it.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from specdb.errors import BadRequest
from specdb.records import trade_words

USUAL: Final = "exhaust"
"""What is planned where no column says: the hotter seat."""
_WORDS: Final = re.compile(r"[^\W\d_]+")
_LABELS: Final = {
    "intake": ("in", "int", "i", "inlet", "intake"),
    "exhaust": ("ex", "exh", "e", "exhaust"),
}


class Place(NamedTuple):
    """The position to plan with, as far as it is told; what to remark, or what is wrong."""

    position: str | None
    remark: str = ""
    wrong: str = ""


class Positions:
    """Reads the positions of a table. `column`: its column's heading, empty without one; `common`:
    the position told for all rows."""

    def __init__(self, column: str, common: str | None = None) -> None:
        self.column = column
        self._common = common

    def of(self, label: str, told: str | None) -> Place:
        """The position of a row whose cell (or what is common to all) says `told`."""
        says = of_label(label)
        if not told and self.column:
            return self._untold(says)
        planned = _meant(told or USUAL)
        if says is None or planned not in _LABELS or says == planned:
            return Place(told)
        if told and self.column:
            against = f"{self.column!r} {planned}"
        else:
            against = "no column says it" if not self._common else f"all are told {planned}"
        return Place(told, f"Which valve: the label says {says}, {against}; planned: {planned}.")

    def _untold(self, says: str | None) -> Place:
        if says is None:
            return Place(
                None, wrong="empty, and the label does not tell. Accepted: intake or exhaust."
            )
        return Place(
            says, f"Which valve: {self.column!r} is empty; planned: {says}, as the label says."
        )


def of_label(label: str) -> str | None:
    """The valve a label names in a word or letter of its own (`3 IN`, `2E`, `EX-4`); None where it
    names none, or both."""
    words = {word.casefold() for word in _WORDS.findall(label)}
    found = [position for position, names in _LABELS.items() if words & set(names)]
    return found[0] if len(found) == 1 else None


def _meant(told: str) -> str:
    """A position in the words of the tables, or as it was typed where it is none."""
    try:
        return trade_words.meant("position", told)
    except BadRequest:
        return told
