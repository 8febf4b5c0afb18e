"""How an answer is laid out for reading, the same for every face: which fields, in which order.

A face turns an `Entry` into text or into a page; what is shown, what is folded away and what comes
first is decided here and in `screens.SHOWN`, so that the command line and the web say the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel

from specdb.estimate import Estimate
from specdb.records import figures
from specdb.records.answer import Answer, CautionNote
from specdb.records.screens import SHOWN
from specdb.records.sizes import GENERIC
from specdb.records.words import said, unit_of

FEW = 6
"""Rows of a long table shown unless all are asked for."""

RED = 3
"""At most so many dangers stand on top; the rest follow under Cautions."""

LOUD = 8
"""Cautions shown unless all are asked for."""

APART = (
    *("data_release", "code_version", "cautions", "facts", "assumed", "unknown", "sources"),
    "stock",
)
"""Fields every answer has, each in a place of its own."""

LEADS = {"InterferenceResult": ("interference_min_mm", "interference_max_mm")}
"""Record -> the figures that are its answer, where they come before any words."""

Kind = Literal["words", "figure", "record", "records", "pairs", "prose", "bench", "table"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of a record as a face shows it.

    `words`: a line of text. `figure`: a number with its unit, perhaps a band. `record`: a section
    of its own. `records`: sections by name. `pairs`: a mapping. `prose`: sentences. `bench`: lines
    to work from. `table`: rows of records. `path` is what `SHOWN` calls a record in this place.
    """

    field: str
    value: Any
    kind: Kind
    path: str

    @property
    def title(self) -> str:
        """The heading of a section of this kind."""
        return said(self.field).capitalize()


@dataclass(frozen=True, slots=True)
class Table:
    """The part of a table a face shows: columns, rows, and how many rows are left out."""

    fields: tuple[str, ...]
    rows: tuple[BaseModel, ...]
    left: int


def entries(record: BaseModel, name: str, *, everything: bool) -> Iterator[Entry]:
    """What there is to show of a record: what was asked for, words, figures, then each field with
    parts."""
    asked = fields(record, name, everything=everything)
    record = _ring(record, asked)
    found = [
        Entry(field, value, _kind(field, value), f"{name}.{field}")
        for field in asked
        if (value := getattr(record, field)) is not None and value not in ((), {}, "")
    ]
    leads = LEADS.get(name, ())
    yield from (entry for entry in found if entry.field in leads)
    rest = [entry for entry in found if entry.field not in leads]
    for kinds in (("words",), ("figure",)):
        yield from (entry for entry in rest if entry.kind in kinds)
    yield from (entry for entry in rest if entry.kind not in ("words", "figure"))


def fields(record: BaseModel, name: str, *, everything: bool) -> list[str]:
    """The fields a screen shows of a record found at `name`, in order."""
    every = [each for each in type(record).model_fields if each not in APART]
    if everything:
        return every
    shown = SHOWN.get(name) or SHOWN.get(type(record).__name__)
    return list(shown) if shown else every


def table(rows: tuple[BaseModel, ...], path: str, *, everything: bool) -> Table:
    """The columns and rows of a table that are worth showing."""
    shown = rows if everything else rows[:FEW]
    columns = tuple(
        field
        for field in fields(shown[0], path, everything=everything)
        if not holds_records(getattr(shown[0], field))
        and any(getattr(row, field) is not None for row in shown)
    )
    return Table(columns, tuple(_ring(row, columns) for row in shown), len(rows) - len(shown))


def _ring(record: BaseModel, asked: Iterable[str]) -> BaseModel:
    """A ring of a shop's own list with its part beside the list's name, unless `size` is shown too:
    that is what is fetched. Where its diameter is reckoned from the counterbore the list gives,
    the row says so."""
    origin, part = getattr(record, "origin", GENERIC), getattr(record, "size", None)
    if origin == GENERIC or part is None:
        return record
    named = origin if "size" in asked else f"{origin}: {part}"
    if getattr(record, "listed_mm", None) not in (None, getattr(record, "outer_mm", None)):
        named += ", outside reckoned: measure"
    return record.model_copy(update={"origin": named})


def words(field: str, value: Any, *, everything: bool) -> str:
    """A field as a line of text; a long list is cut short and counted."""
    long = isinstance(value, tuple | list) and len(value) > FEW and not everything
    more = f"; and {len(value) - FEW} more" if long else ""
    return cell(field, value[:FEW] if long else value) + more


def cell(field: str, value: Any) -> str:
    """A value as it stands in a cell, with its unit and its band."""
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Estimate):
        spread = figures.band(value)
        return figures.number(value.value, value.unit) + (f" ({spread})" if spread else "")
    if isinstance(value, float):
        return figures.number(value, unit_of(field))
    if isinstance(value, tuple | list):
        return "; ".join(cell(field, each) for each in value)
    return str(value)


def inch(value: Any, field: str) -> str:
    """A length again, in thou or inches; empty for anything else."""
    if isinstance(value, Estimate):
        return figures.thou(value.value) if value.unit == "mm" else ""
    if isinstance(value, float) and unit_of(field) == "mm":
        return figures.thou(value)
    return ""


FIRST = (("beryllium",), ("sodium",), ("hot-head", "oven"), ("nitrogen", "dry-ice"), ("hard-ring",))
"""Kinds of danger by their keys, in the order in which one of each comes first: what poisons, what
burns, what suffocates, what splinters."""
OF_CHILL = {"liquid-nitrogen": ("nitrogen", "no-hammer-cold-ring"), "dry-ice": ("dry-ice",)}
"""What the keys of the cautions of a chilling medium begin with."""


def first_dangers(result: Answer) -> tuple[CautionNote, ...]:
    """The worst dangers, which stand first on a plan that sends somebody to the bench: one of each
    kind, the gravest first. Those of a chill that only an alternative takes stand beside that."""
    if not (hasattr(result, "bench") or hasattr(result, "seats")):
        return ()
    aside = set(beside(result))
    dangers = [note for note in result.cautions if note.severity == "danger" and note not in aside]
    found: list[CautionNote] = []
    for kinds in FIRST:
        found += [note for note in dangers if note.key.startswith(kinds)][:1]
    found += [note for note in dangers if note not in found]
    return tuple(found[:RED])


def beside(result: Answer) -> tuple[CautionNote, ...]:
    """The cautions of chills that no pair chosen takes, only one a plan names instead."""
    used = chills_used(result)
    idle = [keys for chill, keys in OF_CHILL.items() if not any(c.startswith(chill) for c in used)]
    return tuple(note for note in result.cautions if note.key.startswith(sum(idle, ())))


def chills_used(result: Any) -> set[str]:
    """The media the rings of a plan, or of a head's plans, are chilled in."""
    heat = getattr(result, "head_heat", None)
    used = set(heat.chills) if heat is not None else set()
    for plan in getattr(result, "seats", {}).values() or (result,):
        shrink = getattr(plan, "shrink", None)
        if shrink is not None and shrink.chosen is not None:
            used.add(shrink.chosen.chill)
    return used


def cautions(result: Answer, *, everything: bool) -> tuple[tuple[CautionNote, ...], int]:
    """The loudest cautions, and how many are folded away: nobody reads thirty lines."""
    shown = result.cautions if everything else result.cautions[:LOUD]
    return shown, len(result.cautions) - len(shown)


def holds_records(value: object) -> bool:
    """Whether a value is a record, a mapping, or a list of records."""
    if isinstance(value, Mapping):
        return True
    many = isinstance(value, tuple | list) and bool(value) and isinstance(value[0], BaseModel)
    return isinstance(value, BaseModel) or many


def _kind(field: str, value: Any) -> Kind:
    if isinstance(value, BaseModel):
        return "record"
    if isinstance(value, Mapping):
        named = any(isinstance(each, BaseModel) for each in value.values())
        return "records" if named else "pairs"
    if _is_prose(value):
        return "prose"
    if holds_records(value):
        return "bench" if field == "bench" else "table"
    return "figure" if isinstance(value, Estimate | float) else "words"


def _is_prose(value: object) -> bool:
    """Sentences, which read better as a list than as a line."""
    return isinstance(value, tuple) and any(
        isinstance(each, str) and " " in each and len(each) > 30 for each in value
    )
