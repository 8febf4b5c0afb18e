"""A question asked of the file and of the server at once: every statement must give the same.

An answer is made of the rows its statements give and of nothing else: equal rows, equal bytes.
"""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, Release


class TwinReader:
    """Reads from `server` and holds every row against `file`."""

    def __init__(self, file: Reader, server: Reader) -> None:
        assert file.release == server.release
        self._file, self._server = file, server

    @property
    def release(self) -> Release:
        return self._server.release

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        found, wanted = self._server.all(sql, **params), self._file.all(sql, **params)
        if "ORDER BY" in sql:
            self._same(sql, found, wanted)
        else:  # a test's own statement: rows in no order
            self._same(sql, sorted(map(repr, found)), sorted(map(repr, wanted)))
        return found

    def one(self, sql: str, /, **params: Any) -> dict[str, Any] | None:
        found = self._server.one(sql, **params)
        self._same(sql, found, self._file.one(sql, **params))
        return found

    def close(self) -> None:
        self._file.close()

    @staticmethod
    def _same(sql: str, server: object, file: object) -> None:
        # repr tells 1 from 1.0 and 0.0 from -0.0, which == does not
        assert repr(server) == repr(file), f"the servers differ in: {sql}"
