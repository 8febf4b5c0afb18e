"""What a form may offer: names of materials, classes, media and the controlled words."""

from __future__ import annotations

from typing import Any

from specdb.store.asof import Reader, live

_MATERIALS = f"""
SELECT m.key, m.name, m.family, m.material_class
FROM materials AS m WHERE {live("m")} ORDER BY m.family, m.key
"""
_CLASSES = f"""
SELECT c.key, c.name FROM insert_classes AS c WHERE {live("c")} ORDER BY c.key
"""
_MEDIA = f"""
SELECT m.key, m.kind FROM media AS m WHERE {live("m")} ORDER BY m.kind, m.key
"""
_WORDS = f"""
SELECT v.word, v.definition FROM vocabulary AS v
WHERE v.list = :list AND {live("v")}
ORDER BY v.word
"""
_DIGEST = "SELECT m.value FROM meta AS m WHERE m.key = 'digest'"


def materials(reader: Reader) -> list[dict[str, Any]]:
    """Key, name, family and class of every material, by family."""
    return reader.all(_MATERIALS)


def classes(reader: Reader) -> list[dict[str, Any]]:
    """Key and name of every insert class."""
    return reader.all(_CLASSES)


def media(reader: Reader) -> list[dict[str, Any]]:
    """Key and kind of every heating and chilling medium."""
    return reader.all(_MEDIA)


def words(reader: Reader, name: str) -> list[dict[str, Any]]:
    """The words of a list of the vocabulary, with what each means."""
    return reader.all(_WORDS, list=name)


def digest(reader: Reader) -> str:
    """The digest of the whole database file's content, as the build wrote it."""
    found = reader.one(_DIGEST)
    return found["value"] if found else ""
