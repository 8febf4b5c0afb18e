"""Materials: by name, their curves, values and usual figures."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

_BY_KEY = f"""
SELECT m.id, m.key, m.name, m.family, m.material_class, m.designations, m.condition,
       m.composition, m.fails_by, m.age_hardened, m.note
FROM materials AS m
WHERE m.key = :key AND {live("m")}
ORDER BY m.id
"""
_CLASS_BY_KEY = f"""
SELECT c.id, c.key, c.name, c.material, c.also_called
FROM insert_classes AS c
WHERE c.key = :key AND {live("c")}
ORDER BY c.id
"""
_NAMES = f"""
SELECT m.key, m.name, m.family, m.material_class, m.designations FROM materials AS m
WHERE {live("m")}
ORDER BY m.key
"""
_CLASS_NAMES = f"""
SELECT c.key, c.name, c.material, c.also_called FROM insert_classes AS c
WHERE {live("c")}
ORDER BY c.key
"""
_USUAL = """
SELECT u.item, u.property, u.temperature_from_c, u.temperature_c, u.value, u.low, u.high,
       u.unit, u.origin, u.sources
FROM usual_values AS u
WHERE u.as_of = :ordinal AND u.material = :material
ORDER BY u.item
"""
_CURVE = """
SELECT n.temperature_c, n.strain, n.low, n.high, n.slope, n.origin, n.sources
FROM curve_nodes AS n
WHERE n.as_of = :ordinal AND n.material = :material
ORDER BY n.temperature_c
"""
_VALUES = """
SELECT n.temperature_c, n.value, n.low, n.high, n.unit, n.origin, n.sources
FROM property_nodes AS n
WHERE n.as_of = :ordinal AND n.material = :material AND n.property = :property
  AND n.state = :state
ORDER BY n.temperature_c
"""
_ROWS = f"""
SELECT p.id, p.temperature, p.temperature_unit, p.value, p.unit, p.condition, p.basis
FROM material_properties AS p
WHERE p.material = :material AND p.property = :property AND {live("p")}
ORDER BY p.id
"""
_EXPANSIONS = f"""
SELECT p.id, p.property, p.temperature_from_c AS start_c, p.temperature_c,
       p.value_house AS value, p.seen, p.basis
FROM material_properties AS p
WHERE p.material = :material AND p.value_house IS NOT NULL
  AND p.property IN ('mean_linear_expansion', 'expansion_strain') AND {live("p")}
ORDER BY p.id
"""
_PROXIES = f"""
SELECT p.id, p.property, p.stands_in, p.extra_percent, p.note
FROM proxies AS p
WHERE p.material = :material AND p.basis = 'stands' AND {live("p")}
ORDER BY p.id
"""
_PROPERTIES = f"""
SELECT v.word, v.unit FROM vocabulary AS v
WHERE v.list = 'property' AND {live("v")}
ORDER BY v.word
"""


def by_key(reader: Reader, key: str) -> dict[str, Any] | None:
    """The material with that key, or None."""
    return reader.one(_BY_KEY, key=key)


def class_by_key(reader: Reader, key: str) -> dict[str, Any] | None:
    """The insert class with that key, or None."""
    return reader.one(_CLASS_BY_KEY, key=key)


def names(reader: Reader) -> list[dict[str, Any]]:
    """Key, name and designations (joined by ';') of every material."""
    return reader.all(_NAMES)


def class_names(reader: Reader) -> list[dict[str, Any]]:
    """Key, name, material and other names (joined by ';') of every insert class."""
    return reader.all(_CLASS_NAMES)


def usual(reader: Reader, material: str) -> list[dict[str, Any]]:
    """The figures asked for most, as the build computed them."""
    return reader.all(_USUAL, material=material)


def curve(reader: Reader, material: str) -> list[dict[str, Any]]:
    """The nodes of a material's expansion curve, coldest first."""
    return reader.all(_CURVE, material=material)


def values(reader: Reader, material: str, name: str, state: str = "") -> list[dict[str, Any]]:
    """The values of one property over temperature, coldest first."""
    return reader.all(_VALUES, material=material, property=name, state=state)


def rows(reader: Reader, material: str, name: str) -> list[dict[str, Any]]:
    """Every row held of one property, whatever its basis."""
    return reader.all(_ROWS, material=material, property=name)


def expansions(reader: Reader, material: str) -> list[dict[str, Any]]:
    """Every printed mean expansion and strain, 1e-6/K and 1e-6."""
    return reader.all(_EXPANSIONS, material=material)


def proxies(reader: Reader, material: str) -> list[dict[str, Any]]:
    """The stand-ins a material declares."""
    return reader.all(_PROXIES, material=material)


def properties(reader: Reader) -> dict[str, str]:
    """Every property and its house unit."""
    return {row["word"]: row["unit"] for row in reader.all(_PROPERTIES)}
