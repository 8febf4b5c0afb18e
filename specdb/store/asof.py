"""Reading "as of" a data release: which rows are live in it, and what a reader offers.

A row is live from the release that brought it (`since`) until the one that withdrew it. A computed
row belongs to one release (`as_of`).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from specdb.errors import StoreError, UnknownName

DRAFT = "next"


class Release(NamedTuple):
    """A data release: its version, such as `2026.11`, and its place in the order of releases."""

    version: str
    ordinal: int


class Reader(Protocol):
    """What a query needs: statements with `:name` parameters, read as of one release.

    `:ordinal`, the release's place, is supplied by the reader. Raises StoreError where the
    database fails.
    """

    @property
    def release(self) -> Release:
        """The release every statement is read as of."""
        ...

    def all(self, sql: str, /, **params: Any) -> list[dict[str, Any]]:
        """Every row, a dict of its columns each."""
        ...

    def one(self, sql: str, /, **params: Any) -> dict[str, Any] | None:
        """The first row, or None."""
        ...

    def close(self) -> None:
        """Let go of the database. Closing twice is harmless."""
        ...


def live(alias: str) -> str:
    """The SQL condition that a row of the table called `alias` is live in the release read."""
    return f"({alias}.since <= :ordinal AND ({alias}.until IS NULL OR {alias}.until > :ordinal))"


def choose_release(known: Sequence[Release], wanted: str | None) -> Release:
    """The release to read: the one named, else the latest published, else the draft.

    `known` is in order of time, the draft last. Raises UnknownName listing the releases.
    """
    if wanted is not None:
        for release in known:
            if release.version == wanted:
                return release
        raise UnknownName(
            "data release", wanted, [release.version for release in known], field="release"
        )
    published = [release for release in known if release.version != DRAFT]
    if not (published or known):
        raise StoreError("the database holds no data release.", hint="Build it again.")
    return (published or list(known))[-1]


def open_reader(where: str | Path | None = None, *, release: str | None = None) -> Reader:
    """A reader of the bundled database, or of the one at `where`.

    Raises StoreError where there is no usable database, UnknownName for an unknown release.
    """
    from specdb.store import assets, engine

    if where is None:
        return engine.SqliteReader(assets.database(), release)
    text = str(where)
    if "://" in text and not text.startswith("sqlite:///"):
        raise StoreError(
            f"cannot open {text.split('@')[-1]!r}: only a SQLite file can be read so far.",
            hint="Give the path of a database file.",
        )
    return engine.SqliteReader(Path(text.removeprefix("sqlite:///")), release)
