"""Trace: a row as it was written, and its history."""

from __future__ import annotations

from pydantic import Field

from specdb.records.answer import Answer, Frozen


class TraceRequest(Frozen):
    """Which row."""

    row: str = Field(description="Id of a row, as the sources of any answer name it.")


class TraceResult(Answer):
    """A row of any table, curated or computed.

    `cells` are the cells as written; `converted` what the build computed beside them (for a
    computed row, all of it). `rests_on` names the rows a computed row was made from, `derived`
    what was made from this one. `withdrawn_in`, `reason` and `replacement` are None for a row
    that stands.
    """

    row: str
    table: str
    release: str
    cells: dict[str, str]
    converted: dict[str, float | str]
    rests_on: tuple[str, ...]
    derived: tuple[str, ...]
    replaces: tuple[str, ...]
    withdrawn_in: str | None
    reason: str | None
    replacement: str | None
