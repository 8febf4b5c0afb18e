"""Source: a citation, and every row that came from it."""

from __future__ import annotations

from pydantic import Field

from specdb.records.answer import Answer, Frozen


class SourceRequest(Frozen):
    """Which source."""

    source: str = Field(description="Key of a source, as any answer names it.")


class SourcedRow(Frozen):
    """One row a source gave."""

    row: str
    table: str
    seen: str
    locator: str | None
    printed: str | None
    note: str | None


class SourceResult(Answer):
    """The citation and the rows it gave. This is the one place where authors and titles stand."""

    key: str
    kind: str
    title: str
    author_or_body: str | None
    year: str | None
    identifier: str | None
    url: str | None
    licence_or_status: str | None
    note: str | None
    rows_by_table: dict[str, int]
    gave: tuple[SourcedRow, ...]
