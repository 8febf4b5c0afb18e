"""The trade's limits as the data hold them: a number, and the row it stands in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from specdb.errors import NotKnown
from specdb.store.asof import Reader
from specdb.store.query import limits as limit_rows


@dataclass(frozen=True, slots=True)
class Limit:
    """Least and greatest of a feature, mm where a length; None where the row leaves it open."""

    least: float | None
    greatest: float | None
    statement: str | None
    source: str
    row: str

    @property
    def value(self) -> float:
        """The one figure of a limit that has one: the end that is given, or the middle of two."""
        given = [end for end in (self.least, self.greatest) if end is not None]
        return sum(given) / len(given)


def limits(
    reader: Reader, features: Sequence[str], table: limit_rows.Table = "insert_dimensions"
) -> dict[str, Limit]:
    """Each feature's limit, from its first row that stands. Raises `NotKnown` for one without."""
    found = pick(limit_rows.features(reader, table, features))
    for feature in features:
        if feature not in found:
            raise NotKnown(
                f"this data release holds no row for {feature!r}.",
                hint="It is needed to judge a counterbore; a later release has it.",
            )
    return found


def pick(rows: Sequence[Mapping[str, Any]]) -> dict[str, Limit]:
    """Feature -> limit, over rows in order of feature and id."""
    found: dict[str, Limit] = {}
    for row in rows:
        if row["basis"] == "stands" and row["feature"] not in found:
            found[row["feature"]] = Limit(
                least=row["minimum_house"],
                greatest=row["maximum_house"],
                statement=row["statement"],
                source=row["source"],
                row=row["id"],
            )
    return found
