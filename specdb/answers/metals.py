"""The two metals of a joint: found by the name a shop gives, read at a temperature."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from specdb.answers import names
from specdb.answers.joint import ROOM_C
from specdb.answers.material import Material, find_material
from specdb.answers.press import Part
from specdb.errors import NoAnswer, OutOfRange
from specdb.estimate import Estimate
from specdb.store.asof import Reader
from specdb.store.query import ring_strength as class_strength

HEAD_OF_CLASS = {
    "aluminium": "al-si7mg-t6",
    "grey-iron": "grey-iron-gjl-250",
    "ductile-iron": "ductile-iron-gjs-500-7",
    "compacted-iron": "compacted-iron-gjv-450",
    "steel": "steel-42crmo4",
}
"""The material a head stands for when only its class is named: the usual one of its kind."""


@dataclass
class Metal:
    """A material of the joint and what was taken for granted about it, gathered as it is read."""

    material: Material
    limit: str
    strength: Callable[[float], Estimate | None]
    no_strength: str
    assumed: list[str] = field(default_factory=list)

    def strain(self, at_c: float) -> Estimate:
        """Strain from 20 degC (1); raises `OutOfRange` outside its curve."""
        return self.material.expansion_strain(float(at_c))

    def part(self, at_c: float) -> Part:
        """The metal at a temperature: strain, stiffness, strength."""
        return Part(
            self.strain(at_c),
            self.value("youngs_modulus", at_c).scaled(1000.0, "MPa"),
            self.value("poissons_ratio", at_c),
            self.strength(at_c),
            self.limit,
        )

    def value(self, name: str, at_c: float) -> Estimate:
        """A property at a temperature; beyond the last temperature it is known at on the cold
        side, its value there (said in `assumed`)."""
        try:
            return self.material.value(name, float(at_c))
        except OutOfRange:
            if at_c >= ROOM_C:
                raise
        self._assume(
            f"{name.replace('_', ' ')} of {self.material.key} below {ROOM_C:g} degC "
            "taken as at room temperature"
        )
        return self.material.value(name, ROOM_C)

    def _assume(self, text: str) -> None:
        if text not in self.assumed:
            self.assumed.append(text)


@dataclass(frozen=True, slots=True)
class Pair:
    """Head and ring of a joint, and what the names say about the ring."""

    head: Metal
    head_class: str
    insert: Metal
    ring: names.Ring
    rows: tuple[str, ...]


def pair(reader: Reader, head: str, insert: str, *, soft_head: bool = False) -> Pair:
    """The metals called `head` and `insert`; raises `UnknownName` with the nearest.

    `soft_head`: welded or overheated, so that the strength of the sound metal does not hold.
    """
    named = names.head(reader, head)
    ring = names.ring(reader, insert)
    material = find_material(reader, named.material or HEAD_OF_CLASS[named.head_class])
    metal = _head(material, soft_head)
    if named.material is None:
        metal.assumed.append(f"head of {material.name} ({material.key}), the usual one of its kind")
    rows = (*ring.rows, *filter(None, (named.row,)))
    return Pair(metal, named.head_class, _ring(reader, ring), ring, rows)


def _head(material: Material, soft: bool) -> Metal:
    name = "tensile_strength" if material.fails_by == "cracks" else "proof_strength"
    reason = f"no {name.replace('_', ' ')} of {material.key} is known at this temperature"
    if soft:
        reason = "strength of welded or overheated metal is not known; that of sound metal no guide"
    return Metal(
        material,
        material.fails_by,
        (lambda at: None) if soft else (lambda at: _strength(material, name, at)),
        reason,
    )


def _ring(reader: Reader, ring: names.Ring) -> Metal:
    """The ring's strength is its yield in compression: of its class where that is stated, else of
    its material; a tough metal yields in compression where it does in tension."""
    material = find_material(reader, ring.material)
    stated = _class_strength(reader, ring)
    brittle = ring.brittle or material.fails_by == "cracks"

    def strength(at: float) -> Estimate | None:
        if stated is not None:
            return stated
        found = _strength(material, "compressive_yield", at)
        if found is None and not brittle:
            found = _strength(material, "proof_strength", at)
        return found

    metal = Metal(material, "cracks" if brittle else "yields", strength, "ring strength not known")
    if ring.insert_class == ring.name:
        metal.assumed.append(f"a {ring.name} ring stands on {material.name} ({material.key})")
    if stated is not None:
        metal.assumed.append(
            f"ring strength is the range stated for {ring.insert_class} rings, at any temperature"
        )
    return metal


def _class_strength(reader: Reader, ring: names.Ring) -> Estimate | None:
    row = ring.insert_class and class_strength.of_class(reader, ring.insert_class)
    if not row:
        return None
    low, high = row["compressive_yield_min_mpa"], row["compressive_yield_max_mpa"]
    return Estimate((low + high) / 2, low, high, "MPa", (row["id"],))


def _strength(material: Material, name: str, at: float) -> Estimate | None:
    """A strength at a temperature, or None where no row says (never borrowed, never guessed)."""
    try:
        return material.value(name, float(at))
    except NoAnswer:
        return None
