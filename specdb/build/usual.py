"""The figures of a material asked for most: usual mean expansions, values at room temperature.

Computed once by the build from the curve and the values, so that looking a material up reads rows
and computes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from specdb.build.property_rows import Value
from specdb.physics.band import half_between
from specdb.physics.curves import Curve

ROOM_C = 20.0
USUAL_MEANS_C = (
    (20.0, 100.0),
    (20.0, 150.0),
    (20.0, 200.0),
    (20.0, 300.0),
    (-78.0, 20.0),
    (-196.0, 20.0),
)
"""From, to: what handbooks print, what a head is heated to, dry ice, liquid nitrogen."""


def usual_means(
    material: str, nodes: Sequence[dict[str, Any]], unit: str
) -> Iterator[dict[str, Any]]:
    """Rows of `usual_values` for the mean expansions the curve reaches, in 1e-6/K."""
    if not nodes:
        return
    curve = Curve(
        temperatures_c=tuple(node["temperature_c"] for node in nodes),
        strain_points=tuple(node["strain"] for node in nodes),
        low_points=tuple(node["low"] for node in nodes),
        high_points=tuple(node["high"] for node in nodes),
        label=material,
    )
    for start, end in USUAL_MEANS_C:
        if not curve.start_c <= start < end <= curve.end_c:
            continue
        mean = curve.mean(start, end) * 1e6
        half = half_between(curve, start, end) / (end - start) * 1e6
        far = start if end == ROOM_C else end
        node = min(nodes, key=lambda node: abs(node["temperature_c"] - far))
        yield {
            "material": material,
            "item": f"mean_linear_expansion.{start:g}.{end:g}",
            "property": "mean_linear_expansion",
            "temperature_from_c": start,
            "temperature_c": end,
            "value": round(mean, 4),
            "low": round(mean - half, 4),
            "high": round(mean + half, 4),
            "unit": unit,
            "origin": node["origin"],
            "sources": node["sources"],
        }


def usual_value(material: str, name: str, values: Sequence[Value], unit: str) -> dict[str, Any]:
    """The row of `usual_values` at 20 degC, or at the nearest temperature held."""
    best = min(values, key=lambda each: (abs(each.at - ROOM_C), each.at))
    return {
        "material": material,
        "item": name,
        "property": name,
        "temperature_from_c": None,
        "temperature_c": best.at,
        "value": round(best.value, 9),
        "low": round(best.low, 9),
        "high": round(best.high, 9),
        "unit": unit,
        "origin": best.origin,
        "sources": ";".join(best.rows),
    }
