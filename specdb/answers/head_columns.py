"""Which argument a column of a head's table gives, in the words a shop heads its columns with.

A heading that may mean two things is decided by most of its cells where these can mean only one,
else refused with both: an odd cell spoils its own row, not the file. Every heading nobody
understands is named at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from specdb.errors import BadRequest, UnknownName, nearest
from specdb.records import trade_words
from specdb.records.seat import SeatReadings
from specdb.store import loose_csv

LISTS = ("bore", "bore_bottom", "measured_at", "available", "prefer")
"""Arguments that take several values: `bore`, or `bore_1`, `bore_2`, ..."""
_SAID = {
    "label": "seat, name, no, nr, number, seat_no, seat_number, seat_name",
    "position": "valve_position, in_ex, in_exh, inlet_exhaust, intake_exhaust, inlet_or_exhaust",
    "bore": "counterbore, cb, pocket, bore_dia, bore_diameter, bore_d, counterbore_dia, "
    "counterbore_diameter, cb_dia, pocket_dia, bore_ø, bore_top, reading, readings",
    "bore_bottom": "bore_floor, bottom, bore_bot",
    "depth": "counterbore_depth, bore_depth, cb_depth, pocket_depth, seat_depth",
    "valve_diameter": "valve_dia, valve_od, valve_d, valve_head, valve_size, valve_head_dia, "
    "valve_head_diameter, dia_valve, valve_ø, ø_valve",
    "pilot": "guide_pilot, pilot_dia, pilot_diameter, pilot_od, pilot_d",
    "runout": "run_out, tir, total_runout, total_run_out",
    "throat": "throat_dia, throat_diameter, port, port_dia, port_diameter",
    "margin": "valve_margin, rim, valve_rim",
    "recess": "valve_recess",
    "old_insert": "old_ring, old_insert_od, old_ring_od, old_od, old_insert_dia, old_ring_dia",
    "old_insert_class": "old_ring_class, old_ring_material, old_insert_material",
    "insert": "ring, ring_material, insert_material, insert_class, ring_class, new_ring",
    "head": "head_material, casting",
    "pit_depth": "pits, pit, pitting",
    "bridge": "bridge_width",
    "hardness_hb": "hardness, hb",
}
"""Argument -> what its column may be called besides; without its unit, words joined by `_`."""
_ALSO = {said: name for name, words in _SAID.items() for said in words.split(", ")}
_MAY_BE = {
    "valve": ("position", "valve_diameter", "label"),
    "pos": ("position", "label"),
    "od": ("bore", "old_insert"),
    "outside_dia": ("bore", "old_insert"),
    "id": ("label", "throat", "inner_max"),
    "dia": ("bore", "valve_diameter"),
    "diameter": ("bore", "valve_diameter"),
    "ø": ("bore", "valve_diameter"),
    "d": ("bore", "valve_diameter", "depth"),
    "size": ("bore", "valve_diameter"),
    "height": ("depth", "height_max"),
    "material": ("head", "insert"),
    "class": ("insert", "old_insert_class"),
    "angle": ("seat_angle",),
    "width": ("seat_width",),
}
"""Headings that may mean several arguments, most likely first."""
_PASSED = ("note", "notes", "remark", "remarks", "comment", "comments", "job", "date")
"""Columns for people; nothing is read from them."""
_COUNTED = re.compile(rf"({'|'.join((*LISTS, *_ALSO))})_?(?:\d+|[abxy])")
LOOKED_AT = 50
"""Rows whose cells are looked at to find out what a heading means."""


def arguments(table: loose_csv.Table) -> dict[str, str]:
    """Column key -> the argument it gives, or an empty text for a column for people.

    Raises `UnknownName` naming every column that is none, `BadRequest` for two that are the same.
    """
    found = {column.key: _argument(column) for column in table.columns}
    open_ones = [column for column in table.columns if found[column.key] is None]
    cells = _cells(table, [column.key for column in open_ones]) if open_ones else {}
    for column in open_ones:
        found[column.key] = _by_cells(column, cells[column.key])
    _refuse([column for column in table.columns if found[column.key] is None])
    named = {key: name for key, name in found.items() if name is not None}
    _refuse_twins(table, named)
    return named


def _argument(column: loose_csv.Column) -> str | None:
    """The argument a heading alone says; None where it says none."""
    key = column.key
    if key in known():
        return key
    if key in _ALSO:
        return _ALSO[key]
    if counted := _COUNTED.fullmatch(key):
        name = _ALSO.get(counted[1], counted[1])
        if name in LISTS:
            return name
    return "" if key in _PASSED or not column.written else None


def _by_cells(column: loose_csv.Column, cells: Sequence[str]) -> str | None:
    """What the cells say of a heading that may mean several things."""
    may = _MAY_BE.get(column.key, ())
    if "position" in may and cells and 2 * sum(map(_is_position, cells)) >= len(cells):
        return "position"
    if column.key == "valve" and column.unit:
        return "valve_diameter"
    return may[0] if len(may) == 1 else None


def _is_position(cell: str) -> bool:
    said = trade_words.fold(cell)
    return said in ("intake", "exhaust") or said in trade_words.WORDS["position"]


def _cells(table: loose_csv.Table, keys: Iterable[str]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {key: [] for key in keys}
    for place, row in enumerate(table.rows()):
        if place == LOOKED_AT:
            break
        for key, cells in found.items():
            if cell := row.cells.get(key, ""):
                cells.append(cell)
    return found


def _refuse(unknown: Sequence[loose_csv.Column]) -> None:
    """Name every column nobody understands, each with what it may be."""
    if not unknown:
        return
    error = UnknownName(
        "column of a head's table", unknown[0].written, known(), field=unknown[0].key
    )
    told = ", ".join(repr(column.written[:60]) for column in unknown)
    if len(unknown) > 1:
        error.message = f"no columns of a head's table are called {told}."
    meant = [f"{column.written[:60]}: {_meant(column)}" for column in unknown]
    error.hint = (
        f"{'; '.join(meant)}. Nothing is read from columns called {', '.join(_PASSED[::2])}."
    )
    raise error


def _meant(column: loose_csv.Column) -> str:
    key = column.key
    may = _MAY_BE.get(key) or tuple(
        dict.fromkeys(_ALSO.get(each, each) for each in nearest(key, [*known(), *_ALSO]))
    )
    return f"did you mean {' or '.join(may)}" if may else "like none that is known"


def _refuse_twins(table: loose_csv.Table, named: Mapping[str, str]) -> None:
    """Two columns that give the same single argument contradict each other."""
    first: dict[str, str] = {}
    for column in table.columns:
        name = named[column.key]
        if not name or name in LISTS:
            continue
        if name in first:
            raise BadRequest(
                f"columns {first[name]!r} and {column.written!r} both give {name}.",
                hint=f"Accepted: one of them. Call the other {_PASSED[0]} to pass it by.",
                field=name,
            )
        first[name] = column.written


@lru_cache(maxsize=1)
def known() -> Mapping[str, object]:
    """Every argument a column may give."""
    return SeatReadings.model_fields
