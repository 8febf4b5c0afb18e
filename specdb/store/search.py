"""Full-text search over materials and sources: an index in memory, made from a reader.

It lives beside the reference database, not in it, so that the curated tables stay plain and one
index serves an embedded file and a shared server alike. A few hundred rows take milliseconds.
"""

from __future__ import annotations

import re
import sqlite3
import threading
from typing import NamedTuple

from specdb.store.asof import Reader, live

MOST = 50
_ENTRIES = f"""
SELECT 'material' AS kind, m.key, m.name AS title,
       coalesce(m.designations, '') || ' ' || coalesce(m.composition, '') || ' '
       || coalesce(m.condition, '') || ' ' || m.family || ' ' || m.material_class || ' '
       || coalesce(m.note, '') AS body
FROM materials AS m WHERE {live("m")}
UNION ALL
SELECT 'source' AS kind, s.key, s.title,
       s.kind || ' ' || coalesce(s.author_or_body, '') || ' ' || coalesce(s.year, '') || ' '
       || coalesce(s.identifier, '') || ' ' || coalesce(s.note, '') AS body
FROM sources AS s WHERE {live("s")}
ORDER BY kind, key
"""
_CREATE = "CREATE VIRTUAL TABLE entries USING fts5(kind UNINDEXED, key, title, body)"
_INSERT = "INSERT INTO entries (kind, key, title, body) VALUES (:kind, :key, :title, :body)"
_FIND = """
SELECT kind, key, title, snippet(entries, 3, '', '', ' ... ', 16)
FROM entries WHERE entries MATCH ? ORDER BY bm25(entries, 0, 8, 4, 1), kind, key LIMIT ?
"""


class Hit(NamedTuple):
    """One material or source that holds the words, and where."""

    kind: str
    key: str
    title: str
    excerpt: str


class Index:
    """The words of one release; threads may share it."""

    def __init__(self, reader: Reader) -> None:
        self._lock = threading.Lock()
        self._connection = sqlite3.connect(":memory:", check_same_thread=False)
        self._connection.execute(_CREATE)
        self._connection.executemany(_INSERT, reader.all(_ENTRIES))

    def find(self, text: str) -> tuple[Hit, ...]:
        """What holds every word of `text`, or a word that begins so; the closest first."""
        words = re.findall(r"\w+", text)[:12]
        if not words:
            return ()
        asked = " ".join(f'"{word}"*' for word in words)
        with self._lock:
            return tuple(Hit(*row) for row in self._connection.execute(_FIND, (asked, MOST)))
