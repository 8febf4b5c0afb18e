"""What every result has: the versions, the cautions, the rows behind it, what is not known."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict


class Frozen(BaseModel):
    """A record nobody can change, built on first use."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class FactNote(Frozen):
    """Where a row comes from, for whoever wants to open a figure to its source."""

    table: str
    source: tuple[str, ...]
    locator: str | None
    seen: str
    basis: str
    printed: str | None
    note: str | None
    release: str


class CautionNote(Frozen):
    """A warning that applies to this answer."""

    key: str
    severity: Literal["danger", "warning", "note"]
    text: str


class Answer(Frozen):
    """Root of every result.

    `facts` holds every row the figures name in their `sources`; `unknown` says for each field that
    is None why it is; `assumed` what was taken for granted because nobody said otherwise; `stock`
    names each of the shop's own lists that was searched, with the digest of what it held.
    """

    data_release: str
    code_version: str
    cautions: tuple[CautionNote, ...] = ()
    facts: dict[str, FactNote] = {}
    assumed: tuple[str, ...] = ()
    unknown: dict[str, str] = {}
    stock: dict[str, str] = {}

    @property
    def answered(self) -> bool:
        """Whether the question got what it asked for; a command without it ends in exit code 1."""
        return True
