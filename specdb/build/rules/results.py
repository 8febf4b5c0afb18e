"""Rules about what the build computed: what it stands on, and that curves rise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from specdb.build.rules.data import Data
from specdb.errors import BadCell

Computed = Mapping[int, Mapping[str, list[dict[str, Any]]]]
"""Ordinal of a release -> computed table -> its rows."""


def averages_stand(data: Data, computed: Computed) -> Iterator[BadCell]:
    """No computed figure uses an outlier, an example or a row not live in the release.

    A proxy stands behind a figure only where the figure itself says it is borrowed.
    """
    told: set[str] = set()
    for ordinal, tables in computed.items():
        for table, found in tables.items():
            for row in found:
                named = row.get("sources") or row.get("series") or ""
                allowed = {"stands", "proxy"} if row.get("origin") == "proxy" else {"stands"}
                for used in filter(None, str(named).split(";")):
                    if used not in told and (why := _unfit(data, used, ordinal, allowed)):
                        told.add(used)
                        yield _about(data, used, f"{table} of {_name(row)} uses it: {why}")


def _unfit(data: Data, used: str, ordinal: int, allowed: set[str]) -> str | None:
    if used not in data.placed:
        return f"no row has the id {used!r}"
    one = data.placed[used]
    if ordinal not in data.live(one):
        return "it is not live in that release"
    basis = getattr(one.row, "basis", "stands")
    return None if basis in allowed else f"its basis is {basis!r}"


def curves_rise(data: Data, computed: Computed) -> Iterator[BadCell]:
    """A material's curve rises from node to node, inside its own band."""
    for tables in computed.values():
        last: dict[str, Any] = {}
        for node in tables.get("curve_nodes", []):
            where = f"{node['temperature_c']:g} degC"
            if last.get("material") == node["material"] and not (
                last["temperature_c"] < node["temperature_c"] and last["strain"] <= node["strain"]
            ):
                yield _curve(node, f"the curve falls at {where}")
            if not node["low"] <= node["strain"] <= node["high"]:
                yield _curve(node, f"the curve leaves its band at {where}")
            last = node


def ranges_are_in_order(data: Data, computed: Computed) -> Iterator[BadCell]:
    """A recommended range has its ends in order, and some press in it."""
    for tables in computed.values():
        for row in tables.get("recommended_ranges", []):
            if not 0 <= row["minimum_mm"] <= row["maximum_mm"]:
                ends = f"{row['minimum_mm']:g} to {row['maximum_mm']:g} mm"
                yield BadCell("interference_ranges.csv", 1, "minimum", f"{row['id']}: {ends}")


def _about(data: Data, used: str, reason: str) -> BadCell:
    if used in data.placed:
        return data.placed[used].bad("basis", reason)
    return BadCell("-", 1, "id", reason)


def _name(row: Mapping[str, Any]) -> str:
    return str(row.get("id") or row.get("material"))


def _curve(node: Mapping[str, Any], reason: str) -> BadCell:
    return BadCell("material_properties.csv", 1, "value", f"{node['material']}: {reason}")
