"""Computed once by the build: each material's expansion curve, property values, usual figures.

`curves(tables)` takes the rows of one release (each a dict: the cells as written and the CONVERTED
columns as floats) and returns the rows of three computed tables. The caller adds `as_of`, the
ordinal of the release. How a figure comes about is told where it is made:

    choose_rows     one figure from several rows      published_fits  fits read off at points
    observations    rows -> what a curve is through   property_rows   own values over temperature
    strain_curve    the own stretch of a curve        values          ... and borrowed ones
    borrow          what a curve takes over           usual           the figures asked for most
    expansion       own stretch and borrowed ones

`origin` is `own`, `proxy` (borrowed, wholly or from a neighbour) or, for strength, `minimum` (own,
and guaranteed rather than typical). `sources` are row ids joined by ';'. `state` is empty but for
strength: `running` or `short`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from specdb.build.expansion import Expansions
from specdb.build.property_rows import (
    BORROWABLE,
    EXPOSURE,
    STATES,
    STRENGTHS,
    Value,
    exposure,
    strength,
)
from specdb.build.strain_curve import Strain
from specdb.build.usual import usual_means, usual_value
from specdb.build.values import Values

CURVE_NODES = {
    "material": str,
    "temperature_c": float,
    "strain": float,
    "low": float,
    "high": float,
    "slope": float,
    "origin": str,
    "sources": str,
}
"""Table `curve_nodes`, primary key (as_of, material, temperature_c). No column is ever NULL."""

PROPERTY_NODES = {
    "material": str,
    "property": str,
    "state": str,
    "temperature_c": float,
    "value": float,
    "low": float,
    "high": float,
    "unit": str,
    "origin": str,
    "sources": str,
}
"""Table `property_nodes`, primary key (as_of, material, property, state, temperature_c)."""

USUAL_VALUES = {
    "material": str,
    "item": str,
    "property": str,
    "temperature_from_c": float,
    "temperature_c": float,
    "value": float,
    "low": float,
    "high": float,
    "unit": str,
    "origin": str,
    "sources": str,
}
"""Table `usual_values`, primary key (as_of, material, item). `temperature_from_c` may be NULL."""


class CurveTables(NamedTuple):
    """Rows of the computed tables, each sorted by its key; `as_of` is the caller's to add."""

    curve_nodes: list[dict[str, Any]]
    property_nodes: list[dict[str, Any]]
    usual_values: list[dict[str, Any]]


def curves(tables: Mapping[str, list[dict[str, Any]]]) -> CurveTables:
    """The computed tables of one release.

    Reads `vocabulary`, `materials`, `material_properties`, `expansion_fits` and `proxies`; a row
    may carry more keys than these need. The same rows give the same result; figures are rounded
    far below what they are known to, so that machines agree too. Raises ValueError where stand-ins
    go round in a circle.
    """
    units = {row["word"]: row["unit"] for row in tables["vocabulary"] if row["list"] == "property"}
    expansions, values = Expansions(tables), Values(tables)
    found = CurveTables([], [], [])
    for material in sorted(row["key"] for row in tables["materials"]):
        nodes = [_curve_node(material, node) for node in expansions.curve(material)]
        found.curve_nodes.extend(nodes)
        found.usual_values.extend(usual_means(material, nodes, units["mean_linear_expansion"]))
        for name, state, held in _all_values(values, material):
            unit = units[name]
            found.property_nodes.extend(_property_nodes(material, name, state, held, unit))
            if state != "short":
                found.usual_values.append(usual_value(material, name, held, unit))
    return found


def _all_values(values: Values, material: str) -> Iterator[tuple[str, str, list[Value]]]:
    """(property, state, values) of everything held or borrowed for a material."""
    for name in BORROWABLE:
        if held := values.of(material, name):
            yield name, "", held
    rows = values.rows[material]
    for name in STRENGTHS:
        for state in STATES:
            if held := strength(rows, name, state):
                yield name, state, held
    if held := exposure(rows):
        yield EXPOSURE, "", held


def _curve_node(material: str, node: Strain) -> dict[str, Any]:
    strain = round(node.strain * 1e-6, 10)
    half = round(node.half * 1e-6, 10)
    return {
        "material": material,
        "temperature_c": node.at,
        "strain": strain,
        "low": round(strain - half, 10),
        "high": round(strain + half, 10),
        "slope": round(node.slope * 1e-6, 12),
        "origin": "proxy" if node.borrowed else "own",
        "sources": ";".join(node.rows),
    }


def _property_nodes(
    material: str, name: str, state: str, held: Sequence[Value], unit: str
) -> Iterable[dict[str, Any]]:
    for each in held:
        yield {
            "material": material,
            "property": name,
            "state": state,
            "temperature_c": each.at,
            "value": round(each.value, 9),
            "low": round(each.low, 9),
            "high": round(each.high, 9),
            "unit": unit,
            "origin": each.origin,
            "sources": ";".join(each.rows),
        }
