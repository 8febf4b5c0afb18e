"""The expansion curve of every material: its own rows, then what it declares to borrow."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from specdb.build.borrow import borrowed
from specdb.build.choose_rows import standing
from specdb.build.observations import ROOM_C, observations
from specdb.build.strain_curve import Array, Strain, strain_curve, usual_shape

Row = Mapping[str, Any]
SIDES = ("expansion-below", "expansion-above")


class Expansions:
    """Curves by material, each part made when first asked for, since one may stand on another.

    A curve is made in three parts: the own stretch, what is below it, what is above. Two
    materials may stand in for each other, one below and the other above; the same part may not
    come back to itself.
    """

    def __init__(self, tables: Mapping[str, Sequence[Row]]) -> None:
        self._rows = by_material(tables["material_properties"])
        self._fits = by_material(tables["expansion_fits"])
        self._proxies = by_material(standing(tables["proxies"]))
        self._own_made: dict[tuple[str, bool], list[Strain]] = {}
        self._made: dict[tuple[str, str], list[Strain]] = {}
        self._making: list[tuple[str, str]] = []

    def curve(self, material: str) -> list[Strain]:
        """The nodes of a material's curve in order of temperature; none where nothing is known."""
        below, above = (self._with_side(material, side) for side in SIDES)
        nodes = sorted({node.at: node for node in (*below, *above)}.values())
        return nodes if len(nodes) > 1 else []

    def _with_side(self, material: str, side: str) -> list[Strain]:
        """The own stretch and what lies beyond it on one side."""
        part = (material, side)
        if part in self._making:
            circle = " -> ".join(name for name, _ in (*self._making, part))
            raise ValueError(f"{side} of these materials goes round in a circle: {circle}")
        if part not in self._made:
            self._making.append(part)
            self._made[part] = self._extended(material, side)
            self._making.pop()
        return self._made[part]

    def _extended(self, material: str, side: str) -> list[Strain]:
        own = self._own(material)
        beside = self._neighbours(material)
        declared = [row for row in self._proxies[material] if row["property"] == side]
        nodes = own or ([_room()] if declared else beside)
        above = side == "expansion-above"
        for proxy in declared:
            extra, named = float(proxy["extra_percent"]), (proxy["id"],)
            stand_in = self._with_side(proxy["stands_in"], side)
            added = borrowed(nodes, stand_in, above=above, extra_percent=extra, declared=named)
            nodes = _joined(nodes, added)
        if own and beside:
            added = borrowed(nodes, beside, above=above, extra_percent=0.0, declared=())
            nodes = _joined(nodes, added)
        return nodes

    def _own(self, material: str, *, shaped: bool = True) -> list[Strain]:
        """The curve through the material's own standing rows, bent like its stand-in's own."""
        if (material, shaped) not in self._own_made:
            seen = observations(standing(self._rows[material]), standing(self._fits[material]))
            outline = self._stand_in(material) if shaped else []
            self._own_made[material, shaped] = strain_curve(
                seen, (lambda grid: _outline(outline, grid)) if outline else None
            )
        return self._own_made[material, shaped]

    def _stand_in(self, material: str) -> list[Strain]:
        """The declared stand-in whose own curve reaches furthest, or nothing."""
        names = [row["stands_in"] for row in self._proxies[material] if row["property"] in SIDES]
        found = [self._own(name, shaped=False) for name in names]
        return max(found, key=_length, default=[])

    def _neighbours(self, material: str) -> list[Strain]:
        """A curve through the rows of neighbouring alloys filed under this material.

        They enter no average with its own rows; where those end they are as good a stand-in as
        a declared one, and where there are no others they are the curve, marked as borrowed.
        """
        rows = [row for row in self._rows[material] if row["basis"] == "proxy"]
        fits = [row for row in self._fits[material] if row["basis"] == "proxy"]
        return [node._replace(borrowed=True) for node in strain_curve(observations(rows, fits))]


def by_material(rows: Sequence[Row]) -> defaultdict[str, list[Row]]:
    """The rows of each material, in order of their ids."""
    found: defaultdict[str, list[Row]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: str(row["id"])):
        found[row["material"]].append(row)
    return found


def _length(nodes: Sequence[Strain]) -> float:
    return nodes[-1].at - nodes[0].at if nodes else 0.0


def _room() -> Strain:
    return Strain(ROOM_C, 0.0, 0.0, 0.0, (), True)


def _joined(nodes: list[Strain], added: list[Strain]) -> list[Strain]:
    if len(nodes) == 1 and added:
        nodes = [nodes[0]._replace(slope=added[0].slope, rows=added[0].rows)]
    return sorted([*nodes, *added], key=lambda node: node.at)


def _outline(nodes: Sequence[Strain], grid: Array) -> Array:
    """The slope of a stand-in at `grid`; beyond its ends it goes on as metals usually do."""
    ends = np.clip(grid, nodes[0].at, nodes[-1].at)
    slope = np.interp(ends, [node.at for node in nodes], [node.slope for node in nodes])
    return np.maximum(slope * usual_shape(grid) / usual_shape(ends), 1e-2)
