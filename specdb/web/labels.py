"""Titles, descriptions, units, facets and links for browsing the tables."""

from __future__ import annotations

from functools import cache
from typing import Any
from urllib.parse import quote

from markupsafe import Markup

from specdb.records.rows import TABLES, columns
from specdb.records.words import UNITS
from specdb.web.attached import attached_name

HIDDEN = ("alembic_version", "sqlite_stat1", "sqlite_stat4", "meta")
FACETS = ("family", "property", "list", "kind", "part", "duty", "seen", "basis")
"""Columns worth counting by, at most three a table."""
COLUMNS = {
    "id": "the row, named by every answer that stands on it; opens its history",
    "source": "keys of the sources, joined by ;",
    "seen": "how the source was seen: text, excerpt, secondary, derived, common-practice, memory",
    "locator": "the place in the source",
    "printed": "what the source prints, as it prints it",
    "basis": "whether the row stands, or is a proxy, outlier, example, unverified or superseded",
    "note": "what a reader should know",
    "release": "the data release that brought it; next is the draft",
    "since": "place in the order of releases of the one that brought it",
    "until": "place of the release that withdrew it; empty while it stands",
    "as_of": "place of the release it was computed for",
    "sources": "rows it was computed from, joined by ;",
    "unit": "the unit of the figures as written",
    "value_house": "the value in the unit of its property",
}


def metadata(datasette: Any) -> dict[str, Any]:
    """What Datasette is told about the reference database."""
    name = attached_name(datasette)
    return {"databases": {name: _database()}} if name else {}


@cache
def _database() -> dict[str, Any]:
    return {
        "title": "Tables",
        "description": "Every row with its source, its place in it and how it was seen. "
        "Rows that stand come first; one that was withdrawn says until when it stood.",
        "tables": {
            **{name: _table(name) for name in TABLES},
            **{name: {"hidden": True} for name in HIDDEN},
        },
    }


def _table(name: str) -> dict[str, Any]:
    about = (TABLES[name].__doc__ or "").strip().partition("\n\n")[0]
    own = columns(name)
    facets = [each for each in FACETS if each in own][:3]
    found: dict[str, Any] = {
        "title": name.replace("_", " "),
        "columns": {column: said for column in _all(own) if (said := described(column))},
    }
    if about:
        found["description"] = " ".join(about.replace("`", "").split())
    if facets:
        found["facets"] = facets
    if name not in ("releases", "withdrawals"):
        found["sort"] = "until"  # empty while a row stands, and what is empty comes first
    return found


def _all(own: list[str]) -> tuple[str, ...]:
    return (*own, "since", "until")


def described(column: str) -> str:
    """What a column holds, or the unit its name says."""
    if column in COLUMNS:
        return COLUMNS[column]
    last = column.rpartition("_")[2]
    return f"in {UNITS[last]}" if "_" in column and last in UNITS else ""


def cell(value: Any, column: str, table: str) -> Markup | None:
    """A reference as links, or None to leave a cell as it is."""
    if not isinstance(value, str) or not value or (table not in TABLES and column != "sources"):
        return None
    if column == "id":
        return _linked([value], "/trace?row=")
    if column == "source":
        return _linked(value.split(";"), "/source/")
    if column == "sources":
        return _linked(value.split(";"), "/trace?row=")
    if column == "material" or (column == "key" and table == "materials"):
        return _linked([value], "/material/")
    if column == "key" and table == "sources":
        return _linked([value], "/source/")
    if column in ("withdrawn", "replacement"):
        return _linked([value], "/trace?row=")
    return None


def _linked(values: list[str], to: str) -> Markup:
    anchors = [
        Markup('<a href="{}{}">{}</a>').format(to, quote(each, safe=""), each)
        for each in values
        if each
    ]
    return Markup("; ").join(anchors)
