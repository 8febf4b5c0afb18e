"""The question `source`: a citation, and every row that came from it."""

from __future__ import annotations

from collections import Counter

from specdb.answers.evidence import conclude
from specdb.errors import UnknownName
from specdb.records.source import SourcedRow, SourceRequest, SourceResult
from specdb.store.asof import Reader
from specdb.store.query import sources


def source(reader: Reader, request: SourceRequest) -> SourceResult:
    """The source of a key with its rows; raises `UnknownName` with the nearest keys."""
    found = sources.by_key(reader, request.source)
    if found is None:
        raise UnknownName("source", request.source, sources.keys(reader), field="source")
    rows = sources.rows_from(reader, request.source)
    cited = {name: found[name] for name in SourceResult.model_fields if name in found}
    return conclude(
        SourceResult,
        reader,
        **cited,
        rows_by_table=dict(sorted(Counter(row["table_name"] for row in rows).items())),
        gave=tuple(
            SourcedRow(
                row=row["id"],
                table=row["table_name"],
                seen=row["seen"],
                locator=row["locator"],
                printed=row["printed"],
                note=row["note"],
            )
            for row in rows
        ),
    )
