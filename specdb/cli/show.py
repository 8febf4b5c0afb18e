"""An answer laid out for reading: figures, tables, what is not known, cautions, sources.

Works on any result record: figures with bands become lines, records inside become sections, tuples of
records tables. Each figure carries the numbers of its sources, listed at the end with how each was seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from specdb.cli import figures, table
from specdb.estimate import Estimate
from specdb.records.answer import Answer
from specdb.records.words import said, unit_of

FEW = 8
"""Rows of a long table shown unless all are asked for."""

APART = ("data_release", "code_version", "cautions", "facts", "assumed", "unknown", "sources")
"""Fields every answer has, each in a place of its own."""


class Footnotes:
    """Numbers for the rows behind an answer, in the order in which the figures name them."""

    def __init__(self, answer: Answer) -> None:
        self._facts = answer.facts
        self._numbers: dict[str, int] = {}

    def mark(self, sources: tuple[str, ...]) -> str:
        """`[1 4-6]` for these rows."""
        known = [row for row in sources if row in self._facts]
        for row in known:
            self._numbers.setdefault(row, len(self._numbers) + 1)
        return f"[{_runs(sorted(self._numbers[row] for row in known))}]" if known else ""

    def lines(self) -> Iterator[list[str]]:
        """Number, row, how seen, where from, as printed; rows no figure names come last."""
        self.mark(tuple(self._facts))
        for row, at in sorted(self._numbers.items(), key=lambda each: each[1]):
            note = self._facts[row]
            place = ", ".join(filter(None, (";".join(note.source), note.locator)))
            printed = f"printed: {note.printed}" if note.printed else ""
            text = "; ".join(filter(None, (f"{row} ({note.seen})", place, printed)))
            yield [f"[{at}]", text]


def _runs(numbers: list[int]) -> str:
    runs: list[list[int]] = []
    for each in numbers:
        if runs and each == runs[-1][1] + 1:
            runs[-1][1] = each
        else:
            runs.append([each, each])
    return " ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in runs)


def answer(result: Answer, *, everything: bool = False) -> str:
    """The whole text of an answer. `everything` shows long tables in full."""
    notes = Footnotes(result)
    parts = list(_record(result, notes, everything))
    if result.assumed:
        parts.append(_section("Taken for granted", [f"- {text}" for text in result.assumed]))
    if result.unknown:
        lines = [f"- {said(name)}: {text}" for name, text in result.unknown.items()]
        parts.append(_section("Not known", lines))
    if result.cautions:
        lines = [f"- {each.severity.upper()}: {each.text}" for each in result.cautions]
        parts.append(_section("Cautions", lines))
    if result.facts:
        parts.append("Sources\n" + table.columns(list(notes.lines())))
    parts.append(f"Data release {result.data_release}, specdb {result.code_version}.")
    return "\n\n".join(part for part in parts if part) + "\n"


def _section(title: str, lines: list[str]) -> str:
    return "\n".join([title, *(table.paragraph(line[2:], f"  {line[:2]}") for line in lines)])


def _record(record: BaseModel, notes: Footnotes, everything: bool) -> Iterator[str]:
    """Plain fields as one table, then each field that holds records."""
    lines: list[list[str]] = []
    later: list[tuple[str, Any]] = []
    for name, value in record:
        if name in APART or value is None or value == () or value == {}:
            continue
        if _holds_records(value):
            later.append((name, value))
        else:
            lines.append(_line(name, value, notes))
    if lines:
        yield table.columns(lines)
    for name, value in later:
        yield from _block(name, value, notes, everything)


def _holds_records(value: object) -> bool:
    if isinstance(value, Mapping):
        value = tuple(value.values())
    many = isinstance(value, tuple | list) and bool(value) and isinstance(value[0], BaseModel)
    return isinstance(value, BaseModel) or many


def _block(name: str, value: Any, notes: Footnotes, everything: bool) -> Iterator[str]:
    title = said(name).capitalize()
    if isinstance(value, BaseModel):
        for at, part in enumerate(_record(value, notes, everything)):
            yield f"{title}\n{part}" if at == 0 else part
        return
    rows = list(value.values()) if isinstance(value, Mapping) else list(value)
    shown = rows if everything else rows[:FEW]
    left = len(rows) - len(shown)
    more = f"\n  and {left} more; --all shows them." if left else ""
    yield f"{title}\n{_table(shown, notes)}{more}"


def _table(rows: list[BaseModel], notes: Footnotes) -> str:
    names = [name for name in type(rows[0]).model_fields if name not in APART]
    names = [name for name in names if not _holds_records(getattr(rows[0], name))]
    header = [said(name) for name in names] + ["rows"]
    body = [
        [_cell(name, getattr(row, name)) for name in names]
        + [notes.mark(tuple(getattr(row, "sources", ())))]
        for row in rows
    ]
    return table.columns(body, header)


def _line(name: str, value: Any, notes: Footnotes) -> list[str]:
    if isinstance(value, Estimate):
        inch = figures.thou(value.value) if value.unit == "mm" else ""
        shown = figures.number(value.value, value.unit)
        return [said(name), shown, inch, figures.band(value), notes.mark(value.sources)]
    inch = figures.thou(value) if isinstance(value, float) and unit_of(name) == "mm" else ""
    text = _cell(name, value)
    return [said(name), text, inch, "", ""] if inch else [said(name), "", "", "", text]


def _cell(name: str, value: Any) -> str:
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Estimate):
        return f"{figures.number(value.value, value.unit)} ({figures.band(value) or 'exact'})"
    if isinstance(value, float):
        return figures.number(value, unit_of(name))
    if isinstance(value, tuple | list):
        return "; ".join(_cell(name, each) for each in value)
    if isinstance(value, Mapping):
        return "; ".join(f"{key}: {_cell(key, each)}" for key, each in value.items())
    return str(value)
