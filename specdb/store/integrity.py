"""What is wrong inside a SQLite file, and which table it belongs to."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from specdb.store import seal
from specdb.store.engine import check_header, read_only_uri

LIST_OF_TABLES = "sqlite_schema"
"""The tree that lists the tables; it starts on the first page, behind the header."""
_TREE = re.compile(r"(?:On tree page|Tree) (\d+)")
_INDEX = re.compile(r"(?:index|table) (\w+)")

Fault = tuple[str, str]
"""A table and what is wrong with it."""


def faults(path: Path) -> list[Fault]:
    """Every fault of a file: pages whose bytes turned, and what SQLite's own check says.

    Raises StoreError where the file is no whole specdb database, or has lost its sums.
    """
    check_header(path)
    pages = seal.broken_pages(path)
    with closing(sqlite3.connect(read_only_uri(path), uri=True)) as connection:
        return [*_turned(connection, pages), *_misshapen(connection)]


def _turned(connection: sqlite3.Connection, pages: Iterable[int]) -> list[Fault]:
    found: dict[str, list[int]] = {}
    owners = _owners(connection) if pages else {}
    for page in pages:
        owner = LIST_OF_TABLES if page == 1 else owners.get(page, "(unknown)")
        found.setdefault(owner, []).append(page)
    return [
        (table, f"bytes changed since it was built, on page {', '.join(map(str, some))}")
        for table, some in found.items()
    ]


def _owners(connection: sqlite3.Connection) -> dict[int, str]:
    """Page -> table, as far as this SQLite can tell; an index counts as its table.

    Asked tree by tree, as a damaged one cannot be walked to its end.
    """
    owners: dict[int, str] = {}
    for name, table in _trees(connection):
        try:
            for (page,) in connection.execute("SELECT pageno FROM dbstat WHERE name = ?", (name,)):
                owners[page] = table
        except sqlite3.Error:
            continue
    return owners


def _trees(connection: sqlite3.Connection) -> list[tuple[str, str]]:
    own = [(LIST_OF_TABLES, LIST_OF_TABLES)]
    try:
        listed = connection.execute("SELECT name, tbl_name FROM sqlite_master ORDER BY name")
        return [*own, *((str(name), str(table)) for name, table in listed)]
    except sqlite3.Error:
        return own


def _misshapen(connection: sqlite3.Connection) -> list[Fault]:
    try:
        lines = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(50)")]
    except sqlite3.Error as error:
        return [(LIST_OF_TABLES, str(error))]
    told = [line for text in lines for line in text.splitlines() if line not in ("ok", "")]
    roots = _roots(connection) if told else {}
    return [(_about(line, roots), line) for line in told if not line.startswith("*** in database")]


def _roots(connection: sqlite3.Connection) -> dict[str, str]:
    """Root page, and name of table or index, -> table."""
    try:
        listed = connection.execute("SELECT rootpage, name, tbl_name FROM sqlite_master").fetchall()
    except sqlite3.Error:
        return {}
    return {str(key): str(row[2]) for row in listed for key in row[:2]}


def _about(line: str, roots: dict[str, str]) -> str:
    for pattern in (_TREE, _INDEX):
        match = pattern.search(line)
        if match and match[1] in roots:
            return roots[match[1]]
    words = [word for word in re.findall(r"\w+", line) if word in roots and not word.isdigit()]
    return roots[words[0]] if words else "(unknown)"
