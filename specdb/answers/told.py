"""Who is told how far long work has come."""

from __future__ import annotations

from collections.abc import Callable

Told = Callable[[str, int], None]
"""Called with what is being done and how many rows of it are done."""


def nobody(what: str, done: int) -> None:
    """Nobody is told."""
