"""What each release computes from its rows: curves, usual values, recommended ranges, sizes."""

from __future__ import annotations

from typing import Any

from specdb.build.curves import curves
from specdb.build.expand import Expanded, live_in
from specdb.build.recommend import recommend
from specdb.build.series import expand_guides, expand_inserts
from specdb.errors import BadCell, BadData
from specdb.store.asof import Release

Computed = dict[str, list[dict[str, Any]]]
"""Computed table -> its rows, `as_of` included."""


def computed(expanded: Expanded, release: Release) -> Computed:
    """Every computed table as of `release`, from the rows live in it.

    Raises BadData where a rule of the rows cannot be carried out.
    """
    tables = live_in(expanded, release.ordinal)
    try:
        found: Computed = {
            **curves(tables)._asdict(),
            "recommended_ranges": recommend(tables["interference_ranges"]),
            "insert_sizes": expand_inserts(tables["insert_series"]),
            "guide_sizes": expand_guides(tables["guide_series"]),
        }
    except ValueError as error:
        reason = f"cannot be computed as of {release.version}: {error}"
        raise BadData([BadCell("-", 1, "-", reason)]) from error
    return {
        table: [{**row, "as_of": release.ordinal} for row in rows] for table, rows in found.items()
    }
