"""A material as the shop knows it: names, expansion between temperatures, values at one.

`find_material` is what `db.material(key)` returns. Reading one loads neither NumPy nor the unit
library; the curve is read when first asked for. Strains are shares of the length at 20 degC,
where drawings and gauges are true.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any

from specdb.answers.material_names import Named, named, resolve_material
from specdb.errors import NotKnown, OutOfRange, UnknownName
from specdb.estimate import Estimate
from specdb.store.asof import Reader
from specdb.store.query import materials as rows
from specdb.store.remembered import recall

if TYPE_CHECKING:
    from specdb.physics.curves import Curve, Table
    from specdb.records.material import MaterialRequest, MaterialResult

__all__ = ["Material", "find_material", "material", "resolve_material"]

ROOM_C = 20.0
STRAINS = 4096
"""Strains a material keeps."""
EXPANSION = ("mean_linear_expansion", "instantaneous_linear_expansion", "expansion_strain")
STRENGTHS = ("proof_strength", "tensile_strength", "compressive_yield")


def find_material(reader: Reader, name: str) -> Material:
    """The material called `name`: a key, a standard's designation, or an insert class.

    A class means the material it stands on; `insert_class` then says so. Raises UnknownName.
    """
    found = named(reader, name)
    called = ("material", found.key, found.insert_class)
    return recall(reader, called, lambda: Material(reader, found))


class Material:
    """A material of the database, as of the release it was read from.

    Temperatures are text (`"150 degC"`, `"300 degF"`) or numbers in degC. Every figure is an
    Estimate naming its rows. Raises BadQuantity for a temperature that cannot be read, OutOfRange
    outside what is known, NotKnown where nothing is.
    """

    def __init__(self, reader: Reader, found: Named) -> None:
        row = found.row or rows.by_key(reader, found.key)
        if row is None:
            raise NotKnown(f"the class {found.insert_class!r} stands on no material held.")
        self._reader = reader
        self._class_row = found.class_row
        self.insert_class = found.insert_class
        """The insert class asked for, where one was."""
        self.row: str = row["id"]
        self.key: str = row["key"]
        self.name: str = row["name"]
        self.family: str = row["family"]
        self.material_class: str = row["material_class"]
        listed = (row["designations"] or "").split(";")
        self.designations = tuple(one.strip() for one in listed if one.strip())
        self.condition: str | None = row["condition"]
        self.composition: str | None = row["composition"]
        self.fails_by: str = row["fails_by"]
        self.age_hardened: bool = row["age_hardened"] == "yes"
        self.notes: str | None = row["note"]
        self._strains: dict[float, Estimate] = {}

    def __repr__(self) -> str:
        return f"<Material {self.key}: {self.name}>"

    def mean_expansion(self, start: object, end: object) -> Estimate:
        """Mean linear expansion between two temperatures, 1/K, on the length at 20 degC.

        At one and the same temperature it is the slope of the curve there. The order of the two
        does not matter. The band is `specdb.physics.band`: errors at two temperatures of one
        curve go together.
        """
        curve = self.curve()
        low, high = sorted((self._on_curve(start, "start"), self._on_curve(end, "end")))
        if high - low < 1e-6:
            return self._slope(low)
        from specdb.physics.band import half_between

        mean = curve.mean(low, high)
        half = half_between(curve, low, high) / (high - low)
        return Estimate(mean, mean - half, mean + half, "1/K", self._curve_rows(low, high))

    def expansion_strain(self, to: object, start: object = ROOM_C) -> Estimate:
        """Change of length from `start` to `to` over the length at 20 degC; negative on cooling."""
        if start != ROOM_C or not isinstance(to, float):
            return self._strained(to, start)
        # Asked for again and again at the same steps, by every seat of a head.
        found = self._strains.get(to)
        if found is None:
            if len(self._strains) >= STRAINS:
                self._strains.clear()
            found = self._strains[to] = self._strained(to, start)
        return found

    def _strained(self, to: object, start: object) -> Estimate:
        curve = self.curve()
        begin, end = self._on_curve(start, "start"), self._on_curve(to, "to")
        from specdb.physics.band import half_between

        strain = curve.strain(end) - curve.strain(begin)
        half = half_between(curve, begin, end)
        return Estimate(strain, strain - half, strain + half, "1", self._curve_rows(begin, end))

    def value(self, name: str, at: object = ROOM_C, *, state: str = "running") -> Estimate:
        """Property `name` at a temperature, in the unit of its table (`youngs_modulus`: GPa).

        Straight lines between the temperatures held. Poisson's ratio is taken the same at
        every temperature, density follows the expansion. `state`, for strengths: `running`
        (hours at the temperature) or `short` (heated for minutes); colder than the coldest
        value held that one is given, since metals lose strength on heating.
        """
        at_c = _celsius(at, "at")
        self._known(name)
        if name in EXPANSION:
            return self._expansion(name, at_c)
        nodes = self._nodes(name, state)
        if name == "poissons_ratio":
            return _between(nodes, min(max(at_c, nodes[0]["temperature_c"]), _last(nodes)))
        if name == "density":
            return self._density(nodes, at_c)
        if name in STRENGTHS:
            at_c = max(at_c, nodes[0]["temperature_c"])
        if name == "max_exposure_temperature":
            at_c = nodes[0]["temperature_c"]
        at_c = _snapped(at_c, nodes[0]["temperature_c"], _last(nodes))
        self._check(name, nodes, at_c)
        return _between(nodes, at_c)

    def origin(self, name: str, at: object = ROOM_C, *, state: str = "running") -> str:
        """Where a value comes from: `own`, `minimum` (own, guaranteed) or `proxy` (borrowed)."""
        at_c = _celsius(at, "at")
        self._known(name)
        nodes = self._curve_nodes if name in EXPANSION else self._nodes(name, state)
        near = _around(nodes, at_c)
        found = {node["origin"] for node in near}
        return next(each for each in ("proxy", "minimum", "own") if each in found)

    def curve(self) -> Curve:
        """The expansion curve, strain from 20 degC. Raises NotKnown where none is held."""
        return self._curve

    def table(self, name: str) -> Table:
        """A property over temperature as a table of its best values, for arithmetic."""
        from specdb.physics.curves import Table

        self._known(name)
        nodes = self._nodes(name, "running")
        return Table(
            tuple(node["temperature_c"] for node in nodes),
            tuple(node["value"] for node in nodes),
            label=f"{name} of {self.key}",
        )

    @cached_property
    def usual(self) -> Mapping[str, Estimate]:
        """The figures asked for most: `mean_linear_expansion.20.200`, `youngs_modulus`, ..."""
        return {row["item"]: _estimate(row) for row in rows.usual(self._reader, self.key)}

    @cached_property
    def unknown(self) -> Mapping[str, str]:
        """Property -> why nothing can be said of it."""
        found = {}
        for name in self._units:
            if name not in EXPANSION and not self._held(name, "running"):
                found[name] = self._why_not(name)
        if not self._curve_nodes:
            found["expansion_strain"] = self._why_not("expansion_strain")
        return found

    @property
    def rows(self) -> tuple[str, ...]:
        """The rows that say what this material is."""
        return tuple(sorted({self.row, *([self._class_row] if self._class_row else [])}))

    @cached_property
    def _units(self) -> dict[str, str]:
        return rows.properties(self._reader)

    @cached_property
    def _curve_nodes(self) -> list[dict[str, Any]]:
        return rows.curve(self._reader, self.key)

    @cached_property
    def _curve(self) -> Curve:
        from specdb.physics.curves import Curve

        nodes = self._curve_nodes
        if not nodes:
            raise NotKnown(self._why_not("expansion_strain"))
        return Curve(
            temperatures_c=tuple(node["temperature_c"] for node in nodes),
            strain_points=tuple(node["strain"] for node in nodes),
            low_points=tuple(node["low"] for node in nodes),
            high_points=tuple(node["high"] for node in nodes),
            label=f"expansion of {self.key}",
        )

    @cached_property
    def _value_nodes(self) -> dict[tuple[str, str], list[dict[str, Any]]]:
        return {}

    def _held(self, name: str, state: str) -> list[dict[str, Any]]:
        part = (name, state if name in STRENGTHS else "")
        if part not in self._value_nodes:
            self._value_nodes[part] = rows.values(self._reader, self.key, *part)
        return self._value_nodes[part]

    def _nodes(self, name: str, state: str) -> list[dict[str, Any]]:
        if name in STRENGTHS and state not in ("running", "short"):
            raise UnknownName("state", state, ("running", "short"), field="state")
        nodes = self._held(name, state)
        if not nodes:
            raise NotKnown(self._why_not(name))
        return nodes

    def _known(self, name: str) -> None:
        if name not in self._units:
            raise UnknownName("property", name, self._units, field="property")

    def _why_not(self, name: str) -> str:
        said = name.replace("_", " ")
        held = rows.rows(self._reader, self.key, name)
        limits = [row for row in held if "upper limit" in (row["condition"] or "")]
        if limits:
            top = f"{limits[0]['value']} {limits[0]['unit']}"
            return f"{said} of {self.key} is not known: only an upper limit of its kind, {top}."
        doubt = sorted({row["basis"] for row in held} - {"stands"})
        why = f" (rows held: {', '.join(doubt)})" if doubt else ""
        borrow = " Strength is never borrowed from another alloy." if name in STRENGTHS else ""
        return f"{said} of {self.key} is not known{why}.{borrow}"

    def _on_curve(self, given: object, field: str) -> float:
        """A temperature, brought onto an end of the curve that only rounding kept it from."""
        curve = self.curve()
        return _snapped(_celsius(given, field), curve.start_c, curve.end_c)

    def _check(self, name: str, nodes: list[dict[str, Any]], at_c: float) -> None:
        low, high = nodes[0]["temperature_c"], _last(nodes)
        if low <= at_c <= high:
            return
        said = name.replace("_", " ")
        span = f"at {low:g} degC" if low == high else f"from {low:g} to {high:g} degC"
        near = low if at_c < low else high
        raise OutOfRange(
            f"{said} of {self.key} is known {span} only; {at_c:g} degC was asked.",
            hint=f"At {near:g} degC it is {_between(nodes, near).value:.4g} {nodes[0]['unit']}.",
        )

    def _expansion(self, name: str, at_c: float) -> Estimate:
        if name == "expansion_strain":
            return self.expansion_strain(at_c).scaled(1e6, "1e-6")
        if name == "mean_linear_expansion":
            return self.mean_expansion(ROOM_C, at_c).scaled(1e6, "1e-6/K")
        return self._slope(at_c).scaled(1e6, "1e-6/K")

    def _slope(self, at_c: float) -> Estimate:
        """Instantaneous expansion, 1/K; its band is that of the short stretch round it."""
        from specdb.physics.band import half_between

        curve = self.curve()
        slope = curve.instantaneous(at_c)
        begin, end = max(at_c - 10.0, curve.start_c), min(at_c + 10.0, curve.end_c)
        half = half_between(curve, begin, end) / (end - begin)
        return Estimate(slope, slope - half, slope + half, "1/K", self._curve_rows(begin, end))

    def _density(self, nodes: list[dict[str, Any]], at_c: float) -> Estimate:
        """Density at 20 degC over the volume grown from there."""
        room = _between(nodes, min(max(ROOM_C, nodes[0]["temperature_c"]), _last(nodes)))
        if at_c == ROOM_C:
            return room
        strain = self.expansion_strain(at_c)
        grown = room.scaled((1.0 + strain.value) ** -3, room.unit)
        sources = (*room.sources, *strain.sources)
        return Estimate(grown.value, grown.low, grown.high, room.unit, sources)

    def _curve_rows(self, *at: float) -> tuple[str, ...]:
        """The rows behind the strain from one temperature to another."""
        nodes = [node for each in at if each != ROOM_C for node in _around(self._curve_nodes, each)]
        return _sources(nodes or _around(self._curve_nodes, ROOM_C))


def _celsius(given: object, field: str) -> float:
    if isinstance(given, float) and math.isfinite(given):
        return given
    from specdb import units

    return units.read(given, "temperature", field=field, least=-273.15, most=2000.0)


def _snapped(at: float, low: float, high: float) -> float:
    """`at`, or the end of the range it misses by less than 0.01 K: kelvin seldom come out even."""
    inside = min(max(at, low), high)
    return inside if abs(at - inside) < 0.01 else at


def _last(nodes: list[dict[str, Any]]) -> float:
    return float(nodes[-1]["temperature_c"])


def _around(nodes: list[dict[str, Any]], at: float) -> list[dict[str, Any]]:
    """The node at `at`, else the two it lies between, else the nearest."""
    for k, node in enumerate(nodes):
        if node["temperature_c"] == at:
            return [node]
        if node["temperature_c"] > at:
            return nodes[max(k - 1, 0) : k + 1]
    return nodes[-1:]


def _sources(nodes: list[dict[str, Any]]) -> tuple[str, ...]:
    return tuple(sorted({each for node in nodes for each in node["sources"].split(";") if each}))


def _estimate(row: Mapping[str, Any]) -> Estimate:
    return Estimate(
        row["value"], row["low"], row["high"], row["unit"], tuple(row["sources"].split(";"))
    )


def _between(nodes: list[dict[str, Any]], at: float) -> Estimate:
    """The value at `at` degC inside the nodes, its band interpolated with it."""
    near = _around(nodes, at)
    first, last = near[0], near[-1]
    span = last["temperature_c"] - first["temperature_c"]
    share = (at - first["temperature_c"]) / span if span else 0.0
    value, low, high = (
        first[column] + share * (last[column] - first[column])
        for column in ("value", "low", "high")
    )
    return Estimate(value, low, high, first["unit"], _sources(near))


def material(reader: Reader, request: MaterialRequest) -> MaterialResult:
    """What a material is, its usual figures, and what was asked about it in particular."""
    from specdb.answers.material_sheet import sheet

    return sheet(reader, request)
