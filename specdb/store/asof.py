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


SERVER = ("postgresql://", "postgresql+psycopg://")
_FILE = "sqlite:///"


def file_of(where: str | Path) -> Path | None:
    """The file that `where` names, None where it is the URL of a server.

    Raises StoreError for a URL of anything else; its password is not shown.
    """
    text = str(where)
    if text.startswith(SERVER):
        return None
    if "://" in text and not text.startswith(_FILE):
        raise StoreError(
            f"cannot open {text.partition('://')[0]}://...{text.rpartition('@')[2][-40:]}.",
            hint=f"Give the path of a database file, or {SERVER[1]}USER@HOST/DATABASE.",
        )
    return Path(text.removeprefix(_FILE))


def open_reader(where: str | Path | None = None, *, release: str | None = None) -> Reader:
    """A reader of the bundled database, of the file at `where`, or of the server at that URL.

    Raises StoreError where there is no usable database, UnknownName for an unknown release.
    """
    from specdb.store import assets, engine

    path = assets.database() if where is None else file_of(where)
    if path is not None:
        return engine.SqliteReader(path, release)
    from specdb.store import server

    return server.ServerReader(str(where), release)
