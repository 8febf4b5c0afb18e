"""Columns lined up in plain text, wrapped to the width of the terminal."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Sequence
from itertools import zip_longest

GAP = "  "


def width() -> int:
    """Columns to write in: the terminal's, at least 60 and at most 120."""
    return max(60, min(120, shutil.get_terminal_size((100, 24)).columns))


def columns(rows: Sequence[Sequence[str]], header: Sequence[str] = ()) -> str:
    """Rows of cells under an optional header; empty columns go, the last one wraps.

    A heading wider than its column is broken between its words.
    """
    if not rows:
        return ""
    kept = [at for at in range(len(rows[0])) if any(row[at] for row in rows)]
    body = [[row[at] for at in kept] for row in rows]
    heads = [header[at] for at in kept] if header else [""] * len(kept)
    widths = [
        max(*(len(cell) for cell in column), *(len(word) for word in [*head.split(), ""]))
        for column, head in zip(zip(*body, strict=True), heads, strict=True)
    ]
    room = width() - sum(widths[:-1]) - len(GAP) * len(widths)
    widths[-1] = min(widths[-1], max(LAST, room))
    lines = [line for row in body for line in _line(row, widths)]
    if header:
        lines = [*_heading(heads, widths), GAP.join("-" * each for each in widths), *lines]
    return "\n".join(f"  {line}".rstrip() for line in lines)


LAST = 24
"""The last column is never squeezed below this."""


def _line(cells: list[str], widths: list[int]) -> list[str]:
    head = "".join(cell.ljust(each) + GAP for cell, each in zip(cells[:-1], widths, strict=False))
    first, *more = textwrap.wrap(cells[-1], widths[-1], break_long_words=False) or [""]
    return [head + first, *(" " * len(head) + line for line in more)]


def _heading(heads: list[str], widths: list[int]) -> list[str]:
    folded = [textwrap.wrap(head, each) for head, each in zip(heads, widths, strict=True)]
    lines = zip_longest(*folded, fillvalue="")
    return [
        GAP.join(cell.ljust(each) for cell, each in zip(line, widths, strict=True))
        for line in lines
    ]


def paragraph(text: str, lead: str = "  ") -> str:
    """Prose wrapped to the width, the first line after `lead`."""
    return textwrap.fill(
        text,
        width(),
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=False,
        break_on_hyphens=False,
    )
