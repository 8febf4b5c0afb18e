"""From rows of a table to the readings of seats, every bad row with its column and reason."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from specdb.answers.ask import request_of
from specdb.answers.head_columns import LISTS, arguments
from specdb.answers.head_positions import USUAL, Positions
from specdb.answers.registry import find
from specdb.errors import BadRequest, MissingArguments, Misuse
from specdb.records.head import BadRow
from specdb.records.seat import SeatReadings
from specdb.records.some import some
from specdb.store import loose_csv

_BETWEEN = re.compile(r"\s*[;|]\s*")

NEEDED = ("head", "insert")
"""What every seat needs besides its bore, told by a column or for all seats."""
ASSUMED = f"every seat is an {USUAL} seat: no column of the table says which valve (position)"

Given = tuple[int, SeatReadings | BadRow]


class SeatTable:
    """The seats of a table, read anew each time they are asked for; of them only `remarks` is held,
    what is to be said of a few rows, by their lines.

    `common`: arguments for rows that do not give them; `assumed`: what neither column nor `common`
    tells. Raises `BadRequest` for a table that cannot be read or lacks what every seat needs, and
    `UnknownName` for columns that are no argument.
    """

    def __init__(self, source: Path | bytes, common: Mapping[str, Any], name: str = "") -> None:
        self._table = loose_csv.read(source, name)
        self._common = dict(common)
        self._argument = arguments(self._table)
        self._label = next((key for key, name in self._argument.items() if name == "label"), "")
        if "bore" not in self._argument.values():
            raise BadRequest(
                f"the table {self._table.name} has no column for the counterbore's readings.",
                hint="Accepted: bore, or bore_1, bore_2, ... besides label, head, insert, ...",
                field="bore",
            )
        told = {*self._argument.values(), *self._common}
        if missing := [name for name in NEEDED if name not in told]:
            raise MissingArguments(
                "head", missing, hint="Accepted: told for all seats, or a column of the table."
            )
        self._positions = Positions(self._written("position"), self._common.get("position"))
        self.remarks: dict[int, str] = {}
        self.assumed = () if "position" in told else (ASSUMED,)

    def _written(self, argument: str) -> str:
        """How the column of an argument is headed; empty where there is none."""
        found = (each for each in self._table.columns if self._argument[each.key] == argument)
        return next((each.written for each in found), "")

    def __iter__(self) -> Iterator[Given]:
        """Each row's line with its readings, or with what is wrong with it."""
        for place, row in enumerate(self._table.rows(), start=1):
            label = row.cells.get(self._label, "") or f"seat {place}"
            if row.problems:
                yield (
                    row.line,
                    BadRow(row=row.line, label=None, column="-", reason=row.problems[0].reason),
                )
            else:
                yield row.line, self._seat(row, label)

    def _seat(self, row: loose_csv.Row, label: str) -> SeatReadings | BadRow:
        asked: dict[str, Any] = {"label": label}
        columns: dict[str, str] = {}
        for column in self._table.columns:
            name, cell = self._argument[column.key], row.cells.get(column.key, "")
            if name and cell:
                columns.setdefault(name, column.written)
                text = self._table.quantity(column.key, cell)
                if name in LISTS:
                    asked.setdefault(name, []).extend(_BETWEEN.split(text))
                else:
                    asked[name] = text
        for name, value in self._common.items():
            asked.setdefault(name, value)
        place = self._positions.of(label, asked.get("position"))
        if place.wrong:
            return BadRow(
                row=row.line, label=label, column=self._positions.column, reason=place.wrong
            )
        if place.remark:
            self.remarks[row.line] = place.remark
        asked["position"] = place.position
        return checked(asked, row.line, columns)


def checked(
    asked: Mapping[str, Any], line: int, columns: Mapping[str, str]
) -> SeatReadings | BadRow:
    """The readings of a row, or what is wrong with it under the column's own name."""
    try:
        seat = request_of(find("seat"), asked)
    except Misuse as error:
        return bad_row(error, line, str(asked.get("label", "")), columns)
    assert isinstance(seat, SeatReadings)
    return seat


def bad_row(
    error: Exception, line: int, label: str | None, columns: Mapping[str, str] | None = None
) -> BadRow:
    """What is wrong with a row, from the error that said so."""
    field = getattr(error, "field", "")
    reason = " ".join(str(error).split())
    if isinstance(error, MissingArguments):
        reason = f"not told in this row, nor for all seats: {', '.join(error.missing)}"
    return BadRow(
        row=line,
        label=label or None,
        column=(columns or {}).get(field, field) or "-",
        reason=reason.removeprefix(f"{field}: ") if field else reason,
    )


class Alike(NamedTuple):
    """Rows with the same thing wrong: which, and their seats, both in words."""

    rows: str
    labels: str
    column: str
    reason: str


def alike(bad: Iterable[BadRow]) -> list[Alike]:
    """What is wrong, once for all the rows it is wrong with, in the order of the first."""
    found: dict[tuple[str, str], list[BadRow]] = {}
    for each in bad:
        found.setdefault((each.column, each.reason), []).append(each)
    return [
        Alike(
            some([str(each.row) for each in rows]),
            some([each.label for each in rows if each.label]),
            *why,
        )
        for why, rows in found.items()
    ]
