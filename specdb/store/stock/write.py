"""A list put in, replaced or taken out: one transaction, so that it happens whole or not at all.

A crash, a full disk or a kill leaves the database's own journal, from which the old state comes
back by itself. Two writers take turns; who waits too long is refused and has changed nothing.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from specdb.errors import StoreError, UnknownName
from specdb.store import migrate
from specdb.store.stock import held
from specdb.store.stock.place import shown
from specdb.store.stock.tables import VERSIONS, lists, rings

AT_ONCE = 2000
TOLD = ("outer", "inner", "height", "material", "made_of", "qty", "tolerance", "note")
"""What a change of a ring is told in: its cells as written, and what it was taken to be made of."""

Ring = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Changes:
    """What putting a list in did, ring by ring; `changed`: part, and each cell before and after."""

    added: tuple[str, ...]
    changed: tuple[tuple[str, dict[str, tuple[str, str]]], ...]
    removed: tuple[str, ...]
    unchanged: int
    od_means_before: str | None
    digest: str


def replace(place: str | Path, name: str, od_means: str, new: Sequence[Ring]) -> Changes:
    """Make the list `name` hold the rings `new`, whatever it held.

    Each has the columns of `stock_rings` without `list`; parts differ. Raises StoreError where the
    database cannot be written; what it held is then as it was.
    """
    with _writing(place) as connection:
        old = _list(connection, name)
        was = {ring["part"]: ring for ring in _rings(connection, old["id"])} if old else {}
        total = digest(name, od_means, new)
        meant = (old["od_means"], od_means) if old else None
        changes = _changes(was, new, meant, total)
        if old and old["digest"] == total:
            return changes
        if old:
            connection.execute(sa.delete(rings).where(rings.c.list == old["id"]))
            connection.execute(sa.delete(lists).where(lists.c.id == old["id"]))
        _insert(connection, name, od_means, new, total)
        return changes


def remove(place: str | Path, name: str) -> int:
    """Take a list out; how many rings it held. Raises UnknownName where there is none."""
    with _writing(place) as connection:
        old = _list(connection, name)
        if old is None:
            known = connection.execute(sa.select(lists.c.name)).scalars()
            raise UnknownName("list", name, list(known), field="list")
        connection.execute(sa.delete(rings).where(rings.c.list == old["id"]))
        connection.execute(sa.delete(lists).where(lists.c.id == old["id"]))
        return int(old["rings"])


def upgrade(place: str | Path) -> str:
    """Bring the tables up to date, with all they hold; the version they are of then.

    Raises StoreError where that cannot be done; what they held is then as it was.
    """
    with _writing(place):
        return held.SCHEMA_VERSION


def digest(name: str, od_means: str, held_rings: Sequence[Ring]) -> str:
    """SHA-256 over a list: name, meaning, and every ring in the order of parts, as written and as
    read."""
    total = hashlib.sha256()
    total.update(_line([name, od_means]))
    for ring in sorted(held_rings, key=lambda each: str(each["part"])):
        total.update(_line([ring[column.name] for column in rings.c if column.name not in _LOOSE]))
    return total.hexdigest()


_LOOSE = ("list", "place")
"""What a ring's place is called does not change what an answer says."""


def _line(cells: Sequence[object]) -> bytes:
    return json.dumps(cells, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _changes(
    was: Mapping[str, Ring], new: Sequence[Ring], meant: tuple[str, str] | None, total: str
) -> Changes:
    """`meant`: what the outside diameter meant before, and what it means now; where that differs
    every ring is another size."""
    now = {ring["part"]: ring for ring in new}
    moved = {"od_means": meant} if meant and meant[0] != meant[1] else {}
    changed = []
    for part in sorted(now.keys() & was.keys()):
        cells = moved | {
            name: (_cell(was[part][name]), _cell(now[part][name]))
            for name in TOLD
            if was[part][name] != now[part][name]
        }
        if cells:
            changed.append((part, cells))
    return Changes(
        added=tuple(sorted(now.keys() - was.keys())),
        changed=tuple(changed),
        removed=tuple(sorted(was.keys() - now.keys())),
        unchanged=len(now.keys() & was.keys()) - len(changed),
        od_means_before=meant[0] if meant else None,
        digest=total,
    )


def _cell(value: object) -> str:
    return "" if value is None else str(value)


def _list(connection: sa.Connection, name: str) -> dict[str, Any] | None:
    row = connection.execute(sa.select(lists).where(lists.c.name == name)).mappings().first()
    return dict(row) if row else None


def _rings(connection: sa.Connection, number: int) -> list[dict[str, Any]]:
    found = connection.execute(sa.select(rings).where(rings.c.list == number)).mappings()
    return [dict(row) for row in found]


def _insert(
    connection: sa.Connection, name: str, od_means: str, new: Sequence[Ring], total: str
) -> None:
    about = {
        "name": name,
        "od_means": od_means,
        "digest": total,
        "rings": len(new),
        "imported_at": datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
    }
    made = connection.execute(sa.insert(lists).values(about)).inserted_primary_key
    number = made[0] if made else None
    for start in range(0, len(new), AT_ONCE):
        batch = [{**ring, "list": number} for ring in new[start : start + AT_ONCE]]
        connection.execute(sa.insert(rings), batch)


@contextmanager
def _writing(place: str | Path) -> Iterator[sa.Connection]:
    """A transaction that nobody else writes beside, on tables brought up to date."""
    try:
        engine = _file(place) if isinstance(place, Path) else _server(place)
        try:
            with engine.connect() as connection, connection.begin():
                if isinstance(place, str):
                    _on_server(connection, place)
                _up_to_date(connection, place)
                yield connection
                if isinstance(place, str):
                    connection.exec_driver_sql("ANALYZE stock_rings")
        finally:
            engine.dispose()
    except (sa.exc.SQLAlchemyError, OSError) as error:
        raise _failed(place, error) from error


def _up_to_date(connection: sa.Connection, place: str | Path) -> None:
    there = sa.inspect(connection).has_table(VERSIONS)
    version = connection.exec_driver_sql(held.VERSION).scalar() if there else None
    if version is not None and version > held.SCHEMA_VERSION:
        held.check_version(place, version)
    if version != held.SCHEMA_VERSION:
        if connection.dialect.name == "sqlite":
            connection.exec_driver_sql(f"PRAGMA application_id = {held.APPLICATION_ID}")
        migrate.upgrade(connection, tree="stock")


def _file(path: Path) -> sa.Engine:
    """An engine on a SQLite file, made if need be, whose transactions take the pen at once."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists():
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o644))
    held.check_owner(path)
    engine = sa.create_engine(
        "sqlite://", creator=lambda: held.connect(path), poolclass=sa.NullPool
    )

    @sa.event.listens_for(engine, "begin")
    def _begin(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    return engine


def _server(url: str) -> sa.Engine:
    from specdb.store.stock.server import server_engine

    return server_engine(url, poolclass=sa.NullPool)


def _on_server(connection: sa.Connection, url: str) -> None:
    from specdb.store.stock import server

    server.take_the_pen(connection, held.WAIT_S)
    server.make_home(connection, url)


def _failed(place: str | Path, error: Exception) -> StoreError:
    cause = getattr(error, "orig", None) or error
    text = str(cause).strip().splitlines()[0] if str(cause).strip() else type(cause).__name__
    if "locked" in text or "lock timeout" in text:
        return StoreError(
            f"somebody else is writing to the lists in {shown(place)}; nothing was changed.",
            hint=f"Waited {held.WAIT_S:g} s. Try again when the other import is done.",
        )
    return StoreError(
        f"the lists in {shown(place)} cannot be written: {text}.",
        hint="What they held before is as it was.",
    )
