"""Computed once by the build: each material's expansion curve, property values and usual figures.

`curves(tables)` takes the rows of one release (each a dict: the cells as written and the CONVERTED
columns as floats) and returns the rows of three computed tables. The caller adds `as_of`, the
ordinal of the release.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

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

    Reads `vocabulary`, `materials`, `material_properties`, `expansion_fits` and `proxies`; a row may
    carry more keys than these need. The same rows give the same result, bit for bit.
    """
    raise NotImplementedError
