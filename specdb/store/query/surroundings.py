"""Tables of factors over ratios: the lines of their grids, and the rows at given crossings.

`table` is a table of the data, `which` the column and the word that tell its grids apart.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from specdb.store.asof import Reader, live


def lines(
    reader: Reader, table: str, which: tuple[str, str], ratios: Sequence[str]
) -> dict[str, dict[float, str]]:
    """Ratio -> its values in the grid, each with the cell it is written in; rising.

    All are empty where the release has no such grid.
    """
    column, key = which
    # The grid is full, so its lines are read along the axes from any one of its points.
    stands = f"FROM {table} t WHERE t.{column} = :key AND t.basis = 'stands' AND {live('t')}"
    found: dict[str, dict[float, str]] = {ratio: {} for ratio in ratios}
    point = reader.one(f"SELECT {', '.join(f't.{ratio}' for ratio in ratios)} {stands}", key=key)
    if point is None:
        return found
    along = [
        f"SELECT '{ratio}' AS axis, t.{ratio} AS written {stands} AND "
        + " AND ".join(f"t.{other} = :{other}" for other in ratios if other != ratio)
        for ratio in ratios
    ]
    for row in reader.all(" UNION ALL ".join(along), key=key, **point):
        found[row["axis"]][float(row["written"])] = row["written"]
    return {ratio: dict(sorted(values.items())) for ratio, values in found.items()}


def rows(
    reader: Reader, table: str, which: tuple[str, str], crossings: Mapping[str, Sequence[str]]
) -> list[dict[str, Any]]:
    """The rows whose ratios, as written, are among those given for each."""
    column, key = which
    asked = {"key": key}
    conditions = [f"t.{column} = :key", "t.basis = 'stands'", live("t")]
    for ratio, written in crossings.items():
        named = {f"{ratio}_{number}": text for number, text in enumerate(written)}
        asked |= named
        conditions.append(f"t.{ratio} IN ({', '.join(f':{name}' for name in named)})")
    return reader.all(f"SELECT t.* FROM {table} t WHERE {' AND '.join(conditions)}", **asked)
