"""An answer as text: figures, tables, what is not known, cautions, sources.

What is shown and in which order is `records.layout`'s; here it becomes lines and columns. Each
figure carries the numbers of its sources, listed at the end with how each was seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from specdb.cli import table
from specdb.estimate import Estimate
from specdb.records import figures, layout
from specdb.records.answer import Answer, CautionNote
from specdb.records.footnotes import Footnotes
from specdb.records.layout import Entry, cell
from specdb.records.words import said, unit_of


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
        parts.append("Sources\n" + table.columns(list(notes.lines(carried_only=not everything))))
    if result.stock:
        lists = [f"{name} (digest {digest[:12]})" for name, digest in result.stock.items()]
        parts.append(f"Own lists searched: {', '.join(lists)}.")
    more = "" if everything else " --all shows every figure and row; trace ROW opens one."
    parts.append(f"Data release {result.data_release}, specdb {result.code_version}.{more}")
    return "\n\n".join(part for part in parts if part) + "\n"


def _caution(note: CautionNote) -> str:
    return f"{note.severity.upper()}: {note.text}"


def _cautions(result: Answer, everything: bool) -> list[str]:
    shown, left = layout.cautions(result, everything=everything)
    lines = [_caution(each) for each in shown]
    if left:
        lines.append(f"and {left} more that apply; --all shows them.")
    return [_section("Cautions", lines)] if lines else []


def _red(result: Answer) -> list[str]:
    red = layout.first_dangers(result)
    return [_section("First", [_caution(note) for note in red])] if red else []


def _section(title: str, lines: Any) -> str:
    return "\n".join([title, *(table.paragraph(line, "  - ") for line in lines)])


def _inward(record: BaseModel, found: Sequence[Entry]) -> Mapping[str, str]:
    """The inches of limits to bore to, rounded inward; what knows how is imported only for them."""
    if not any(entry.field.endswith(LIMITS) for entry in found):
        return {}
    from specdb.answers.boring import limits_in_inches

    return limits_in_inches(record)


LIMITS = ("least_mm", "most_mm", "min_mm", "max_mm")
"""What the names of the fields of limits end in."""


class _Page:
    """Lays records out, marking every figure with its footnotes."""

    def __init__(self, notes: Footnotes, everything: bool) -> None:
        self._notes = notes
        self._everything = everything

    def record(self, record: BaseModel, name: str) -> Iterator[str]:
        """Words, then figures, then each field that holds records."""
        found = list(layout.entries(record, name, everything=self._everything))
        words = [self._words(entry) for entry in found if entry.kind == "words"]
        limits = _inward(record, found)
        numbers = [self._figure(entry, limits) for entry in found if entry.kind == "figure"]
        yield "\n".join(filter(None, (table.columns(words), table.columns(numbers))))
        for entry in found:
            if entry.kind not in ("words", "figure"):
                yield self._block(entry)

    def _words(self, entry: Entry) -> list[str]:
        text = layout.words(entry.field, entry.value, everything=self._everything)
        return [said(entry.field), text]

    def _block(self, entry: Entry) -> str:
        title, value = entry.title, entry.value
        if entry.kind == "record":
            parts = [part for part in self.record(value, entry.path) if part]
            return f"{title}\n" + "\n\n".join(parts)
        if entry.kind == "records":
            named = [(name, self.record(each, type(each).__name__)) for name, each in value.items()]
            return "\n\n".join(
                f"{title}: {name}\n" + "\n\n".join(filter(None, parts)) for name, parts in named
            )
        if entry.kind == "pairs":
            return f"{title}\n" + table.columns([[said(k), cell(k, v)] for k, v in value.items()])
        if entry.kind == "prose":
            return _section(title, list(value))
        if entry.kind == "bench":
            return table.columns([[row.what, row.text] for row in value])
        return f"{title}\n{self._table(entry)}"

    def _table(self, entry: Entry) -> str:
        found = layout.table(tuple(entry.value), entry.path, everything=self._everything)
        *front, last = found.fields
        header = [*map(said, front), "rows", said(last)]
        body = [
            [
                *(cell(field, getattr(row, field)) for field in front),
                self._notes.mark(tuple(getattr(row, "sources", ()))),
                cell(last, getattr(row, last)),
            ]
            for row in found.rows
        ]
        more = f"\n  and {found.left} more" if found.left else ""
        return table.columns(body, header) + more

    def _figure(self, entry: Entry, limits: Mapping[str, str]) -> list[str]:
        value = entry.value
        inch = limits.get(entry.field) or layout.inch(value, entry.field)
        if isinstance(value, Estimate):
            shown = figures.number(value.value, value.unit)
            marks = self._notes.mark(value.sources)
            return [said(entry.field), shown, inch, figures.band(value), marks]
        return [said(entry.field), figures.number(value, unit_of(entry.field)), inch, "", ""]
