"""Rows of the tables of dimensions, side by side, as answers show them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from specdb.records.published import PublishedRow
from specdb.store.asof import Reader
from specdb.store.query import limits as limit_rows

LENGTHS = ("mm", "um", "in")
Says = Callable[[Mapping[str, Any]], str | None]


def rows(
    reader: Reader,
    table: limit_rows.Table,
    features: Sequence[str],
    position: str | None = None,
    *,
    valve_mm: float | None = None,
    says: Says | None = None,
) -> tuple[PublishedRow, ...]:
    """Every row about these features for a position and valve (None: whichever).

    By feature; those that stand before those that do not, those for the position before general
    ones. `says` puts into words what a row that stands means for the case.
    """
    found = limit_rows.features(reader, table, features)
    mine = [
        row
        for row in found
        if (position is None or row["position"] in (position, "any"))
        and (valve_mm is None or _spans(row, valve_mm))
    ]
    laid = [row_of(row, says(row) if says and _stands(row) else None) for row in mine]
    return tuple(sorted(laid, key=lambda row: _place(row, features)))


def _place(row: PublishedRow, features: Sequence[str]) -> tuple[int, bool, bool]:
    general = row.position == "any" and row.statement is None
    return features.index(row.feature), not row.stands, general


def row_of(row: Mapping[str, Any], says: str | None = None) -> PublishedRow:
    """One row of the store as a record."""
    return PublishedRow(
        feature=row["feature"],
        position=row["position"],
        minimum=row["minimum_house"],
        maximum=row["maximum_house"],
        unit="mm" if row["unit"] in LENGTHS else row["unit"],
        statement=row["statement"],
        printed=row["printed"],
        seen=row["seen"],
        stands=_stands(row),
        note=row["note"],
        says=says,
        sources=(row["id"],),
    )


def _stands(row: Mapping[str, Any]) -> bool:
    return bool(row["basis"] == "stands")


def common_practice(
    rows: Iterable[Mapping[str, Any]], position: str, valve_mm: float | None = None
) -> Mapping[str, Any] | None:
    """The trade's own rule among rows of one feature: the most particular that covers the case.

    One given for a span of valves counts before one given for a position, that before a general.
    """
    covering = [
        row
        for row in rows
        if row["basis"] == "stands"
        and row["seen"] == "common-practice"
        and row["position"] in (position, "any")
        and _spans(row, valve_mm)
    ]
    return max(covering, key=_particular, default=None)


def _spans(row: Mapping[str, Any], valve_mm: float | None) -> bool:
    low, high = row.get("valve_from_mm"), row.get("valve_to_mm")
    if low is None and high is None:
        return True
    if valve_mm is None:
        return False
    return (low is None or low <= valve_mm) and (high is None or valve_mm <= high)


def _particular(row: Mapping[str, Any]) -> tuple[bool, bool]:
    limited = row.get("valve_from_mm") is not None or row.get("valve_to_mm") is not None
    return limited, row["position"] != "any"


def middle(row: Mapping[str, Any]) -> float:
    """The middle of a row's two ends, or the end it has; mm where a length."""
    ends = [end for end in (row["minimum_house"], row["maximum_house"]) if end is not None]
    return float(sum(ends) / len(ends))
