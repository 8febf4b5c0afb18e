"""A reader of the reference data with a shop's lists beside it.

Answers take it as any other reader; those that search for rings ask it for the lists.
"""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, Release
from specdb.store.stock.held import Held


class Stocked:
    """The reference data of `reader`, and the lists `held`; closing it closes both."""

    def __init__(self, reader: Reader, held: Held) -> None:
        self.reader = reader
        self.held = held
        self.all = reader.all
        self.one = reader.one

    @property
    def release(self) -> Release:
        """The release of the reference data."""
        return self.reader.release

    def close(self) -> None:
        """Let go of the data and of the lists. Closing twice is harmless."""
        self.reader.close()
        self.held.close()


def lists_beside(reader: Reader) -> Held | None:
    """The lists a reader has beside it, or None."""
    return reader.held if isinstance(reader, Stocked) else None


def with_lists(reader: Reader, place: Any) -> Reader:
    """`reader` with the lists at `place` beside it; None: without. Raises StoreError, closing
    the reader, where there is something else than lists."""
    if place is None:
        return reader
    from specdb.store.stock.held import open_held

    try:
        return Stocked(reader, open_held(place))
    except BaseException:
        reader.close()
        raise
