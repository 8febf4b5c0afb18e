"""Random histories of releases: reading as of one equals having replayed the history up to it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

import pytest
import sqlalchemy as sa
from hypothesis import given
from hypothesis import strategies as st

from specdb.build.digest import columns_of, digest, table_digests
from specdb.build.expand import expand, live_in
from specdb.build.history import diff
from specdb.build.read import Placed
from specdb.records import rows
from specdb.store.asof import Release, live
from specdb.store.tables import metadata

Live = dict[str, str]
"""Row id -> what it says, of the rows live in a release."""

STEPS = st.lists(
    st.lists(
        st.tuples(st.sampled_from(["add", "correct", "withdraw"]), st.integers(0, 99)),
        min_size=1,
        max_size=6,
    ),
    min_size=1,
    max_size=6,
)


class History:
    """A history played step by step, with what was live after each release kept aside."""

    def __init__(self) -> None:
        self.words: list[rows.Vocabulary] = []
        self.withdrawals: list[rows.Withdrawal] = []
        self.live: list[Live] = []

    def release(self, steps: list[tuple[str, int]]) -> None:
        now = dict(self.live[-1]) if self.live else {}
        settled = sorted(now)
        version = self.version(len(self.live) + 1)
        for what, number in steps:
            old = settled[number % len(settled)] if settled else None
            new = None
            if what != "withdraw" or old is None:
                new = f"w.{len(self.words)}"
                self.words.append(
                    rows.Vocabulary(
                        id=new, list="x", word=new, definition=f"said {number}", unit=None,
                        release=version,
                    )
                )  # fmt: skip
                now[new] = f"said {number}"
            if what != "add" and old is not None:
                settled.remove(old)
                del now[old]
                self.withdrawals.append(
                    rows.Withdrawal(
                        id=f"gone.{old}", withdrawn=old, reason="so", replacement=new,
                        release=version,
                    )
                )  # fmt: skip
        self.live.append(now)

    @staticmethod
    def version(number: int) -> str:
        return f"20{number:02}.01"

    def tables(self, releases: int) -> dict[str, list[Placed]]:
        """The tables as they stood when so many releases were out."""
        known = [self.version(number) for number in range(1, releases + 1)]
        out = [
            rows.DataRelease(
                ordinal=str(number), version=version, date="2020-01-01", summary="-", digest="-"
            )
            for number, version in enumerate(known, 1)
        ]
        held = {
            "vocabulary": [row for row in self.words if row.release in known],
            "withdrawals": [row for row in self.withdrawals if row.release in known],
            "releases": out,
        }
        return {
            table: [Placed(f"{table}.csv", line, row) for line, row in enumerate(some, 2)]
            for table, some in held.items()
        }


def played(steps: list[list[tuple[str, int]]]) -> History:
    history = History()
    for some in steps:
        history.release(some)
    return history


@given(STEPS)
def test_as_of_equals_replaying(steps) -> None:
    history = played(steps)
    expanded, bad = expand(history.tables(len(steps)))
    assert bad == []
    for ordinal, wanted in enumerate(history.live, 1):
        found = live_in(expanded, ordinal)["vocabulary"]
        assert {row["id"]: row["definition"] for row in found} == wanted


@given(STEPS)
def test_a_digest_is_the_same_whatever_came_later(steps) -> None:
    history = played(steps)
    last = expand(history.tables(len(steps)))[0]
    seen = set()
    for ordinal in range(1, len(steps) + 1):
        then = expand(history.tables(ordinal))[0]
        assert digest(last, ordinal) == digest(then, ordinal)
        assert table_digests(last, ordinal) == table_digests(then, ordinal)
        seen.add(digest(last, ordinal))
    changed = 1 + sum(a != b for a, b in zip(history.live, history.live[1:], strict=False))
    assert len(seen) >= changed, "a release that differs has a digest that differs"


class Memory:
    """A reader of tables held in memory."""

    def __init__(self) -> None:
        self._connection = sqlite3.connect(":memory:")
        engine = sa.create_engine("sqlite://", creator=lambda: self._connection)
        metadata.create_all(engine)
        self.release = Release("", 0)

    def hold(self, history: History) -> None:
        releases = len(history.live)
        expanded = expand(history.tables(releases))[0]
        for table in (*expanded, "releases"):
            self._connection.execute(f"DELETE FROM {table}")
        for table, held in expanded.items():
            for row in held:
                names = ", ".join(row)
                places = ", ".join(f":{name}" for name in row)
                self._connection.execute(f"INSERT INTO {table} ({names}) VALUES ({places})", row)
        for number in range(1, releases + 1):
            self._connection.execute(
                "INSERT INTO releases VALUES (?, ?, '', '', '-')",
                (number, history.version(number)),
            )

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        cursor = self._connection.execute(sql, {**params, "ordinal": self.release.ordinal})
        names = [column[0] for column in cursor.description]
        return [dict(zip(names, row, strict=True)) for row in cursor]

    def one(self, sql: str, /, **params: Any) -> dict[str, Any] | None:
        return next(iter(self.all(sql, **params)), None)

    def close(self) -> None:
        self._connection.close()


@pytest.fixture(scope="module")
def memory() -> Iterator[Memory]:
    made = Memory()
    yield made
    made.close()


@given(STEPS)
def test_a_statement_reads_what_replaying_gives(memory, steps) -> None:
    history = played(steps)
    memory.hold(history)
    for ordinal, wanted in enumerate(history.live, 1):
        memory.release = Release(history.version(ordinal), ordinal)
        found = memory.all(f"SELECT v.id, v.definition FROM vocabulary AS v WHERE {live('v')}")
        assert {row["id"]: row["definition"] for row in found} == wanted


@given(STEPS, st.integers(1, 6), st.integers(1, 6))
def test_a_difference_leads_from_one_release_to_the_other(memory, steps, one, other) -> None:
    history = played(steps)
    memory.hold(history)
    before, after = sorted(min(each, len(steps)) for each in (one, other))
    found = diff(memory, history.version(before), history.version(after))
    ids = set(history.live[before - 1])
    gone = {entry["id"] for entry in (*found.corrected, *found.withdrawn)}
    come = {entry["id"] for entry in found.added}
    put = {entry["replacement"] for entry in found.corrected}
    assert gone <= ids
    assert come.isdisjoint(put)
    assert (ids - gone) | come | put == set(history.live[after - 1])
    assert all(entry["reason"] for entry in (*found.corrected, *found.withdrawn))


def test_columns_a_release_knew_are_those_written_down() -> None:
    line = {"table_name": "media", "columns": "id;key", "release": "2026.11"}
    other = {**line, "columns": "id;key;hazard", "release": "2026.12"}
    assert columns_of({"release_tables": [line, other]}, "2026.11") == {"media": ["id", "key"]}
