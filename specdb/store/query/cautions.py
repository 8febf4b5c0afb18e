"""The warnings that apply to an answer."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from specdb.store.asof import Reader, live

_LIVE = f"""
SELECT c.id, c.key, c.topics, c.severity, c.rank, c.text
FROM cautions AS c
WHERE {live("c")}
ORDER BY CAST(c.rank AS DOUBLE PRECISION), c.key
"""
ALWAYS = "any"
"""The topic of a caution every answer carries."""


def for_topics(reader: Reader, topics: Iterable[str]) -> list[dict[str, Any]]:
    """The cautions of any of `topics` and those of every answer, by rank, then key.

    The whole list is read, some dozens of rows: their topics are a list in a cell.
    """
    wanted = {ALWAYS, *topics}
    return [row for row in reader.all(_LIVE) if not wanted.isdisjoint(row["topics"].split(";"))]


def order(reader: Reader) -> dict[str, int]:
    """Key of every caution -> its place among all of them."""
    return {row["key"]: place for place, row in enumerate(reader.all(_LIVE))}
