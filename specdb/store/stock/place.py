"""Where a shop's lists lie: what was said, else an environment variable, else the data folder."""

from __future__ import annotations

import os
from pathlib import Path

from specdb.errors import StoreError
from specdb.store.address import masked

VARIABLE = "SPECDB_STOCK"
NOWHERE = "none"
"""Said instead of a place: search no lists."""
USUAL = "usual"
"""Said instead of a place: wherever the commands look untold."""
_FILE = "stock.sqlite"


def wanted(said: str | Path | None = None) -> str | Path | None:
    """The place to write to: a path, or a server's URL; None where `none` was said."""
    named = said if said not in (None, USUAL) else os.environ.get(VARIABLE) or None
    if named is None:
        import platformdirs

        return platformdirs.user_data_path("specdb", appauthor=False) / _FILE
    text = str(named)
    if text == NOWHERE:
        return None
    if "://" in text and not text.startswith("sqlite:///"):
        return text
    return Path(text.removeprefix("sqlite:///")).expanduser()


def found(said: str | Path | None = None) -> str | Path | None:
    """The place to search; None where nobody said one and the data folder holds no lists."""
    place = wanted(said)
    named = said not in (None, USUAL) or os.environ.get(VARIABLE)
    if isinstance(place, Path) and not named and not place.exists():
        return None
    return place


def searched(said: str | Path | None = None) -> str | Path | None:
    """The same for a question: a place that was named must be there, or a slip of the pen would
    leave the shelf out without a word. Raises `StoreError`."""
    place = found(said)
    if isinstance(place, Path) and not place.exists():
        raise StoreError(
            f"there are no own lists at {place}.",
            hint="Import one there with `specdb stock import FILE --list NAME --stock WHERE`, "
            "or search none: --stock none.",
        )
    return place


def shown(place: str | Path) -> str:
    """A place as it may be shown: no name and password of a server."""
    text = masked(str(place))
    scheme, mark, rest = text.partition("://")
    return f"{scheme}://{rest.rpartition('@')[2]}" if mark else text


def typed(place: str | Path) -> str:
    """A place as it is typed in a command, but for a password."""
    import shlex

    return shlex.quote(masked(str(place)))
