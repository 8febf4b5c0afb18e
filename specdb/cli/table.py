"""Columns lined up in plain text, wrapped to the width of the terminal."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Sequence

GAP = "  "


def width() -> int:
    """Columns to write in: the terminal's, at least 60 and at most 120."""
    return max(60, min(120, shutil.get_terminal_size((100, 24)).columns))


def columns(rows: Sequence[Sequence[str]], header: Sequence[str] = ()) -> str:
    """Rows of cells under an optional header; empty columns go, the last one wraps."""
    every = [list(header), *map(list, rows)] if header else [list(row) for row in rows]
    if not every:
        return ""
    kept = [at for at in range(len(every[0])) if any(row[at] for row in every[bool(header) :])]
    widths = [max(len(row[at]) for row in every) for at in kept]
    room = max(20, width() - sum(widths[:-1]) - len(GAP) * (len(kept) - 1) - 2)
    lines: list[str] = []
    for place, row in enumerate(every):
        cells = [row[at] for at in kept]
        lines += _line(cells, widths, room)
        if header and place == 0:
            lines.append(GAP.join("-" * min(each, room) for each in widths))
    return "\n".join(f"  {line}".rstrip() for line in lines)


def _line(cells: list[str], widths: list[int], room: int) -> list[str]:
    head = GAP.join(cell.ljust(each) for cell, each in zip(cells[:-1], widths, strict=False))
    indent = GAP if cells[:-1] else ""
    folded = textwrap.wrap(cells[-1], room) or [""]
    first = f"{head}{indent}{folded[0]}"
    return [first, *(" " * (len(head) + len(indent)) + more for more in folded[1:])]


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
