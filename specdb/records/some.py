"""Many names in a sentence: the first few, and how many more."""

from __future__ import annotations

from collections.abc import Sequence

FEW = 6


def some(names: Sequence[str], most: int = FEW, *, of: int | None = None) -> str:
    """The first `most` names, and how many more; `of`: how many there are where `names` holds the
    first of them only."""
    more = (len(names) if of is None else of) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")
