"""A row of a table of dimensions as an answer lays it out beside the others."""

from __future__ import annotations

from specdb.records.answer import Frozen


class PublishedRow(Frozen):
    """A limit, size or statement, as a source gives it.

    `minimum` and `maximum` are mm where `unit` is mm, whatever was printed. `stands`: the row may
    decide something; one that does not (an outlier, a doubtful reading) is shown, with its reason
    in `note`. `says` is what it means for the case asked about, where it means anything.
    """

    feature: str
    position: str
    minimum: float | None
    maximum: float | None
    unit: str | None
    statement: str | None
    printed: str | None
    seen: str
    stands: bool
    note: str | None
    says: str | None
    sources: tuple[str, ...]
