"""The generic size series, expanded: every size that the rules of a series make.

A row of `insert_series` or `guide_series` is a rule: outside diameters from, to and by a step, the
walls, heights and oversizes each is made in. An oversize is on the outside alone: the hole
stays that of the standard size, so that the wall grows by half of it. Cells are text and stay
exact (fractions) until the last step, where an inch is 25.4 mm. Generic, after no maker's table.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from specdb.units.words import INCH

MM_PER_UNIT = {"mm": Fraction(1), "in": Fraction(str(INCH))}


def expand_inserts(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Every ring of the series, sorted by id, from live rows of `insert_series`.

    Each result has `id, series` (the row it comes from), `system, outer_mm, inner_mm, height_mm,
    oversize_mm, nominal_mm` (outside without the oversize), `wall_mm, outer_minus_mm,
    outer_plus_mm` (how much the outside may be under and over), lengths in mm. The database adds
    `as_of`. Raises `ValueError` for a rule that runs backwards or makes a ring without a hole.
    """
    return _expand(rows)


def expand_guides(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Every guide of the series: as `expand_inserts`, `inner_mm` the stem bore and `height_mm`
    the length."""
    return _expand(rows)


def _expand(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    sizes = [size for row in rows for size in _sizes(row)]
    return sorted(sizes, key=lambda size: str(size["id"]))


def _sizes(row: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    scale = MM_PER_UNIT[row["unit"]]
    walls, heights, oversizes = (_list(row[name]) for name in ("walls", "heights", "oversizes"))
    for parts in itertools.product(_outers(row), walls, heights, oversizes):
        nominal, wall, height, oversize = parts
        outer, inner = nominal + oversize, nominal - 2 * wall
        if inner <= 0:
            raise ValueError(f"{row['id']}: {_text(nominal)} with wall {_text(wall)} has no hole")
        yield {
            "id": _id(row["id"], parts),
            "series": row["id"],
            "system": row["system"],
            "outer_mm": float(outer * scale),
            "inner_mm": float(inner * scale),
            "height_mm": float(height * scale),
            "oversize_mm": float(oversize * scale),
            "nominal_mm": float(nominal * scale),
            "wall_mm": float((outer - inner) / 2 * scale),
            "outer_minus_mm": float(Fraction(row["outer_minus"]) * scale),
            "outer_plus_mm": float(Fraction(row["outer_plus"]) * scale),
        }


def _outers(row: Mapping[str, Any]) -> list[Fraction]:
    """The standard outside diameters, both ends included where the step meets them."""
    start, end, step = (Fraction(row[f"outer_{name}"]) for name in ("from", "to", "step"))
    if step <= 0 or end < start:
        raise ValueError(f"{row['id']}: no diameters from {row['outer_from']} to {row['outer_to']}")
    return [start + step * count for count in range(int((end - start) / step) + 1)]


def _list(cell: str) -> list[Fraction]:
    return [Fraction(part) for part in cell.split(";")]


def _id(series: str, parts: Sequence[Fraction]) -> str:
    nominal, wall, height, oversize = map(_text, parts)
    return f"size.{series}.{nominal}x{wall}x{height}.over-{oversize}"


def _text(number: Fraction) -> str:
    return f"{float(number):.6f}".rstrip("0").rstrip(".")
