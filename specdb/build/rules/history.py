"""Rules about releases: in order, and every published digest still holds."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from specdb.build.digest import TableDigest, columns_of, digest, known_columns, table_digests
from specdb.build.expand import live_in
from specdb.build.read import Placed
from specdb.build.rules.data import Data
from specdb.errors import BadCell

UNDO = "put it back, then withdraw the row and add a corrected one"


def releases_are_in_order(data: Data) -> Iterator[BadCell]:
    """Ordinals count from 1 without a gap; neither versions nor dates go back."""
    placed = data.tables.get("releases", [])
    for number, one in enumerate(placed, 1):
        if one.cell("ordinal") != str(number):
            yield one.bad("ordinal", f"{one.cell('ordinal')!r} where {number} is next")
    for before, after in pairwise(placed):
        if _calendar(after) <= _calendar(before):
            reason = f"{after.cell('version')!r} is not after {before.cell('version')!r}"
            yield after.bad("version", reason)
        if str(after.cell("date")) < str(before.cell("date")):
            yield after.bad("date", "earlier than the release before")


def _calendar(one: Placed) -> list[int]:
    parts = str(one.cell("version")).split(".")
    return [int(part) for part in parts if part.isdigit()]


def published_digests_hold(data: Data) -> Iterator[BadCell]:
    """The rows of every published release still are what they were when it was published."""
    if data.spoiled:
        return
    for one in data.tables.get("releases", []):
        found = list(_changed_tables(data, one))
        yield from found
        version, ordinal = str(one.cell("version")), int(float(one.id))
        now = digest(data.expanded, ordinal, columns_of(data.expanded, version))
        if not found and now != one.cell("digest"):
            yield one.bad("digest", f"the rows of {version} give {now}; {UNDO}")


def _changed_tables(data: Data, release: Placed) -> Iterator[BadCell]:
    version, ordinal = str(release.cell("version")), int(float(release.id))
    columns, known = columns_of(data.expanded, version), known_columns()
    recorded = [
        one for one in data.tables.get("release_tables", []) if one.cell("release") == version
    ]
    now = table_digests(data.expanded, ordinal, columns) if columns else {}
    for one in recorded:
        table = str(one.cell("table_name"))
        lost = [name for name in columns[table] if name not in known.get(table, [])]
        if lost:
            reason = f"{version} knew columns that are gone: {', '.join(lost)}"
            yield BadCell(f"{table}.csv", 1, lost[0], reason)
        elif _differs(now.get(table), one):
            count = now[table].rows if table in now else 0
            reason = (
                f"not what {version} was published with ({one.cell('row_count')} rows, "
                f"now {count}): a published row was changed, added or taken out; {UNDO}"
            )
            yield BadCell(f"{table}.csv", 1, "-", reason)
    for table, rows in live_in(data.expanded, ordinal).items():
        if rows and table in known and table not in columns:
            reason = f"rows say they came in {version}, which was published without them; {UNDO}"
            yield BadCell(f"{table}.csv", 1, "release", reason)


def _differs(now: TableDigest | None, recorded: Placed) -> bool:
    said = (recorded.cell("row_count"), recorded.cell("digest"))
    return now is None or said != (str(now.rows), now.digest)


def only_releases_have_tables(data: Data) -> Iterator[BadCell]:
    """What a release held is written down for published releases, a table once each."""
    first: dict[tuple[str | None, str | None], Placed] = {}
    for one in data.tables.get("release_tables", []):
        if one.cell("release") == "next":
            yield one.bad("release", "a draft has no record of its tables; publishing writes it")
        name = (one.cell("release"), one.cell("table_name"))
        if first.setdefault(name, one) is not one:
            yield one.bad("table_name", f"{name[1]!r} stands twice for {name[0]}")
