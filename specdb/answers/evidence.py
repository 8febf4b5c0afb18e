"""Closing an answer: the rows behind its figures, the cautions it needs, the versions.

Every figure names its rows in `sources`; `conclude` walks the finished fields, looks those rows
up and puts them in `facts`, so that no answer can show a figure whose source cannot be opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel

import specdb
from specdb.errors import StoreError
from specdb.estimate import Estimate
from specdb.records.answer import Answer, CautionNote, FactNote
from specdb.store.asof import Reader
from specdb.store.query import cautions as caution_rows
from specdb.store.query import facts as fact_rows
from specdb.store.remembered import recall

R = TypeVar("R", bound=Answer)


_NO_ROWS = frozenset({str, float, int, bool, type(None)})
"""Kinds of value that name no rows; nearly all of an answer, and so asked about first."""


def named_rows(value: object) -> Iterator[str]:
    """Every row id named in a field `sources` anywhere inside `value`."""
    if type(value) in _NO_ROWS:
        return
    if isinstance(value, Estimate):
        yield from value.sources
    elif isinstance(value, Answer):
        yield from value.facts
    elif isinstance(value, BaseModel):
        for name, inner in vars(value).items():
            if name == "sources":
                yield from inner
            elif type(inner) not in _NO_ROWS:
                yield from named_rows(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from named_rows(inner)
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from named_rows(inner)


def conclude(
    result: type[R],
    reader: Reader,
    *,
    topics: Iterable[str] = (),
    rows: Iterable[str] = (),
    parts: Iterable[Answer] = (),
    spared: Iterable[str] = (),
    **fields: Any,
) -> R:
    """The result record with its evidence.

    `topics` are the caution topics that apply (see the vocabulary list `caution-topic`); `rows` are
    rows used that no figure of the result names itself; `parts` are answers inside this one, whose
    cautions, rows and lists become its own; `spared` are keys of cautions that a topic brings but
    that do not apply.
    """
    parts = tuple(parts)
    stock = one_stock(fields.pop("stock", {}), *(part.stock for part in parts))
    but = set(spared)
    cautions = [row for row in caution_rows.for_topics(reader, topics) if row["key"] not in but]
    ids = set(rows) | {row["id"] for row in cautions}
    ids.update(named_rows(fields))
    ids.update(named_rows(parts))
    return result(
        data_release=reader.release.version,
        code_version=specdb.__version__,
        cautions=_gathered(cautions, parts, caution_rows.order(reader) if parts else {}),
        facts=_notes(reader, ids),
        stock=stock,
        **fields,
    )


def one_stock(*searched: Mapping[str, str]) -> dict[str, str]:
    """The lists all parts of an answer searched; raises StoreError if one changed meanwhile."""
    stock: dict[str, str] = {}
    for each in searched:
        for name, digest in each.items():
            if stock.setdefault(name, digest) != digest:
                raise StoreError(
                    f"the list {name!r} was changed while this was being answered.",
                    hint="Ask again.",
                )
    return dict(sorted(stock.items()))


LOUDEST = ("danger", "warning", "note")


def _gathered(
    rows: Iterable[Mapping[str, Any]], parts: Iterable[Answer], order: Mapping[str, int]
) -> tuple[CautionNote, ...]:
    """Every caution once, the loudest first, else by its rank among all of them."""
    notes = [
        CautionNote(key=row["key"], severity=row["severity"], text=row["text"]) for row in rows
    ]
    notes += [note for part in parts for note in part.cautions]
    once = {note.key: note for note in notes}
    return tuple(
        sorted(
            once.values(),
            key=lambda note: (LOUDEST.index(note.severity), order.get(note.key, 0)),
        )
    )


def _notes(reader: Reader, ids: set[str]) -> dict[str, FactNote]:
    """What each row says of itself, by id in order; ids of no fact are passed over."""
    known: dict[str, FactNote | None] = recall(reader, "facts", dict)
    new = ids - known.keys()
    known.update(dict.fromkeys(new))
    known.update((row["id"], _note(row)) for row in fact_rows.by_id(reader, new))
    return {each: note for each in sorted(ids) if (note := known[each]) is not None}


def _note(row: Mapping[str, Any]) -> FactNote:
    return FactNote(
        table=row["table_name"],
        source=tuple(row["source"].split(";")) if row["source"] else (),
        locator=row["locator"],
        seen=row["seen"],
        basis=row["basis"],
        printed=row["printed"],
        note=row["note"],
        release=row["release"],
    )
