"""An answer as blocks for the templates: what `records.layout` decides, with links to open rows.

A template loops over blocks and never looks into a record.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlencode

from pydantic import BaseModel

from specdb.answers.boring import limits_in_inches
from specdb.estimate import Estimate
from specdb.records import figures, layout
from specdb.records.answer import Answer, CautionNote
from specdb.records.footnotes import NAMED, Footnotes, runs
from specdb.records.head import HeadPlan
from specdb.records.layout import Entry, cell
from specdb.records.words import said, unit_of
from specdb.web import folding, head_view
from specdb.web.blocks import Block, Cell, Figure, Marks

Link = Callable[..., str]
Say = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Row:
    """A row behind an answer, and where it opens."""

    id: str
    href: str
    place: str


@dataclass(frozen=True, slots=True)
class Note:
    """A footnote: sources with their pages, how they were seen, the rows."""

    number: int
    sources: tuple[Cell, ...]
    seen: str
    release: str
    rows: tuple[Row, ...]
    more: int


@dataclass(frozen=True, slots=True)
class Page:
    """A whole answer as a page shows it."""

    red: tuple[CautionNote, ...]
    blocks: tuple[Block, ...]
    assumed: tuple[str, ...]
    unknown: tuple[tuple[str, str], ...]
    cautions: tuple[CautionNote, ...]
    folded: tuple[CautionNote, ...]
    notes: tuple[Note, ...]
    data_release: str
    code_version: str


def page(result: Answer, *, everything: bool, release: str | None = None, say: Say = str) -> Page:
    """The blocks of an answer; every link keeps to the release asked for. `say` turns the names of
    arguments into words.
    """
    link = linker(release)
    notes = Footnotes(result.facts, each_row=everything)
    laid = _Laid(notes, everything, link, frozenset(result.facts), say)
    blocks = laid.record(result, type(result).__name__)
    if isinstance(result, HeadPlan):
        blocks = head_view.blocks(result, blocks)
    loud, left = layout.cautions(result, everything=everything)
    return Page(
        red=layout.first_dangers(result),
        blocks=tuple(folding.short_first(blocks)),
        assumed=tuple(map(say, result.assumed)),
        unknown=tuple((said(name), say(why)) for name, why in result.unknown.items()),
        cautions=loud,
        folded=result.cautions[len(result.cautions) - left :] if left else (),
        notes=tuple(_notes(notes, result, everything, link)),
        data_release=result.data_release,
        code_version=result.code_version,
    )


def linker(release: str | None) -> Link:
    """Addresses with their parameters, and the release where one was asked for."""

    def link(path: str, **said_too: str) -> str:
        asked = {**said_too, **({"release": release} if release else {})}
        return f"{quote(path)}?{urlencode(asked)}" if asked else quote(path)

    return link


class _Laid:
    """Turns entries into blocks, marking every figure with its footnotes."""

    def __init__(
        self, notes: Footnotes, everything: bool, link: Link, rows: frozenset[str], say: Say
    ) -> None:
        self._notes = notes
        self._everything = everything
        self._link = link
        self._rows = rows
        self._say = say

    def record(self, record: BaseModel, name: str) -> list[Block]:
        """Words and figures in one list, then each part."""
        found = list(layout.entries(record, name, everything=self._everything))
        limits = limits_in_inches(record)
        short = [each for each in found if each.kind in ("words", "figure")]
        lines = tuple(self._line(each, limits) for each in short if each.field != "label")
        blocks = [Block("lines", lines=lines)] if lines else []
        return blocks + [self._block(each) for each in found if each not in short]

    def _line(self, entry: Entry, limits: Mapping[str, str]) -> Figure:
        value = entry.value
        if isinstance(value, Estimate):
            shown = Cell(figures.number(value.value, value.unit), layout.inch(value, entry.field))
            marks = self._marks(value.sources)
            return Figure(said(entry.field), (shown,), figures.band(value), marks)
        if isinstance(value, float):
            inch = limits.get(entry.field) or layout.inch(value, entry.field)
            shown = Cell(figures.number(value, unit_of(entry.field)), inch)
            return Figure(said(entry.field), (shown,))
        return Figure(said(entry.field), self._words(entry.field, value))

    def _words(self, field: str, value: Any) -> tuple[Cell, ...]:
        href = self._href(field)
        if href is None:
            return (Cell(self._say(layout.words(field, value, everything=self._everything))),)
        named = value if isinstance(value, tuple | list) else (value,)
        shown = tuple(named) if self._everything else tuple(named)[: layout.FEW]
        left = len(named) - len(shown)
        more = (Cell(f"and {left} more"),) if left else ()
        return (*(Cell(str(each), href=href(str(each))) for each in shown), *more)

    def _marks(self, rows: tuple[str, ...]) -> Marks:
        return tuple(runs(self._notes.numbers(rows)))

    def _href(self, field: str) -> Callable[[str], str] | None:
        if field == "decided_by":  # rows, or the labels of seats
            return lambda row: self._link("/trace", row=row) if row in self._rows else ""
        if field in ("row", "rests_on", "replaces", "replacement"):  # rows, or lines of a table
            return lambda row: "" if row.isdigit() else self._link("/trace", row=row)
        if field == "material":
            return lambda key: self._link(f"/material/{key}")
        return None

    def _block(self, entry: Entry) -> Block:
        title = folding.TITLES.get(entry.path, entry.title)
        name, value = folding.name_of(entry), entry.value
        if entry.kind == "record":
            return Block("section", title, name, blocks=tuple(self.record(value, entry.path)))
        if entry.kind == "records":
            named = [
                Block("section", key, blocks=tuple(self.record(each, type(each).__name__)))
                for key, each in value.items()
            ]
            return Block("section", title, name, blocks=tuple(named))
        if entry.kind == "pairs":
            lines = tuple(Figure(said(k), self._pair(name, k, v)) for k, v in value.items())
            return Block("lines", title, name, lines=lines)
        if entry.kind == "prose":
            return Block("prose", title, name, prose=tuple(map(self._say, value)))
        if entry.kind == "bench":
            lines = tuple(Figure(row.what, (Cell(self._say(row.text)),)) for row in value)
            return Block("bench", "", name, lines=lines)
        return self._table(entry, title)

    def _pair(self, field: str, name: str, value: Any) -> tuple[Cell, ...]:
        text = cell(name, value)
        if field == "cells" and name == "source":
            keys = [each for each in text.split(";") if each]
            return tuple(Cell(key, href=self._link(f"/source/{key}")) for key in keys)
        if field == "cells" and name == "material":
            return (Cell(text, href=self._link(f"/material/{text}")),)
        return (Cell(text),)

    def _table(self, entry: Entry, title: str) -> Block:
        found = layout.table(tuple(entry.value), entry.path, everything=self._everything)
        sourced = any(getattr(row, "sources", ()) for row in found.rows)
        header = (*map(said, found.fields), *(("sources",) if sourced else ()))
        rows = tuple(self._row(found.fields, row, sourced) for row in found.rows)
        name = folding.name_of(entry)
        return Block("table", title, name, header=header, rows=rows, left=found.left)

    def _row(self, fields: tuple[str, ...], row: BaseModel, sourced: bool) -> tuple[Cell, ...]:
        limits = limits_in_inches(row)
        cells = [self._cell(field, getattr(row, field), limits) for field in fields]
        if sourced:
            cells.append(Cell("", marks=self._marks(tuple(getattr(row, "sources", ())))))
        return tuple(cells)

    def _cell(self, field: str, value: Any, limits: Mapping[str, str]) -> Cell:
        marks = self._marks(value.sources) if isinstance(value, Estimate) else ()
        href = self._href(field)
        text = self._say(cell(field, value))
        if field in ("property", "table"):
            text = text.replace("youngs", "Young's").replace("_", " ")
        inch = limits.get(field) or layout.inch(value, field)
        return Cell(text, inch, href(text) if href and value else "", marks)


def _notes(notes: Footnotes, result: Answer, everything: bool, link: Link) -> list[Note]:
    found = []
    for number, rows in notes.listed():
        fact = result.facts[rows[0]]
        shown = rows if everything else rows[:NAMED]
        found.append(
            Note(
                number=number,
                sources=tuple(Cell(key, href=link(f"/source/{key}")) for key in fact.source),
                seen=fact.seen,
                release=fact.release,
                rows=tuple(
                    Row(row, link("/trace", row=row), result.facts[row].locator or "")
                    for row in shown
                ),
                more=len(rows) - len(shown),
            )
        )
    return found
