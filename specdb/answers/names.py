"""From what a shop calls a head or a ring to the classes the tables are kept by.

A head may be named by class (`aluminium`) or by material (`al-si7mg-t6`); a ring by the class it
is ordered by (`sintered-tool-steel`) or by material. Raises `UnknownName` with the nearest.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from specdb.answers.material_names import Named, named
from specdb.errors import BadRequest, UnknownName
from specdb.records import trade_words
from specdb.store.asof import Reader
from specdb.store.query import choices as class_rows

HEAD_CLASSES = trade_words.HEAD_METALS
_FAMILIES = {
    "alloyed-cast-iron": "cast-iron",
    "austenitic-cast-iron": "cast-iron",
    "sintered-plain": "sintered-steel",
    "sintered-tool-steel": "sintered-steel",
    "sintered-copper-infiltrated": "sintered-steel",
    "nickel-base": "nickel-alloy",
    "cobalt-base": "cobalt-alloy",
}
"""Insert class -> the wider class published ranges speak of, where it has a name of its own."""


@dataclass(frozen=True, slots=True)
class Head:
    """A head: its class and, when a material was named, which."""

    head_class: str
    material: str | None
    row: str | None


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring. `answers_to`: the classes ranges may name it by, its own first, `any` last."""

    name: str
    insert_class: str | None
    material: str
    answers_to: tuple[str, ...]
    copper_coloured: bool
    brittle: bool
    rows: tuple[str, ...]


def head(reader: Reader, name: str) -> Head:
    """The head called `name`, by class, material key or designation."""
    name = trade_words.meant("head", name)
    said = trade_words.fold(name)
    if said in HEAD_CLASSES:
        return Head(said, None, None)
    row = _material(reader, _meant(reader, name, "head", HEAD_CLASSES).key)
    if row["material_class"] not in HEAD_CLASSES or row["family"] not in ("head", "reference"):
        raise BadRequest(
            f"head: {name!r} is {row['name']}, which no head is made of.",
            hint=f"Accepted: a head material or a class: {', '.join(HEAD_CLASSES)}.",
            field="head",
        )
    return Head(row["material_class"], row["key"], row["id"])


def ring(reader: Reader, name: str) -> Ring:
    """The ring called `name`, by insert class, material key or designation."""
    name = trade_words.meant("insert", name)
    classes = class_rows.insert_classes(reader)
    meant = _meant(reader, name, "insert", [row["key"] for row in classes])
    if meant.insert_class is not None:
        return _class_ring(next(row for row in classes if row["key"] == meant.insert_class))
    material = _material(reader, meant.key)
    if material["family"] not in ("insert", "guide", "valve", "reference"):
        raise BadRequest(
            f"insert: {name!r} is {material['name']}, which no ring is made of.",
            hint=f"Accepted: a ring material or a class: {', '.join(r['key'] for r in classes)}.",
            field="insert",
        )
    standing = [row for row in classes if row["material"] == material["key"]]
    families = {_FAMILIES.get(row["key"], row["key"]) for row in standing}
    own = [row["key"] for row in standing] if len(standing) == 1 else []
    return Ring(
        name=material["key"],
        insert_class=own[0] if own else None,
        material=material["key"],
        answers_to=_unique([*own, *sorted(families), material["material_class"], "any"]),
        copper_coloured=material["material_class"] == "copper-alloy",
        brittle=bool(standing) and all(row["brittle"] == "yes" for row in standing),
        rows=(material["id"],),
    )


def _class_ring(row: dict[str, Any]) -> Ring:
    key = row["key"]
    return Ring(
        name=key,
        insert_class=key,
        material=row["material"],
        answers_to=_unique([key, _FAMILIES.get(key, key), row["material_class"] or "any", "any"]),
        copper_coloured=row["copper_coloured"] == "yes",
        brittle=row["brittle"] == "yes",
        rows=(row["id"],),
    )


def _unique(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _meant(reader: Reader, name: str, field: str, classes: Iterable[str]) -> Named:
    try:
        return named(reader, name, field=field)
    except UnknownName as unknown:
        known = [*classes, *unknown.near]
        raise UnknownName(f"{field} class or material", name, known, field=field) from None


def _material(reader: Reader, key: str) -> dict[str, Any]:
    row = class_rows.material(reader, key)
    if row is None:
        raise UnknownName("material", key, [])
    return row


def word(reader: Reader, vocabulary: str, given: str, field: str) -> str:
    """`given` as a word of a vocabulary list; raises `UnknownName` with the nearest."""
    known = known_words(reader, vocabulary)
    said = trade_words.fold(given)
    said = said if said in known else trade_words.meant(field, given)
    if said not in known:
        raise UnknownName(field.replace("_", " "), given, known, field=field)
    return said


def known_words(reader: Reader, vocabulary: str) -> list[str]:
    """The words of a vocabulary list that name something (`any` does not)."""
    return [each for each in class_rows.words(reader, vocabulary) if each != "any"]


def fuel_said(text: str) -> str:
    """A shop's word for a fuel as the vocabulary has it."""
    return trade_words.meant("fuel", text)
