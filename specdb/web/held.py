"""What a running server answers from: databases by release, finished answers, and their tags."""

from __future__ import annotations

import asyncio
import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from typing import Any, Generic, TypeVar
from weakref import WeakKeyDictionary

import specdb
from specdb.answers.registry import Question
from specdb.database import Database
from specdb.database import open as open_database
from specdb.errors import Misuse, NoAnswer, SpecdbError

V = TypeVar("V")

RELEASES = 16
"""Pinned releases kept open at a time, beside the one answered from unasked."""
ANSWERS = 512
"""Finished answers kept, the latest asked for."""
LARGEST = 600_000
"""Bytes above which an answer is not kept."""


class Kept(Generic[V]):
    """The latest `most` values by key; threads may share it."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[object, V] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: object) -> V | None:
        """The value kept under `key`, or None."""
        with self._lock:
            value = self._values.get(key)
            if value is not None:
                self._values.move_to_end(key)
            return value

    def put(self, key: object, value: V) -> list[V]:
        """Keep a value; returns those that had to go for it."""
        with self._lock:
            self._values[key] = value
            self._values.move_to_end(key)
            gone = []
            while len(self._values) > self._most:
                gone.append(self._values.popitem(last=False)[1])
            return gone

    def clear(self) -> list[V]:
        """Let go of every value; returns them."""
        with self._lock:
            gone = list(self._values.values())
            self._values.clear()
            return gone


class Held:
    """One reference database and the shop's stock, open for a server's lifetime."""

    def __init__(
        self, where: str | None = None, stock: str | None = None, *, open_to_all: bool = False
    ) -> None:
        self.open_to_all = open_to_all
        """Whether everybody may ask, so that nobody need be checked."""
        self._where = where
        self._stock = stock
        self._lock = threading.Lock()
        self._usual: Database | None = None
        self._pinned: Kept[Database] = Kept(RELEASES)
        self._digests: WeakKeyDictionary[Database, str] = WeakKeyDictionary()
        self.answers: Kept[tuple[str, bytes | SpecdbError]] = Kept(ANSWERS)

    def database(self, release: str | None = None) -> Database:
        """The database as of a release; None for what `open()` answers from.

        The release asked for least lately makes room for a new one; it closes once the last
        request that still reads it is done. Raises UnknownName for an unknown release,
        StoreError where there is no database.
        """
        found = self._kept(release)
        if found is not None:
            return found
        with self._lock:
            found = self._kept(release)
            if found is None:
                found = self._open(release)
                if release is None:
                    self._usual = found
                else:
                    self._pinned.put(release, found)
            return found

    async def opened(self, release: str | None = None) -> Database:
        """The same, opened in a thread where it is not open yet: a server may be far away."""
        found = self._kept(release)
        return found if found is not None else await asyncio.to_thread(self.database, release)

    def _kept(self, release: str | None) -> Database | None:
        return self._usual if release is None else self._pinned.get(release)

    def _open(self, release: str | None) -> Database:
        given: dict[str, Any] = {"stock": self._stock} if self._stock else {}
        opened = open_database(self._where, release=release, **given)
        opened.close_with_last_user()
        self._digest(opened)
        return opened

    def tag(self, db: Database, stock: str, *parts: object) -> str:
        """A strong entity tag over release, data, code, stock and the question `parts`."""
        return _tag(db.release, self._digest(db), specdb.__version__, stock, *parts)

    def _digest(self, db: Database) -> str:
        if db not in self._digests:
            self._digests[db] = db.database_digest
        return self._digests[db]

    async def stock(self, db: Database, question: Question) -> str:
        """What the stock holds now, where a question searches it; empty where it searches none."""
        if not (question.searches and db.has_stock):
            return ""
        return f"stock {await asyncio.to_thread(lambda: db.stock_digest)}"

    async def answer(self, key: object, tag: str, make: Callable[[], bytes]) -> bytes:
        """The finished bytes of an answer: kept ones while their tag still holds, others made in
        a thread, so that nobody waits for another's arithmetic. A refusal is kept like an answer.
        """
        kept = self.answers.get(key)
        if kept is None or kept[0] != tag:
            kept = (tag, await asyncio.to_thread(_made, make))
            if isinstance(kept[1], SpecdbError) or len(kept[1]) <= LARGEST:
                self.answers.put(key, kept)
        if isinstance(kept[1], SpecdbError):
            raise kept[1].with_traceback(None)
        return kept[1]

    def close(self) -> None:
        """Close every database."""
        with self._lock:
            for database in (self._usual, *self._pinned.clear()):
                if database is not None:
                    database.close()
            self._usual = None


def _made(make: Callable[[], bytes]) -> bytes | SpecdbError:
    try:
        return make()
    except (Misuse, NoAnswer) as error:
        return error


def _tag(*parts: object) -> str:
    text = "\x1f".join(map(repr, parts))
    return '"' + hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:40] + '"'


def canonical(asked: Mapping[str, Any]) -> tuple[tuple[str, Any], ...]:
    """Arguments in a form that compares: sorted by name, lists as tuples."""
    return tuple(
        sorted(
            (name, tuple(value) if isinstance(value, list) else value)
            for name, value in asked.items()
        )
    )
