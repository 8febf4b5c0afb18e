"""Which parts of an answer stand open: first one short screen to work from, the rest folded.

Nothing is left out. A folded part is opened by hand, or by following a link into it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from specdb.records.layout import Entry
from specdb.web.blocks import Block

OPEN = (
    *("problems", "look_at", "advice", "warnings", "remarks", "as_found_why", "exceptions"),
    *("bad_rows", "candidates", "classes", "against", "serving", "never", "cells", "usual"),
    *("rows_by_table", "gave", "rings", "settings", "head_heat", "seats"),
    "LooseResult.steps",
)
"""Fields, anywhere or of one record, that are read before anything is done; what stands behind them
is folded.
"""
LINES = 10
"""Lines of an answer that stand open; those that follow are folded."""
TITLES = {
    "SeatPlan.sizes": "Other sizes, and why not",
    "SeatPlan.fit": "The fit, and where it lets go",
    "SeatPlan.shrink": "Every heat and chill",
    "HeadPlan.bridges": "Bridges",
}
"""Headings of parts whose field says less than somebody wants to know before opening it."""


def name_of(entry: Entry) -> str:
    """What a block is called: its field, with its record where that makes a difference."""
    return entry.path if entry.path in OPEN else entry.field


def short_first(blocks: Iterable[Block]) -> Iterator[Block]:
    """The open parts in their order, then the folded ones in theirs."""
    split = [part for each in blocks for part in _split(each)]
    yield from (each for each in split if not each.folded)
    yield from (each for each in split if each.folded)


def _split(block: Block) -> Iterator[Block]:
    if block.kind == "lines" and not block.title and len(block.lines) > LINES + 2:
        yield replace(block, lines=block.lines[:LINES])
        rest = block.lines[LINES:]
        yield replace(block, title="More figures", lines=rest, folded=True)
        return
    stands = not block.title or block.name in OPEN
    blocks = tuple(short_first(block.blocks))
    yield replace(block, folded=block.folded or not stands, blocks=blocks)
