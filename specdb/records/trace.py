"""Trace: a row as it was written, and its history."""

from __future__ import annotations

from pydantic import Field

from specdb.records.answer import Answer, Frozen


class TraceRequest(Frozen):
    row: str = Field(description="Id of a row, as the sources of any answer name it.")


class TraceResult(Answer):
    """A row of any table.

    `cells` are the cells as written; `converted` what the build computed from them; `withdrawn_in`,
    `reason` and `replacement` are None for a row that stands; `derived` names the rows whose
    figures rest on this one.
    """

    row: str
    table: str
    release: str
    cells: dict[str, str]
    converted: dict[str, float | str]
    withdrawn_in: str | None
    reason: str | None
    replacement: str | None
    rests_on: tuple[str, ...]
    derived: tuple[str, ...]
