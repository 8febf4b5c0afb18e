"""The question `trace`: a row as it was written, what became of it, what was made from it."""

from __future__ import annotations

from typing import Any

from specdb.answers.evidence import conclude
from specdb.errors import UnknownName
from specdb.records.rows import TABLES, columns
from specdb.records.trace import TraceRequest, TraceResult
from specdb.store.asof import Reader
from specdb.store.query import trace as rows

KEPT_APART = ("id", "as_of", "since", "until", "sources", "release")


def trace(reader: Reader, request: TraceRequest) -> TraceResult:
    """The row of an id, in whatever table; raises `UnknownName` with the nearest ids."""
    found = rows.by_id(reader, request.row)
    if found is None:
        return _computed(reader, request.row)
    written = [name for name in columns(found.table) if found.row[name] is not None]
    withdrawn = rows.withdrawal(reader, request.row)
    return conclude(
        TraceResult,
        reader,
        rows=(request.row, *_named(withdrawn)),
        row=request.row,
        table=found.table,
        release=found.row["release"],
        cells={name: found.row[name] for name in written},
        converted=_converted(found),
        rests_on=(),
        derived=tuple(each["name"] for each in rows.derived_from(reader, request.row)),
        replaces=tuple(each["withdrawn"] for each in rows.replaced(reader, request.row)),
        withdrawn_in=withdrawn["release"] if withdrawn else None,
        reason=withdrawn["reason"] if withdrawn else None,
        replacement=withdrawn["replacement"] if withdrawn else None,
    )


def _named(withdrawn: dict[str, Any] | None) -> tuple[str, ...]:
    if withdrawn is None or withdrawn["replacement"] is None:
        return ()
    return (withdrawn["replacement"],)


def _converted(found: rows.Traced) -> dict[str, float | str]:
    own = (*columns(found.table), *KEPT_APART)
    return {
        name: value for name, value in found.row.items() if name not in own and value is not None
    }


def _computed(reader: Reader, row: str) -> TraceResult:
    found = rows.computed_by_id(reader, row)
    if found is None:
        subject = row.rpartition(".")[0] or row
        near = [word for start in (row, subject) for word in rows.ids_of_subject(reader, start)]
        tables = ", ".join(TABLES)
        raise UnknownName("row", row, near or [f"an id of a row in {tables}"], field="row")
    rests_on = found.row.get("sources") or found.row.get("series") or ""
    names = tuple(filter(None, rests_on.split(";")))
    return conclude(
        TraceResult,
        reader,
        rows=names,
        row=row,
        table=found.table,
        release=reader.release.version,
        cells={},
        converted={
            name: value
            for name, value in found.row.items()
            if name not in KEPT_APART and value is not None
        },
        rests_on=names,
        derived=(),
        replaces=(),
        withdrawn_in=None,
        reason=None,
        replacement=None,
    )
