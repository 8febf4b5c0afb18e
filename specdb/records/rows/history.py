"""What was published when, and what was withdrawn since."""

from __future__ import annotations

from specdb.records.rows.cells import Id, Number, Release, Row, Text


class DataRelease(Row):
    """A published release: its place in the order, version, date, and digest over its rows."""

    ordinal: Number
    version: Release
    date: Text
    summary: Text
    digest: Text


class ReleaseTable(Row):
    """What a published release holds of one table: its columns, joined by ';', how many rows, and
    the digest over them. Written by publishing, never by hand; a table without rows has no line.
    """

    id: Id
    table_name: Text
    columns: Text
    row_count: Number
    digest: Text
    release: Release


class Withdrawal(Row):
    """A row withdrawn: in which release, why, replaced by what."""

    id: Id
    withdrawn: Id
    release: Release
    reason: Text
    replacement: Id | None
