"""Footnotes: each figure carries small numbers, and the list at the end says what they are.

Briefly, a number is a source and how it was seen, with the rows it gave; in full, every row has a
number of its own with its place and what is printed there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from specdb.records.answer import FactNote
from specdb.records.some import some

NAMED = 3
"""Rows named behind a source in the brief list."""


class Footnotes:
    """Numbers for the rows behind an answer, in the order in which the figures name them."""

    def __init__(self, facts: Mapping[str, FactNote], *, each_row: bool) -> None:
        self._facts = facts
        self._each_row = each_row
        self._numbers: dict[str, int] = {}
        self._rows: dict[str, list[str]] = {}

    def mark(self, rows: tuple[str, ...]) -> str:
        """`[1 4-6]` for these rows; empty where none of them is a fact."""
        numbers = self.numbers(rows)
        return f"[{_runs(numbers)}]" if numbers else ""

    def numbers(self, rows: tuple[str, ...]) -> list[int]:
        """The numbers of these rows, in order."""
        return sorted({self._number(row) for row in rows if row in self._facts})

    def listed(self) -> Iterator[tuple[int, list[str]]]:
        """Every number with its rows, in order; rows that no figure names come last."""
        self.numbers(tuple(self._facts))
        for name, number in self._numbers.items():
            yield number, self._rows[name]

    def lines(self, *, carried_only: bool = False) -> Iterator[list[str]]:
        """Numbers with their texts, in order; `carried_only`: those a figure shown carries, and
        how many sources stand behind the rest (where no figure carries any: all)."""
        carried = len(self._numbers)
        every = list(self.listed())
        brief = carried_only and carried > 0
        for number, rows in every[:carried] if brief else every:
            yield [f"[{number}]", self._row(rows[0]) if self._each_row else self._source(rows)]
        if brief and len(every) > carried:
            yield ["", f"and {len(every) - carried} more behind what is not shown here"]

    def _number(self, row: str) -> int:
        note = self._facts[row]
        name = row if self._each_row else f"{';'.join(note.source)} {note.seen}"
        given = self._rows.setdefault(name, [])
        if row not in given:
            given.append(row)
        return self._numbers.setdefault(name, len(self._numbers) + 1)

    def _row(self, row: str) -> str:
        note = self._facts[row]
        place = ", ".join(filter(None, (";".join(note.source), note.locator)))
        printed = f"printed: {note.printed}" if note.printed else ""
        return "; ".join(filter(None, (f"{row} ({note.seen})", place, printed)))

    def _source(self, rows: list[str]) -> str:
        note = self._facts[rows[0]]
        source = ";".join(note.source)
        return f"{source} ({note.seen}): {some(rows, NAMED)}"


def runs(numbers: list[int]) -> list[tuple[int, int]]:
    """Sorted numbers as runs, each from its first to its last."""
    found: list[tuple[int, int]] = []
    for each in numbers:
        if found and each == found[-1][1] + 1:
            found[-1] = (found[-1][0], each)
        else:
            found.append((each, each))
    return found


def _runs(numbers: list[int]) -> str:
    return " ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in runs(numbers))
