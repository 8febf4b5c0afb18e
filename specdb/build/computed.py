"""What each release computes from its rows: curves, usual values, recommended ranges, sizes."""

from __future__ import annotations

from typing import Any

from specdb.build.curves import curves
from specdb.build.expand import Expanded, live_in
from specdb.build.recommend import recommend
from specdb.store.asof import Release

Rows = list[dict[str, Any]]


def computed(expanded: Expanded, release: Release) -> dict[str, Rows]:
    """Table -> rows of every computed table as of `release`."""
    tables = live_in(expanded, release.ordinal)
    found: dict[str, Rows] = {}
    try:
        found.update(curves(tables)._asdict())
    except NotImplementedError:
        pass
    found["recommended_ranges"] = recommend(tables["interference_ranges"])
    return {
        table: [{**row, "as_of": release.ordinal} for row in rows] for table, rows in found.items()
    }
