"""A row of any table by its id: its cells, its withdrawal, and what was computed from it."""

from __future__ import annotations

from typing import Any, NamedTuple

from specdb.store.asof import Reader

TABLES = ("sources", "vocabulary", "withdrawals", "release_tables")
"""Tables whose rows are no facts, so that `facts` does not say where they are."""
_TABLE_OF = "SELECT f.table_name FROM facts AS f WHERE f.id = :id AND f.since <= :ordinal"
_COLUMNS = "SELECT * FROM {table} AS t WHERE t.id = :id AND t.since <= :ordinal"
_WITHDRAWAL = """
SELECT w.id, w.withdrawn, w.reason, w.replacement, w.release
FROM withdrawals AS w
WHERE w.withdrawn = :id AND w.since <= :ordinal
ORDER BY w.id
"""
_REPLACED = """
SELECT w.id, w.withdrawn, w.reason, w.replacement, w.release
FROM withdrawals AS w
WHERE w.replacement = :id AND w.since <= :ordinal
ORDER BY w.id
"""
_DERIVED = """
SELECT name, count(*) AS rows FROM (
    SELECT 'curve_nodes.' || c.material AS name
    FROM curve_nodes AS c
    WHERE c.as_of = :ordinal AND ';' || c.sources || ';' LIKE '%;' || :id || ';%'
    UNION ALL
    SELECT 'property_nodes.' || p.material || '.' || p.property AS name
    FROM property_nodes AS p
    WHERE p.as_of = :ordinal AND ';' || p.sources || ';' LIKE '%;' || :id || ';%'
    UNION ALL
    SELECT 'usual_values.' || u.material || '.' || u.item AS name
    FROM usual_values AS u
    WHERE u.as_of = :ordinal AND ';' || u.sources || ';' LIKE '%;' || :id || ';%'
    UNION ALL
    SELECT r.id AS name
    FROM recommended_ranges AS r
    WHERE r.as_of = :ordinal AND ';' || r.sources || ';' LIKE '%;' || :id || ';%'
    UNION ALL
    SELECT 'insert_sizes.' || s.series AS name
    FROM insert_sizes AS s WHERE s.as_of = :ordinal AND s.series = :id
    UNION ALL
    SELECT 'guide_sizes.' || g.series AS name
    FROM guide_sizes AS g WHERE g.as_of = :ordinal AND g.series = :id
) AS every
GROUP BY name
ORDER BY name
"""
_COMPUTED = "SELECT * FROM {table} AS t WHERE t.id = :id AND t.as_of = :ordinal"
COMPUTED = ("recommended_ranges", "insert_sizes", "guide_sizes")
"""Tables the build computes whose rows have an id."""
_IDS_LIKE = """
SELECT f.id FROM facts AS f
WHERE f.id >= :start AND f.id < :stop AND f.since <= :ordinal
ORDER BY f.id
"""


class Traced(NamedTuple):
    """A row as it stands in its table, with `since` and `until`, whatever became of it."""

    table: str
    row: dict[str, Any]


def by_id(reader: Reader, row: str) -> Traced | None:
    """The row of that id in whatever table holds it, or None; one that came later is not there yet.

    What was withdrawn is still found.
    """
    found = reader.one(_TABLE_OF, id=row)
    for table in (found["table_name"],) if found else TABLES:
        whole = reader.one(_COLUMNS.format(table=table), id=row)
        if whole is not None:
            return Traced(table, whole)
    return None


def computed_by_id(reader: Reader, row: str) -> Traced | None:
    """The computed row of that id in the release read, or None."""
    for table in COMPUTED:
        whole = reader.one(_COMPUTED.format(table=table), id=row)
        if whole is not None:
            return Traced(table, whole)
    return None


def withdrawal(reader: Reader, row: str) -> dict[str, Any] | None:
    """The withdrawal of a row, known in the release read, or None."""
    return reader.one(_WITHDRAWAL, id=row)


def replaced(reader: Reader, row: str) -> list[dict[str, Any]]:
    """The withdrawals that put this row in another's place."""
    return reader.all(_REPLACED, id=row)


def derived_from(reader: Reader, row: str) -> list[dict[str, Any]]:
    """What the build computed from a row in the release read: `name` and how many `rows`.

    A name is a recommended range's id, or table, material and property of a curve or value,
    or table and series of the sizes. The scan reads every computed row: some milliseconds,
    never on the path of another question.
    """
    return reader.all(_DERIVED, id=row)


def ids_of_subject(reader: Reader, start: str) -> list[str]:
    """Ids that begin with `start`, for "did you mean"."""
    return [row["id"] for row in reader.all(_IDS_LIKE, start=start, stop=start + "\x7f")]
