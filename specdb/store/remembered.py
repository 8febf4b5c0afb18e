"""A reader that remembers what it read, for work that asks the same of the database many times.

A head of many seats asks for the same metals, media and facts at each of them. What is remembered
is handed out again as it is: nobody may change it.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from specdb.store.asof import Reader, Release
from specdb.store.stock.stocked import Stocked

T = TypeVar("T")

STATEMENTS = 2048
"""Answers of statements kept; the oldest used is forgotten first."""


class Remembered:
    """`Reader` over another one, which stays its owner's to close. For one thread."""

    def __init__(self, reader: Reader) -> None:
        self._reader = reader
        self._read: OrderedDict[Hashable, list[dict[str, Any]]] = OrderedDict()
        self._made: dict[Hashable, Any] = {}

    @property
    def release(self) -> Release:
        """The release every statement is read as of."""
        return self._reader.release

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """Every row, in a list of its own."""
        return list(self._rows(sql, params))

    def one(self, sql: str, /, **params: Any) -> dict[str, Any] | None:
        """The first row, or None."""
        found = self._rows(sql, params)
        return found[0] if found else None

    def recall(self, name: Hashable, make: Callable[[], T]) -> T:
        """What was made under this name before, else `make()`. For what the data bound: metals,
        facts; never for what a row of readings says."""
        if name not in self._made:
            self._made[name] = make()
        made: T = self._made[name]
        return made

    def close(self) -> None:
        """Forget everything."""
        self._read.clear()
        self._made.clear()

    def _rows(self, sql: str, params: dict[str, Any]) -> list[dict[str, Any]]:
        asked = (sql, tuple(sorted(params.items())))
        found = self._read.get(asked)
        if found is None:
            found = self._read[asked] = self._reader.all(sql, **params)
            if len(self._read) > STATEMENTS:
                self._read.popitem(last=False)
        else:
            self._read.move_to_end(asked)
        return found


def remembering(reader: Reader) -> Reader:
    """`reader`, remembering; lists beside it are read anew each time, for they may change."""
    if isinstance(reader, Stocked):
        return Stocked(remembering(reader.reader), reader.held)
    return reader if isinstance(reader, Remembered) else Remembered(reader)


def remembers(reader: Reader) -> bool:
    """Whether a reader remembers."""
    inner = reader.reader if isinstance(reader, Stocked) else reader
    return isinstance(inner, Remembered)


def recall(reader: Reader, name: Hashable, make: Callable[[], T]) -> T:
    """`make()`, remembered under `name` where the reader remembers."""
    inner = reader.reader if isinstance(reader, Stocked) else reader
    return inner.recall(name, make) if isinstance(inner, Remembered) else make()
