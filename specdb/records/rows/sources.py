"""Where facts come from and the words they are said in: sources and the vocabulary."""

from __future__ import annotations

from specdb.records.rows.cells import Id, Key, Release, Row, Text


class Source(Row):
    """A standard, book, paper, manual or honest kind; the one table that may name who wrote it."""

    id: Id
    key: Key
    kind: Key
    title: Text
    author_or_body: Text | None
    year: Text | None
    identifier: Text | None
    url: Text | None
    licence_or_status: Text | None
    note: Text | None
    release: Release
    REFERENCES = {"kind": "vocabulary:source-kind"}


class Vocabulary(Row):
    """An allowed word of a list, its meaning and, for quantities, the house unit."""

    id: Id
    list: Key
    word: Text
    definition: Text
    unit: Text | None
    release: Release
