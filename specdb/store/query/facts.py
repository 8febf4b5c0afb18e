"""What every row says of itself: source, place, how it was seen, as printed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from specdb.store.asof import Reader

_BY_ID = """
SELECT id, table_name, source, locator, seen, basis, printed, note, release
FROM facts
WHERE id IN ({places})
ORDER BY id
"""
_AT_ONCE = 64
"""Ids a statement; shorter lists are padded, so that few statements are ever prepared."""


def by_id(reader: Reader, ids: Iterable[str]) -> list[dict[str, Any]]:
    """The facts named by `ids`, sorted by id; ids of no fact are passed over.

    Not held to the release read: a row that an answer used is shown whatever became of it.
    """
    found: list[dict[str, Any]] = []
    for part in _parts(sorted(set(ids))):
        size = 1 << (len(part) - 1).bit_length()
        padded = [*part, *[part[-1]] * (size - len(part))]
        names = [f"i{number}" for number in range(size)]
        sql = _BY_ID.format(places=", ".join(f":{name}" for name in names))
        found += reader.all(sql, **dict(zip(names, padded, strict=True)))
    return found


def _parts(ids: Sequence[str]) -> Iterator[Sequence[str]]:
    for start in range(0, len(ids), _AT_ONCE):
        yield ids[start : start + _AT_ONCE]
