"""Insert classes, and which of them suits which duty."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

_CLASSES = f"""
SELECT c.id, c.key, c.name, c.material, c.also_called, c.copper_coloured, c.brittle,
       m.material_class, m.id AS material_row
FROM insert_classes AS c
LEFT JOIN materials AS m ON m.key = c.material AND {live("m")}
WHERE {live("c")}
ORDER BY c.key
"""
_CHOICES = f"""
SELECT c.id, c.duty, c.fuel, c.position, c.valve_material, c.head_class, c.insert_class,
       c.verdict, c.reason
FROM choices AS c
WHERE {live("c")}
ORDER BY c.id
"""
_MATERIAL = f"""
SELECT m.id, m.key, m.name, m.family, m.material_class
FROM materials AS m
WHERE m.key = :key AND {live("m")}
"""
_HEADS = f"""
SELECT m.key FROM materials AS m
WHERE m.family = 'head' AND m.material_class = :head_class AND {live("m")}
ORDER BY m.key
"""
_WORDS = f"""
SELECT v.word, v.definition FROM vocabulary AS v
WHERE v.list = :list AND {live("v")}
ORDER BY v.word
"""


def insert_classes(reader: Reader) -> list[dict[str, Any]]:
    """Every class a shop orders rings by, with the class of the material it stands on."""
    return reader.all(_CLASSES)


def choices(reader: Reader) -> list[dict[str, Any]]:
    """Every row of the table of choices; some dozens."""
    return reader.all(_CHOICES)


def words(reader: Reader, name: str) -> list[str]:
    """The allowed words of a vocabulary list."""
    return [row["word"] for row in reader.all(_WORDS, list=name)]


def material(reader: Reader, key: str) -> dict[str, Any] | None:
    """Name, family and class of a material, or None."""
    return reader.one(_MATERIAL, key=key)


def heads_of_class(reader: Reader, head_class: str) -> list[str]:
    """Keys of the head materials of a class."""
    return [row["key"] for row in reader.all(_HEADS, head_class=head_class)]
