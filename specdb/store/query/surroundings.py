"""The factors of pocket and bridge: the lines of their grids, and the rows at given crossings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from specdb.store.asof import Reader, live

POCKET = ("wall_ratio", "height_ratio", "hub_ratio", "below_ratio", "modulus_ratio")
BRIDGE = ("wall_ratio", "bridge_ratio", "modulus_ratio")


def pocket_lines(reader: Reader, placement: str) -> dict[str, dict[float, str]]:
    """Axis -> its values in the table, each with the cell it is written in; rising."""
    return _lines(reader, "pocket_factors", "placement", placement, POCKET)


def bridge_lines(reader: Reader, kind: str) -> dict[str, dict[float, str]]:
    """As `pocket_lines`, for a kind of bridge."""
    return _lines(reader, "bridge_factors", "kind", kind, BRIDGE)


def pocket_rows(
    reader: Reader, placement: str, cells: Sequence[Iterable[str]]
) -> list[dict[str, Any]]:
    """The rows whose ratios, as written, are among those given for each axis."""
    return _rows(reader, "pocket_factors", "placement", placement, POCKET, cells)


def bridge_rows(reader: Reader, kind: str, cells: Sequence[Iterable[str]]) -> list[dict[str, Any]]:
    """As `pocket_rows`, for a kind of bridge."""
    return _rows(reader, "bridge_factors", "kind", kind, BRIDGE, cells)


def _lines(
    reader: Reader, table: str, column: str, key: str, axes: Sequence[str]
) -> dict[str, dict[float, str]]:
    # The grid is full, so its lines are read along the axes from any one of its points.
    stands = f"FROM {table} t WHERE t.{column} = :key AND t.basis = 'stands' AND {live('t')}"
    found: dict[str, dict[float, str]] = {axis: {} for axis in axes}
    point = reader.one(f"SELECT {', '.join(f't.{axis}' for axis in axes)} {stands}", key=key)
    if point is None:
        return found
    along = [
        f"SELECT '{axis}' AS axis, t.{axis} AS written {stands} AND "
        + " AND ".join(f"t.{other} = :{other}" for other in axes if other != axis)
        for axis in axes
    ]
    for row in reader.all(" UNION ALL ".join(along), key=key, **point):
        found[row["axis"]][float(row["written"])] = row["written"]
    return {axis: dict(sorted(values.items())) for axis, values in found.items()}


def _rows(
    reader: Reader,
    table: str,
    column: str,
    key: str,
    axes: Sequence[str],
    cells: Sequence[Iterable[str]],
) -> list[dict[str, Any]]:
    asked: dict[str, str] = {"key": key}
    conditions = [f"t.{column} = :key", "t.basis = 'stands'", live("t")]
    for axis, written in zip(axes, cells, strict=True):
        named = {f"{axis}_{number}": text for number, text in enumerate(written)}
        asked |= named
        conditions.append(f"t.{axis} IN ({', '.join(f':{name}' for name in named)})")
    return reader.all(f"SELECT t.* FROM {table} t WHERE {' AND '.join(conditions)}", **asked)
