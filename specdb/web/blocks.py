"""The parts a page is made of: cells, lines, tables, sections. A template loops over them."""

from __future__ import annotations

from dataclasses import dataclass

Marks = tuple[tuple[int, int], ...]
"""Numbers of footnotes, in runs from first to last."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A value as text, the same in inches, what it opens, and what must not be read over."""

    text: str
    inch: str = ""
    href: str = ""
    marks: Marks = ()
    strong: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A line of words or a number with its band and the numbers of its sources."""

    label: str
    value: tuple[Cell, ...]
    band: str = ""
    marks: Marks = ()


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a page. `kind`: lines, prose, bench, table or section; `name`: the field it shows.

    A folded one shows its title until somebody opens it, or follows a link to its `anchor`.
    """

    kind: str
    title: str = ""
    name: str = ""
    folded: bool = False
    anchor: str = ""
    lines: tuple[Figure, ...] = ()
    prose: tuple[str, ...] = ()
    header: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    left: int = 0
    blocks: tuple[Block, ...] = ()

    @property
    def count(self) -> int:
        """How many rows, sentences or lines there are."""
        return len(self.rows) + self.left or len(self.prose) or len(self.lines)
