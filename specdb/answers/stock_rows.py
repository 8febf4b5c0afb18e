"""From the cells of a list to rings: every cell that cannot be is reported, not only the first."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from specdb import units
from specdb.answers import names
from specdb.errors import BadCell, BadQuantity, SpecdbError
from specdb.store import loose_csv
from specdb.store.asof import Reader

BOUNDS = {"outer": (5.0, 200.0), "inner": (1.0, 200.0), "height": (1.0, 100.0)}
"""Size -> least and greatest, mm; beyond them the unit was misread or a digit slipped."""
LEAST_WALL_MM = 0.5
MOST_TOLERANCE_MM = 0.5
LONGEST = {"part": 80, "note": 500, "material": 120, "class": 120}
MOST_QTY = 10**9
_EMPTY = ("", "-", "–", "?", "n/a")


@dataclass
class Sorter:
    """Which class or material a shop's word means; asks the data once for each word.

    `meant`: word as the shop writes it -> class or material; `otherwise`: for an empty cell.
    """

    reader: Reader
    meant: Mapping[str, str]
    otherwise: str = ""
    _known: dict[str, str | SpecdbError] = field(default_factory=dict)
    used: dict[str, str] = field(default_factory=dict)

    def made_of(self, cell: str) -> str:
        """The class, or the material where it is of no one class; raises what is wrong."""
        word = cell if cell not in _EMPTY else self.otherwise
        if not word:
            raise BadQuantity(cell, understood="nothing", accepted=_A_CLASS, why="no material")
        if word not in self._known:
            self._known[word] = self._ask(word)
        found = self._known[word]
        if isinstance(found, SpecdbError):
            raise found
        self.used[cell or "(empty)"] = found
        return found

    def _ask(self, word: str) -> str | SpecdbError:
        told = {loose_csv.fold(key): value for key, value in self.meant.items()}
        try:
            ring = names.ring(self.reader, told.get(loose_csv.fold(word), word))
        except SpecdbError as error:
            option = shlex.quote(f"{word}=CLASS")
            error.hint = f"{error.hint} Say at every import what it means: --material {option}."
            return error
        return ring.insert_class or ring.material


_A_CLASS = "an insert class or a ring material; --material CLASS says it for all empty cells"


class RowReader:
    """Reads the rows of one table. `columns`: field -> key of its column; `plain_unit`: the unit of
    plain numbers that no header gives one."""

    def __init__(
        self,
        table: loose_csv.Table,
        columns: Mapping[str, str],
        sorter: Sorter,
        plain_unit: str = "",
    ) -> None:
        self._table = table
        self._columns = columns
        self._sorter = sorter
        self._plain = plain_unit
        self._headers = {column.key: column.written for column in table.columns}
        self._parts: dict[str, int] = {}

    def ring(self, row: loose_csv.Row) -> tuple[dict[str, Any] | None, list[BadCell]]:
        """A ring with the columns of `stock_rings`, or None and all that is wrong with the row."""
        bad: list[BadCell] = list(row.problems)
        if bad:
            return None, bad
        cells = {name: row.cells.get(key, "") for name, key in self._columns.items()}
        sizes = {name: self._checked(row, name, self._size, cells, bad) for name in BOUNDS}
        lower, upper = self._checked(row, "tolerance", self._tolerance, cells, bad) or (0.0, 0.0)
        qty = self._checked(row, "qty", _qty, cells, bad)
        place = "class" if cells.get("class", "") not in _EMPTY else "material"
        made_of = self._checked(row, place, lambda _, cell: self._sorter.made_of(cell), cells, bad)
        part = self._checked(row, "part", self._part(row.line), cells, bad)
        bad += self._proportions(row, sizes)
        for name in ("note", "material", "class"):
            if len(cells.get(name, "")) > LONGEST[name]:
                bad.append(self._bad(row, name, f"longer than {LONGEST[name]} characters"))
        if bad:
            return None, bad
        return {
            "part": part,
            "place": row.line,
            "made_of": made_of,
            "on_shelf": 0 if qty == 0 else 1,
            **{f"{name}_mm": value for name, value in sizes.items()},
            "outer_minus_mm": 0.0 - lower,
            "outer_plus_mm": upper,
            "qty": qty,
            **{name: self._text(name, cells[name]) for name in BOUNDS},
            "material": cells.get("material") or cells.get("class", ""),
            "tolerance": self._text("tolerance", cells.get("tolerance", "")),
            "note": cells.get("note", ""),
        }, []

    def outer(self, row: loose_csv.Row) -> float | None:
        """The outside diameter of a row, or None where it cannot be read."""
        try:
            return self._size("outer", row.cells.get(self._columns["outer"], ""))
        except SpecdbError:
            return None

    def _text(self, name: str, cell: str) -> str:
        """A cell as written, its unit with it."""
        text = self._table.quantity(self._columns.get(name, ""), cell)
        plain = self._plain and loose_csv.bare(text)
        return f"{text} {self._plain}" if plain else text

    def _size(self, name: str, cell: str) -> float:
        least, most = BOUNDS[name]
        return units.read(self._text(name, cell), "length", least=least, most=most)

    def _tolerance(self, name: str, cell: str) -> tuple[float, float]:
        if cell in _EMPTY:
            return 0.0, 0.0
        text = self._table.quantity(self._columns[name], cell)
        unit = self._plain if not any(each.isalpha() or each == '"' for each in text) else ""
        lower, upper = units.read_tolerance(f"{text} {unit}".strip())
        if max(-lower, upper) > MOST_TOLERANCE_MM:
            raise BadQuantity(
                cell,
                understood=f"{lower:g} to {upper:g} mm",
                accepted=f"at most {MOST_TOLERANCE_MM:g} mm each way",
                why="too large",
            )
        return lower, upper

    def _part(self, line: int) -> Callable[[str, str], str]:
        def read(_: str, cell: str) -> str:
            if not cell:
                raise BadQuantity(cell, understood="nothing", accepted="a part number", why="empty")
            if len(cell) > LONGEST["part"] or not cell.isprintable():
                accepted = f"up to {LONGEST['part']} printable characters"
                raise BadQuantity(cell[:40], understood="text", accepted=accepted, why="no name")
            first = self._parts.setdefault(cell, line)
            if first != line:
                accepted = "every part once"
                raise BadQuantity(cell, understood="a part", accepted=accepted, why=f"line {first}")
            return cell

        return read

    def _checked(
        self,
        row: loose_csv.Row,
        name: str,
        read: Callable[[str, str], Any],
        cells: Mapping[str, str],
        bad: list[BadCell],
    ) -> Any:
        try:
            return read(name, cells.get(name, ""))
        except SpecdbError as error:
            hint = f" {error.hint}" if error.hint else ""
            bad.append(self._bad(row, name, f"{error.message}{hint}{self._in_inches(name, cells)}"))
            return None

    def _in_inches(self, name: str, cells: Mapping[str, str]) -> str:
        """A word of help where a size looks like inches read as millimetres."""
        if self._plain or name not in ("outer", "inner"):
            return ""
        text = self._table.quantity(self._columns[name], cells[name])
        small = loose_csv.bare(text) and text.startswith(("0.", "1.", "2.", "3.", "."))
        return " Inches? Say so with --units in." if small else ""

    def _proportions(
        self, row: loose_csv.Row, sizes: Mapping[str, float | None]
    ) -> Iterator[BadCell]:
        outer, inner = sizes["outer"], sizes["inner"]
        if outer is not None and inner is not None and inner > outer - 2 * LEAST_WALL_MM:
            why = f"{inner:g} mm leaves no wall inside {outer:g} mm"
            yield self._bad(row, "inner", why)

    def _bad(self, row: loose_csv.Row, name: str, reason: str) -> BadCell:
        header = self._headers.get(self._columns.get(name, ""), name)
        return BadCell(self._table.name, row.line, header, reason)


def _qty(_: str, cell: str) -> int | None:
    if cell in _EMPTY:
        return None
    try:
        value = float(cell)
    except ValueError:
        value = -1.0
    if not (0 <= value <= MOST_QTY and value == int(value)):
        accepted = "a whole number of rings; empty where nobody counted"
        raise BadQuantity(cell[:40], understood="no count", accepted=accepted)
    return int(value)
