"""A shop's own list from a file into the shop's database, and out again."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, get_args

from specdb.answers import recommended
from specdb.answers.recommended import Case
from specdb.answers.stock_rows import RowReader, Sorter
from specdb.answers.told import Told, nobody
from specdb.errors import BadCell, BadData, BadRequest, Misuse, StoreError, UnknownName
from specdb.records.sizes import GENERIC
from specdb.records.stock import FIELDS, NEEDED, CellChange, ImportReport, ListNote, OdMeans
from specdb.store import loose_csv
from specdb.store.asof import Reader
from specdb.store.query import interference as range_rows
from specdb.store.query import stock as stock_rows
from specdb.store.stock import place as places
from specdb.store.stock.held import open_held

if TYPE_CHECKING:
    from specdb.store.stock.write import Changes

LONGEST_NAME = 60
TAKEN = (GENERIC, places.NOWHERE)
"""Names a list cannot have: the generic sizes, and what says "no lists"."""
_EXPORTED = ("part", "outer", "inner", "height", "material", "class", "qty", "tolerance", "note")
_MARKS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


def import_list(
    reader: Reader,
    file: Path | bytes,
    name: str,
    *,
    stock: str | Path | None = None,
    od_means: str | None = None,
    columns: Mapping[str, str] = {},
    materials: Mapping[str, str] = {},
    units: str = "",
    told: Told = nobody,
) -> ImportReport:
    """Make the list `name` hold what `file` says, whole or not at all, and say what changed.

    `columns`: header -> field of `records.stock.FIELDS`, over what is guessed; `materials`: a
    shop's word -> insert class or material, the word `""` for empty cells; `units`: the unit of
    plain numbers that have none. Raises BadRequest for a table that cannot be read or where nobody
    has said what its outside diameter means, BadData with every bad cell, StoreError where the
    database cannot be written; each leaves the list as it was.
    """
    from specdb.store.stock import write

    name = _name(name)
    where = _where(stock)
    before = _before(where, name)
    table = loose_csv.read(file)
    fields = _fields(table, columns)
    sorter = Sorter(reader, {k: v for k, v in materials.items() if k}, materials.get("", ""))
    rows = RowReader(table, fields, sorter, _length_unit(units))
    means = _od_means(reader, od_means or (before or {}).get("od_means"), name, table, fields, rows)
    rings = _read(table, rows, name, told)
    told("writing", len(rings))
    done = write.replace(where, name, means, rings)
    read = _Read(table, fields, means, sorter.used, rings)
    return _report(name, places.shown(where), read, done)


class _Read(NamedTuple):
    """A list as it was read, and how."""

    table: loose_csv.Table
    fields: Mapping[str, str]
    means: OdMeans
    materials: Mapping[str, str]
    rings: list[dict[str, Any]]


def _report(name: str, where: str, read: _Read, done: Changes) -> ImportReport:
    """What was understood of the file, and what it changed."""
    table, fields = read.table, read.fields
    headers = {column.key: column.written for column in table.columns}
    return ImportReport(
        list=name,
        stock=where,
        od_means=read.means,
        od_means_before=done.od_means_before if done.od_means_before != read.means else None,
        rings=len(read.rings),
        none_left=sum(not ring["on_shelf"] for ring in read.rings),
        written=_written(table),
        columns={field: headers[key] for field, key in fields.items()},
        not_used=tuple(
            column.written for column in table.columns if column.key not in fields.values()
        ),
        materials=dict(sorted(read.materials.items())),
        added=done.added,
        changed=tuple(
            CellChange(part=part, column=column, before=was, after=now)
            for part, cells in done.changed
            for column, (was, now) in cells.items()
        ),
        removed=done.removed,
        unchanged=done.unchanged,
        digest=done.digest,
    )


def lists(stock: str | Path | None = None) -> tuple[ListNote, ...]:
    """Every list of a stock, in the order of names."""
    where = places.found(stock)
    if where is None:
        return ()
    held = open_held(where)
    try:
        rows = stock_rows.lists(held)
    finally:
        held.close()
    return tuple(
        ListNote(
            list=row["name"],
            od_means=row["od_means"],
            rings=row["rings"],
            digest=row["digest"],
            imported_at=row["imported_at"],
        )
        for row in rows
    )


def remove_list(name: str, stock: str | Path | None = None) -> int:
    """Take a list out; how many rings it held. Raises UnknownName."""
    from specdb.store.stock import write

    where = places.found(stock)
    if where is None or (isinstance(where, Path) and not where.exists()):
        raise UnknownName("list", name, [], field="list")
    return write.remove(where, name)


def upgrade(stock: str | Path | None = None) -> tuple[str, str]:
    """Bring the tables of a stock up to date; where it is, and their version then.

    Raises StoreError where there is none, or it cannot be done.
    """
    from specdb.store.stock import write

    where = places.searched(stock)
    if where is None:
        raise StoreError("there are no own lists to bring up to date.")
    return places.shown(where), write.upgrade(where)


def export_list(name: str, stock: str | Path | None = None) -> str:
    """A list as CSV that an import reads back to the same digest; cells as they were written, each
    with the unit its column had. Raises UnknownName."""
    where = places.found(stock)
    if where is None:
        raise UnknownName("list", name, [], field="list")
    held = open_held(where)
    try:
        with held.snapshot():
            found = stock_rows.one_list(held, name)
            if found is None:
                known = [row["name"] for row in stock_rows.lists(held)]
                raise UnknownName("list", name, known, field="list")
            rows = stock_rows.rings(held, found["id"])
    finally:
        held.close()
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_EXPORTED)
    writer.writerows(
        [["" if row[each] is None else row[each] for each in _EXPORTED] for row in rows]
    )
    return text.getvalue()


def _name(name: str) -> str:
    name = name.strip()
    if not name or len(name) > LONGEST_NAME or not name.isprintable() or name.casefold() in TAKEN:
        raise BadRequest(
            f"list: {name[:LONGEST_NAME]!r} is no name for a list.",
            hint=f"Accepted: up to {LONGEST_NAME} printable characters, not {' or '.join(TAKEN)}.",
            field="list",
        )
    return name


def _where(stock: str | Path | None) -> str | Path:
    where = places.wanted(stock)
    if where is None:
        raise BadRequest(
            "stock: 'none' is no place to put a list.",
            hint="Accepted: the path of a file, or a server's URL.",
            field="stock",
        )
    return where


def _before(where: str | Path, name: str) -> dict[str, Any] | None:
    held = open_held(where, new=True)
    try:
        return stock_rows.one_list(held, name)
    finally:
        held.close()


def _length_unit(word: str) -> str:
    if not word:
        return ""
    from specdb import units

    try:
        units.read(f"1 {word}", "length")
    except Misuse:
        raise BadRequest(
            f"units: {word[:40]!r} is no unit of length.", hint="Accepted: mm or in.", field="units"
        ) from None
    return word


def _fields(table: loose_csv.Table, told: Mapping[str, str]) -> dict[str, str]:
    """Field -> key of its column: as told, else by the words of its header."""
    keys = {column.key: column for column in table.columns}
    fields: dict[str, str] = {}
    for header, field in told.items():
        (bare, _) = loose_csv.header_unit(header)
        key = next(
            (each for each in (loose_csv.fold(header), loose_csv.fold(bare)) if each in keys), None
        )
        if key is None:
            written = [column.written for column in table.columns]
            raise UnknownName("column", header, written, field="map")
        if field not in FIELDS:
            raise UnknownName("field of a list", field, FIELDS, field="map")
        fields[field] = key
    for field, words in FIELDS.items():
        free = [word for word in words if word in keys and word not in fields.values()]
        if field not in fields and free:
            fields[field] = free[0]
    missing = [field for field in NEEDED if field not in fields]
    if missing:
        raise BadRequest(
            f"{table.name} has no column known to be {', '.join(missing)}; "
            f"its columns are {', '.join(column.written for column in table.columns)[:400]}.",
            hint=f"Say which it is: --map COLUMN={missing[0]}.",
            field="map",
        )
    return fields


def _read(table: loose_csv.Table, rows: RowReader, name: str, told: Told) -> list[dict[str, Any]]:
    """Every ring of the table. Raises BadData with all that is wrong, BadRequest for no ring."""
    rings: list[dict[str, Any]] = []
    bad: list[BadCell] = []
    for done, row in enumerate(table.rows(), start=1):
        told("rows", done)
        ring, wrong = rows.ring(row)
        bad += wrong
        if ring is not None:
            rings.append(ring)
    if bad:
        raise BadData(bad)
    if not rings:
        raise BadRequest(
            f"{table.name} holds no rings; the list {name!r} is as it was.",
            hint="To empty a list, remove it: specdb stock remove.",
            field="file",
        )
    return rings


def _od_means(
    reader: Reader,
    said: str | None,
    name: str,
    table: loose_csv.Table,
    fields: Mapping[str, str],
    rows: RowReader,
) -> OdMeans:
    for word in get_args(OdMeans):
        if said == word:
            return word  # type: ignore[no-any-return]
    if said is not None:
        raise BadRequest(
            f"od_means: {said[:40]!r} is not accepted.",
            hint="Accepted: ring or counterbore.",
            field="od_means",
        )
    raise BadRequest(
        f"nobody has said yet what the outside diameter of the list {name!r} means, and it is "
        "never guessed.",
        hint=_both_readings(reader, table, fields, rows) + "\nSay which: --od-means "
        "ring|counterbore; it is remembered for this list.",
        field="od_means",
    )


def _both_readings(
    reader: Reader, table: loose_csv.Table, fields: Mapping[str, str], rows: RowReader
) -> str:
    """The first row that can be read, in both senses."""
    for row in table.rows():
        outer = rows.outer(row)
        if outer is not None:
            break
    else:
        return "Either the ring as it is, or the counterbore it is meant for."
    least, most = _usual_press(reader, outer)
    part = row.cells.get(fields["part"], "")
    return (
        f"Its first row, line {row.line}, part {part!r}, says {row.cells[fields['outer']]}:\n"
        f"  ring:        the ring measures {outer:.3f} mm; it goes into a bore of "
        f"{outer - most:.3f} to {outer - least:.3f} mm\n"
        f"  counterbore: the bore is {outer:.3f} mm; the ring measures about "
        f"{outer + least:.3f} to {outer + most:.3f} mm\n"
        f"  (with a press of {least:.3f} to {most:.3f} mm, as in an aluminium head)"
    )


def _usual_press(reader: Reader, diameter: float) -> tuple[float, float]:
    """The recommended press of any ring in aluminium at a diameter, or at the nearest known."""
    found = range_rows.recommended(
        reader,
        "seat-insert",
        "aluminium",
        insert_classes=("any",),
        position="any",
        low=0.0,
        high=1e6,
    )
    segments = recommended.segments(found, Case(("any",), "any"))
    near = recommended.closest(segments, diameter)
    return (near.minimum_mm, near.maximum_mm) if near else (0.0, 0.0)


def _written(table: loose_csv.Table) -> str:
    """How the table was found to be written, in words."""
    comma = "decimal commas" if table.decimal_comma else "decimal points"
    return f"cells parted by {_MARKS.get(table.delimiter, table.delimiter)}, {comma}"
