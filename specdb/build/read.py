"""Reading the CSV tables of `data/` into row models, collecting every bad cell on the way."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from pydantic import ValidationError

from specdb.errors import BadCell
from specdb.records import rows


@dataclass(frozen=True, slots=True)
class Placed:
    """A row and where it stands: the line its record starts on, 1 being the header."""

    file: str
    line: int
    row: rows.Row

    def cell(self, column: str) -> str | None:
        """The text of a cell, None where it is empty."""
        text: str | None = getattr(self.row, column)
        return text

    @property
    def id(self) -> str:
        """The row's id; a release's ordinal."""
        return str(getattr(self.row, "id", None) or getattr(self.row, "ordinal", ""))

    def bad(self, column: str, reason: str) -> BadCell:
        """A finding about this row."""
        return BadCell(self.file, self.line, column, reason)


Tables = Mapping[str, list[Placed]]
"""Table -> its rows in file order."""


def read_tables(folder: Path) -> tuple[dict[str, list[Placed]], list[BadCell]]:
    """Every table of `folder`, and everything wrong with the files and cells.

    A row with a bad cell is left out of the tables and reported; the rest is read on.
    """
    tables: dict[str, list[Placed]] = {}
    bad: list[BadCell] = []
    for table in rows.TABLES:
        tables[table], found = read_table(folder / f"{table}.csv", table)
        bad += found
    bad += _strangers(folder)
    bad += _shared_ids(tables)
    return tables, sorted(bad)


def read_table(path: Path, table: str) -> tuple[list[Placed], list[BadCell]]:
    """The rows of one file and what is wrong with it."""
    text, bad = _text(path)
    if text is None:
        return [], bad
    placed: list[Placed] = []
    try:
        records = _records(text)
        line, header = next(records, (1, []))
        wrong = _header(path.name, table, header)
        if wrong:
            return [], bad + wrong
        for line, cells in records:
            row = _row(path.name, table, line, header, cells)
            if isinstance(row, Placed):
                placed.append(row)
            else:
                bad += row
    except _QuotingError as error:
        bad.append(BadCell(path.name, error.line, "-", f"not CSV: {error}"))
    return placed, bad + _order(table, placed)


class _QuotingError(Exception):
    def __init__(self, line: int, reason: str) -> None:
        super().__init__(reason)
        self.line = line


def _text(path: Path) -> tuple[str | None, list[BadCell]]:
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        return None, [BadCell(path.name, 1, "-", "the file is missing")]
    except OSError as error:
        return None, [BadCell(path.name, 1, "-", f"cannot be read: {error.strerror}")]
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        byte = f"byte 0x{raw[error.start]:02x}"
        return None, [BadCell(path.name, line, "-", f"not UTF-8: {byte} ({error.reason})")]
    bad = []
    if text.startswith("\ufeff"):
        text = text[1:]
        bad.append(BadCell(path.name, 1, "-", "starts with a byte order mark"))
    if "\r" in text:
        number = text.count("\n", 0, text.index("\r")) + 1
        bad.append(BadCell(path.name, number, "-", "a carriage return; lines end in \\n alone"))
    if text and not text.endswith("\n"):
        last = text.count("\n") + 1
        bad.append(BadCell(path.name, last, "-", "the last line does not end in a newline"))
    return text, bad


def _records(text: str) -> Iterator[tuple[int, list[str]]]:
    """Every record with the line it starts on; a quoted cell may run over lines."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise _QuotingError(line, str(error)) from None
        yield line, cells


def _header(file: str, table: str, header: list[str]) -> list[BadCell]:
    wanted = rows.columns(table)
    if header == wanted:
        return []
    bad = [BadCell(file, 1, name, "column is missing") for name in wanted if name not in header]
    bad += [
        BadCell(file, 1, name or "-", "column is not one of the table's")
        for name in header
        if name not in wanted
    ]
    bad += [
        BadCell(file, 1, name, "column stands twice")
        for name in dict.fromkeys(header)
        if header.count(name) > 1
    ]
    if not bad:
        bad = [BadCell(file, 1, "-", f"columns out of order; the order is {','.join(wanted)}")]
    return bad


def _row(
    file: str, table: str, line: int, header: list[str], cells: list[str]
) -> Placed | list[BadCell]:
    if len(cells) != len(header):
        reason = f"{len(cells)} cells where the header has {len(header)}"
        return [BadCell(file, line, "-", reason)]
    given = {name: cell or None for name, cell in zip(header, cells, strict=True)}
    try:
        return Placed(file, line, rows.TABLES[table].model_validate(given))
    except ValidationError as error:
        return [
            BadCell(file, line, str(one["loc"][0]) if one["loc"] else "-", _reason(one))
            for one in error.errors(include_url=False)
        ]


def _reason(error: Mapping[str, object]) -> str:
    if error["input"] is None:
        return "may not be empty"
    message = str(error["msg"]).removeprefix("Value error, ")
    given = repr(error["input"])
    return message if given in message else f"{given}: {message[:1].lower()}{message[1:]}"


def _order(table: str, placed: list[Placed]) -> list[BadCell]:
    """Rows out of the order of their key; twice the same key is told by `_shared_ids`."""
    column = rows.key_column(table)

    def rank(one: Placed) -> tuple[float, str]:
        return (float(one.id) if table == "releases" else 0.0, one.id)

    return [
        after.bad(column, f"{after.id!r} stands after {before.id!r}; rows are sorted by {column}")
        for before, after in pairwise(placed)
        if rank(after) < rank(before)
    ]


def _shared_ids(tables: Tables) -> list[BadCell]:
    """Ids used twice, in one table or over all of them."""
    first: dict[str, Placed] = {}
    bad = []
    for table, placed in tables.items():
        for one in placed:
            name = f"release {one.id}" if table == "releases" else one.id
            other = first.setdefault(name, one)
            if other is not one:
                where = f"{other.file}:{other.line}"
                reason = f"{one.id!r} is already the id of {where}"
                bad.append(one.bad(rows.key_column(table), reason))
    return bad


def _strangers(folder: Path) -> list[BadCell]:
    known = {f"{table}.csv" for table in rows.TABLES}
    return [
        BadCell(path.name, 1, "-", "no table has this name")
        for path in sorted(folder.glob("*.csv"))
        if path.name not in known
    ]
