"""The columns of a head's table, for people: printed from the record of a row, with an example."""

from __future__ import annotations

import typing
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from pydantic.fields import FieldInfo

from specdb.answers.head_columns import LISTS
from specdb.records.quantities import OfKind
from specdb.records.seat import SeatReadings
from specdb.units import KINDS

EXAMPLE = "head.csv"
"""The example among the files that are served."""
USUAL = ("label", "position", "bore", "depth", "pilot", "valve_diameter", "x", "y")
"""The columns most tables have, in the order they are measured in."""
NEEDED = {
    "bore": "needed: at least one",
    "head": "needed, here or for all rows below the table",
    "insert": "needed, here or for all rows below the table",
    "depth": "else the height of the ring is not judged",
    "pilot": "else no tip over pilot",
    "valve_diameter": "else the seat is not planned",
    "x": "else no bridges and no map to scale",
    "y": "else no bridges and no map to scale",
}
"""What a column is needed for."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its names, what it holds, the unit of a bare number or its words."""

    name: str
    about: str
    unit: str
    needed: str


@cache
def example() -> str:
    """A small table to copy."""
    return (Path(__file__).resolve().parent / "assets" / EXAMPLE).read_text()


@cache
def columns() -> tuple[tuple[Column, ...], tuple[Column, ...]]:
    """The usual columns, then all others."""
    fields = SeatReadings.model_fields
    usual = (*USUAL, "head", "insert")
    rest = sorted(name for name in fields if name not in usual)
    return _described(usual), _described(rest)


def _described(names: typing.Iterable[str]) -> tuple[Column, ...]:
    return tuple(_column(name, SeatReadings.model_fields[name]) for name in names)


def _column(name: str, field: FieldInfo) -> Column:
    many = f"{name}_1, {name}_2, ..." if name in LISTS else name
    return Column(many, field.description or "", _unit(field), NEEDED.get(name, ""))


def _unit(field: FieldInfo) -> str:
    """The unit of a bare number, or the words a cell may hold."""
    kind = _kind(field.annotation) or next(filter(None, map(_named, field.metadata)), "")
    if kind:
        return KINDS[kind].house
    words = ("inlet" if word == "intake" else str(word) for word in _words(field.annotation))
    return " or ".join(words)


def _kind(annotation: Any) -> str:
    said = [_named(each) for each in getattr(annotation, "__metadata__", ())]
    inner = [_kind(each) for each in typing.get_args(annotation) if not isinstance(each, str)]
    return next(filter(None, (*said, *inner)), "")


def _named(note: Any) -> str:
    return note.name if isinstance(note, OfKind) else ""


def _words(annotation: Any) -> tuple[Any, ...]:
    if typing.get_origin(annotation) is typing.Literal:
        return typing.get_args(annotation)
    found = (_words(each) for each in typing.get_args(annotation) if not isinstance(each, str))
    return next(filter(None, found), ())
