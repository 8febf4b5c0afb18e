"""What the rules look at: rows with their places, as expanded, by table and by release."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from specdb.build.expand import Expanded
from specdb.build.read import Placed, Tables
from specdb.errors import BadCell
from specdb.records import rows
from specdb.store.asof import Release


@dataclass(frozen=True)
class Data:
    """The rows a rule may look at."""

    tables: Tables
    expanded: Expanded
    releases: tuple[Release, ...]
    spoiled: frozenset[str] = frozenset()
    """Tables some of whose rows could not be read: no judges of what other rows name."""

    @cached_property
    def placed(self) -> dict[str, Placed]:
        """Row id -> the row and its place, releases left out."""
        return {one.id: one for table, _ in self.walk() for one in self.tables[table]}

    @cached_property
    def by_id(self) -> dict[str, dict[str, Any]]:
        """Row id -> the row as expanded."""
        return {row["id"]: row for found in self.expanded.values() for row in found}

    def walk(self) -> Iterator[tuple[str, type[rows.Row]]]:
        """Every table but `releases`, with its row model."""
        for table, model in rows.TABLES.items():
            if table != "releases" and table in self.tables:
                yield table, model

    def facts(self) -> Iterator[Placed]:
        """Every fact."""
        for table, model in self.walk():
            if issubclass(model, rows.Fact):
                yield from self.tables[table]

    def having(self, *columns: str) -> Iterator[Placed]:
        """Every row of every table that has these columns."""
        for table, model in self.walk():
            if all(column in model.model_fields for column in columns):
                yield from self.tables[table]

    def live(self, one: Placed) -> list[int]:
        """The ordinals of the releases a row is live in."""
        row = self.by_id[one.id]
        return [
            release.ordinal
            for release in self.releases
            if row["since"] <= release.ordinal
            and (row["until"] is None or release.ordinal < row["until"])
        ]


Rule = Callable[[Data], Iterator[BadCell]]
