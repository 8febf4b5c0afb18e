"""A table as people write it: CSV out of a spreadsheet, read without being told how it was made.

Taken as they come: comma, semicolon, tab or bar between cells; UTF-8 with or without byte-order
mark, UTF-16 with one, or the older one-byte encoding of western spreadsheets; a first line such as
`sep=;`; any line end; blank lines; a decimal comma; a unit in the header (`OD (mm)`, `bore [in]`,
`depth_mm`) or in the cell. What a cell means is not decided here: cells leave as text, the unit of
their column beside them.

    table = loose_csv.read(path)          # the header, how it is written; nothing else is held
    for row in table.rows():              # one at a time, however long the file
        row.line, row.cells["outer"], row.problems
        table.quantity("outer", row.cells["outer"])   # "38,105" -> "38.105 mm"
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

from specdb.errors import BadCell, BadRequest

SAMPLE = 65_536
"""Characters looked at to find out how a table is written."""
LONGEST_CELL = 2_000
"""Characters in a cell; more is a quotation mark that was never closed."""
WIDEST = 500
"""Columns; more is no table of ours."""

_BETWEEN = ";\t,|"
_UNIT_WORDS = (
    'mm|millimetres?|millimeters?|cm|um|µm|μm|in|inch|inches|"|thou|degc|°c|degf|°f|deg|°|'
    "mpa|n|cm2|cm3|cc|mm2|mm3|s|min"
)
_IN_BRACKETS = re.compile(rf"(.+?)[\s_]*[(\[]\s*({_UNIT_WORDS})\.?\s*[)\]]", re.IGNORECASE)
_AFTER = re.compile(
    r"(.*?\S)\s*(?:[\s_,/]\s*(mm|cm|um|µm|inch|inches|thou|degc|°c|degf|°f|deg|mpa|cm2|cm3|cc)"
    r'|(?<=[\w\s.])(")|[\s,/_]\s*(in))\.?',
    re.IGNORECASE,
)
_BARE = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+|(?:[0-9]+[ -])?[0-9]+/[0-9]+)")
_COMMA = re.compile(r"[+-]?[0-9]*,([0-9]+)(?![0-9,.]).{0,20}")
_POINT = re.compile(r"[+-]?[0-9]*\.[0-9]+(?![0-9,.]).{0,20}")
_SPACES = "\ufeff\u00a0\u2007\u2009\u202f \t\r\n\x00"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its header as written, folded to a plain key, and the unit found in it."""

    written: str
    key: str
    unit: str


@dataclass(frozen=True, slots=True)
class Row:
    """A row that is not blank: the line it begins on, its cells by column key, trimmed.

    `problems`: what is wrong with its shape; its cells are not to be trusted then.
    """

    line: int
    cells: Mapping[str, str]
    problems: tuple[BadCell, ...] = ()


@dataclass(frozen=True)
class Table:
    """A table and how it is written. Rows are read from the source each time they are asked for."""

    name: str
    columns: tuple[Column, ...]
    delimiter: str
    encoding: str
    decimal_comma: bool
    _source: Path | bytes = field(repr=False)
    _units: Mapping[str, str] = field(repr=False)

    def rows(self) -> Iterator[Row]:
        """Every row with something in it, in order."""
        with _opened(self._source, self.name) as raw:
            records = _records(raw, self.encoding, self.delimiter, self.name)
            next(records, None)
            for line, cells, broken in records:
                if broken:
                    yield Row(line, {}, (BadCell(self.name, line, "-", broken),))
                elif any(cells):
                    yield self._row(line, cells)

    def quantity(self, key: str, cell: str) -> str:
        """A cell as text that says its unit and has a decimal point."""
        text = cell
        if self.decimal_comma and _COMMA.fullmatch(text):
            text = text.replace(",", ".", 1)
        unit = self._units.get(key, "")
        return f"{text} {unit}" if unit and bare(text) else text

    def _row(self, line: int, cells: list[str]) -> Row:
        named = {column.key: cell for column, cell in zip(self.columns, cells, strict=False)}
        for column in self.columns[len(cells) :]:
            named[column.key] = ""
        over = [cell for cell in cells[len(self.columns) :] if cell]
        if not over:
            return Row(line, named)
        hint = "; a decimal comma wants quotation marks" if self.delimiter == "," else ""
        why = f"{len(cells)} cells under {len(self.columns)} columns{hint}"
        return Row(line, named, (BadCell(self.name, line, "-", why),))


def read(source: Path | bytes, name: str = "") -> Table:
    """The header of a table and how it is written.

    Raises `BadRequest` for a file that cannot be opened or holds no header, and for two columns of
    one name.
    """
    name = name or (source.name if isinstance(source, Path) else "table")
    encoding = _encoding(source, name)
    delimiter = _delimiter(source, name, encoding)
    with _opened(source, name) as raw:
        records = _records(raw, encoding, delimiter, name)
        line, header, broken = next(records, (0, [], "it is empty"))
        if broken or not any(header):
            raise _refused(name, broken or "it is empty", line)
        sample = [cells for _, cells, _ in _some(records)]
    columns = _columns(header, name, line)
    return Table(
        name=name,
        columns=columns,
        delimiter=delimiter,
        encoding=encoding,
        decimal_comma=_decimal_comma(sample, delimiter),
        _source=source,
        _units={column.key: column.unit for column in columns},
    )


def bare(text: str) -> bool:
    """Whether a text is a number and nothing else, a fraction such as `1 1/2` too."""
    return bool(_BARE.fullmatch(text))


def fold(text: str) -> str:
    """A header or a word as a plain key: `Outside dia.` -> `outside_dia`."""
    return re.sub(r"[\W_]+", "_", text.casefold()).strip("_")


def _columns(header: list[str], name: str, line: int) -> tuple[Column, ...]:
    while header and not header[-1]:
        header = header[:-1]
    if len(header) > WIDEST:
        raise _refused(name, f"{len(header)} columns, at most {WIDEST} are read", line)
    columns: list[Column] = []
    for place, written in enumerate(header, start=1):
        name_alone, unit = header_unit(written)
        key = fold(name_alone) or f"column_{place}"
        twin = next((each for each in columns if each.key == key), None)
        if twin is not None:
            raise _refused(name, f"two columns are called {written[:60]!r}", line)
        columns.append(Column(written, key, unit))
    return tuple(columns)


def header_unit(written: str) -> tuple[str, str]:
    """A header without its unit, and the unit."""
    if match := _IN_BRACKETS.fullmatch(written) or _AFTER.fullmatch(written):
        name, *units = match.groups()
        return name, next(unit for unit in units if unit)
    return written, ""


def _decimal_comma(sample: list[list[str]], delimiter: str) -> bool:
    """Whether a comma in a number is its decimal mark all through the table.

    Where cells are not parted by commas it is, unless decimal points are written too; else it
    takes a number that cannot mean anything else.
    """
    cells = [cell for row in sample for cell in row]
    commas = [match for cell in cells if (match := _COMMA.fullmatch(cell))]
    if not commas or any(_POINT.fullmatch(cell) for cell in cells):
        return False
    return delimiter != "," or any(len(match[1]) != 3 for match in commas)


def _records(
    raw: BinaryIO, encoding: str, delimiter: str, name: str
) -> Iterator[tuple[int, list[str], str]]:
    """Line, trimmed cells and what broke, of each record; the header comes first, blank lines and
    a `sep=` line before it left out."""
    text = io.TextIOWrapper(raw, encoding=encoding, errors="replace", newline="")
    reader = csv.reader(_limited(text), delimiter=delimiter)
    started = False
    while True:
        line = reader.line_num + 1
        try:
            cells = [cell.strip(_SPACES) for cell in next(reader)]
        except StopIteration:
            text.detach()  # whoever opened the file closes it
            return
        except csv.Error as error:
            yield line, [], f"cannot be read as a row: {error}"
            continue
        if not started and (not any(cells) or "".join(cells).casefold().startswith("sep=")):
            continue
        started = True
        if any(len(cell) > LONGEST_CELL for cell in cells):
            yield line, [], "a cell too long; is a quotation mark left open?"
        else:
            yield line, cells, ""


def _limited(text: io.TextIOWrapper) -> Iterator[str]:
    """The lines of a text, none longer than a table's can be: memory stays bounded."""
    longest = LONGEST_CELL * 50
    while piece := text.readline(longest):
        yield piece


def _some(records: Iterator[tuple[int, list[str], str]]) -> Iterator[tuple[int, list[str], str]]:
    seen = 0
    for record in records:
        yield record
        seen += sum(map(len, record[1])) + 1
        if seen > SAMPLE:
            return


def _delimiter(source: Path | bytes, name: str, encoding: str) -> str:
    """What stands between the cells of the header: the mark that makes most of them."""
    with _opened(source, name) as raw:
        text = io.TextIOWrapper(raw, encoding=encoding, errors="replace", newline="")
        for line in _limited(text):
            head = line.strip(_SPACES)
            if head.casefold().startswith("sep=") and head[4:5] in _BETWEEN and len(head) == 5:
                return head[4]
            if head.strip(_BETWEEN + " "):
                bare = re.sub(r'"[^"]*"', "", head)
                return max(_BETWEEN, key=lambda mark: (bare.count(mark), -_BETWEEN.index(mark)))
    return ","


def _encoding(source: Path | bytes, name: str) -> str:
    with _opened(source, name) as raw:
        start = raw.read(4)
        if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            return "utf-16"
        decoder = codecs.getincrementaldecoder("utf-8")()
        try:
            decoder.decode(start)
            while piece := raw.read(SAMPLE):
                decoder.decode(piece)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return "cp1252"
    return "utf-8-sig"


def _opened(source: Path | bytes, name: str) -> BinaryIO:
    if isinstance(source, bytes):
        return io.BytesIO(source)
    try:
        return source.open("rb")
    except (OSError, ValueError) as error:
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise BadRequest(
            f"the table {name} cannot be opened: {reason}.",
            hint="Accepted: a CSV file that this user may read.",
            field="file",
        ) from None


def _refused(name: str, why: str, line: int) -> BadRequest:
    at = f", line {line}" if line else ""
    return BadRequest(
        f"the table {name} cannot be read{at}: {why}.",
        hint="Accepted: CSV with one line of column names and one line for each row.",
        field="file",
    )
