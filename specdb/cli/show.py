"""An answer laid out for reading: figures, tables, what is not known, cautions, sources.

Works on any result record: figures with bands become lines, records inside become sections, tuples
of records tables. `records.words.SHOWN` says which fields a screen needs; everything else shows on
demand. Each figure carries the numbers of its sources, listed at the end with how each was seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from specdb.cli import figures, table
from specdb.cli.footnotes import Footnotes
from specdb.estimate import Estimate
from specdb.records.answer import Answer, CautionNote
from specdb.records.words import SHOWN, said, unit_of

FEW = 6
"""Rows of a long table shown unless all are asked for."""

RED = 3
"""At most so many dangers stand on top; the rest follow under Cautions."""

LOUD = 8
"""Cautions shown unless all are asked for."""

APART = ("data_release", "code_version", "cautions", "facts", "assumed", "unknown", "sources")
"""Fields every answer has, each in a place of its own."""


def answer(result: Answer, *, everything: bool = False) -> str:
    """The whole text of an answer. `everything` shows every field and long tables in full."""
    notes = Footnotes(result.facts, each_row=everything)
    page = _Page(notes, everything)
    parts = [*_red(result), *page.record(result, type(result).__name__)]
    if result.assumed:
        parts.append(_section("Taken for granted", result.assumed))
    if result.unknown:
        parts.append(_section("Not known", [f"{said(k)}: {v}" for k, v in result.unknown.items()]))
    parts += _cautions(result, everything)
    if result.facts:
        parts.append("Sources\n" + table.columns(list(notes.lines())))
    more = "" if everything else " --all shows every figure and row; trace ROW opens one."
    parts.append(f"Data release {result.data_release}, specdb {result.code_version}.{more}")
    return "\n\n".join(part for part in parts if part) + "\n"


def _caution(note: CautionNote) -> str:
    return f"{note.severity.upper()}: {note.text}"


def _cautions(result: Answer, everything: bool) -> list[str]:
    """The loudest first; the rest folded into a count, as nobody reads thirty lines."""
    shown = result.cautions if everything else result.cautions[:LOUD]
    lines = [_caution(each) for each in shown]
    left = len(result.cautions) - len(shown)
    if left:
        lines.append(f"and {left} more that apply; --all shows them.")
    return [_section("Cautions", lines)] if lines else []


def _red(result: Answer) -> list[str]:
    """The worst dangers stand first on a plan that sends somebody to the bench."""
    if not hasattr(result, "bench"):
        return []
    red = [note for note in result.cautions if note.severity == "danger"][:RED]
    return [_section("First", [_caution(note) for note in red])] if red else []


def _section(title: str, lines: Any) -> str:
    return "\n".join([title, *(table.paragraph(line, "  - ") for line in lines)])


class _Page:
    """Lays records out, marking every figure with its footnotes."""

    def __init__(self, notes: Footnotes, everything: bool) -> None:
        self._notes = notes
        self._everything = everything

    def record(self, record: BaseModel, name: str) -> Iterator[str]:
        """Figures, then words, then each field that holds records."""
        figure_lines: list[list[str]] = []
        word_lines: list[list[str]] = []
        later: list[tuple[str, Any]] = []
        for field in self._fields(record, name):
            value = getattr(record, field)
            if value is None or value in ((), {}, ""):
                continue
            if _holds_records(value) or _is_prose(value):
                later.append((field, value))
            elif isinstance(value, Estimate | float):
                figure_lines.append(self._figure(field, value))
            else:
                word_lines.append([said(field), self._words(field, value)])
        yield "\n".join(filter(None, (table.columns(word_lines), table.columns(figure_lines))))
        for field, value in later:
            yield from self._block(field, value, f"{name}.{field}")

    def _words(self, field: str, value: Any) -> str:
        long = isinstance(value, tuple | list) and len(value) > FEW and not self._everything
        more = f"; and {len(value) - FEW} more" if long else ""
        return _cell(field, value[:FEW] if long else value) + more

    def _fields(self, record: BaseModel, name: str) -> list[str]:
        every = [each for each in type(record).model_fields if each not in APART]
        if self._everything:
            return every
        shown = SHOWN.get(name) or SHOWN.get(type(record).__name__)
        return list(shown) if shown else every

    def _block(self, field: str, value: Any, name: str) -> Iterator[str]:
        title = said(field).capitalize()
        if isinstance(value, BaseModel):
            parts = [part for part in self.record(value, name) if part]
            yield f"{title}\n" + "\n\n".join(parts)
            return
        if isinstance(value, Mapping):
            yield f"{title}\n" + table.columns([[said(k), _cell(k, v)] for k, v in value.items()])
            return
        rows = list(value)
        if _is_prose(value):
            yield _section(title, rows)
            return
        if field == "bench":
            yield table.columns([[row.what, row.text] for row in rows])
            return
        shown = rows if self._everything else rows[:FEW]
        left = len(rows) - len(shown)
        more = f"\n  and {left} more" if left else ""
        yield f"{title}\n{self._table(shown, name)}{more}"

    def _table(self, rows: list[BaseModel], name: str) -> str:
        fields = [
            field
            for field in self._fields(rows[0], name)
            if not _holds_records(getattr(rows[0], field))
            and any(getattr(row, field) is not None for row in rows)
        ]
        *front, last = fields
        header = [*map(said, front), "rows", said(last)]
        body = [
            [
                *(_cell(field, getattr(row, field)) for field in front),
                self._notes.mark(tuple(getattr(row, "sources", ()))),
                _cell(last, getattr(row, last)),
            ]
            for row in rows
        ]
        return table.columns(body, header)

    def _figure(self, field: str, value: Estimate | float) -> list[str]:
        if isinstance(value, Estimate):
            inch = figures.thou(value.value) if value.unit == "mm" else ""
            shown = figures.number(value.value, value.unit)
            return [said(field), shown, inch, figures.band(value), self._notes.mark(value.sources)]
        unit = unit_of(field)
        inch = figures.thou(value) if unit == "mm" else ""
        return [said(field), figures.number(value, unit), inch, "", ""]


def _holds_records(value: object) -> bool:
    if isinstance(value, Mapping):
        return True
    many = isinstance(value, tuple | list) and bool(value) and isinstance(value[0], BaseModel)
    return isinstance(value, BaseModel) or many


def _is_prose(value: object) -> bool:
    """Sentences, which read better as a list than as a line."""
    return isinstance(value, tuple) and any(
        isinstance(each, str) and " " in each and len(each) > 30 for each in value
    )


def _cell(field: str, value: Any) -> str:
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Estimate):
        spread = figures.band(value)
        return figures.number(value.value, value.unit) + (f" ({spread})" if spread else "")
    if isinstance(value, float):
        return figures.number(value, unit_of(field))
    if isinstance(value, tuple | list):
        return "; ".join(_cell(field, each) for each in value)
    return str(value)
