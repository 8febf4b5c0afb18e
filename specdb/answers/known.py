"""What is known for an argument of a question, for a form to offer: values and their words."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from specdb.answers import names
from specdb.answers.registry import QUESTIONS
from specdb.errors import UnknownName
from specdb.store.asof import Reader
from specdb.store.query import known as rows


class Choice(NamedTuple):
    """A value an argument takes, how it is called, and the group it belongs to."""

    value: str
    label: str
    group: str


def known(reader: Reader, argument: str) -> tuple[Choice, ...]:
    """The values known for an argument by its name; none where it is free. Raises `UnknownName` for
    a name that is no argument of any question."""
    found = _ARGUMENTS.get(argument)
    if found:
        return tuple(found(reader))
    every = {name for each in QUESTIONS.values() for name in each.request_type().model_fields}
    if argument not in every:
        raise UnknownName("argument of any question", argument, every, field="argument")
    return ()


def _heads(reader: Reader) -> list[Choice]:
    found = [row for row in rows.materials(reader) if row["family"] == "head"]
    classes = {row["material_class"] for row in found}
    return [
        *(
            Choice(each, f"{each.replace('-', ' ')}, alloy not known", "kind of metal")
            for each in names.HEAD_CLASSES
            if each in classes
        ),
        *(Choice(row["key"], row["name"], "material") for row in found),
    ]


def _inserts(reader: Reader) -> list[Choice]:
    return [
        *(
            Choice(row["key"], row["name"], "class it is ordered by")
            for row in rows.classes(reader)
        ),
        *(
            Choice(row["key"], row["name"], "material")
            for row in rows.materials(reader)
            if row["family"] == "insert"
        ),
    ]


def _guides(reader: Reader) -> list[Choice]:
    found = [row for row in rows.materials(reader) if row["family"] == "guide"]
    return [Choice(row["key"], row["name"], "") for row in found]


def _materials(reader: Reader) -> list[Choice]:
    return [Choice(row["key"], row["name"], row["family"]) for row in rows.materials(reader)]


def _chills(reader: Reader) -> list[Choice]:
    cold = [row["key"] for row in rows.media(reader) if row["kind"].startswith("chill")]
    return [Choice(key, key.replace("-", " "), "") for key in ("none", *cold)]


def _media(reader: Reader) -> list[Choice]:
    return [Choice(row["key"], row["key"].replace("-", " "), "") for row in rows.media(reader)]


def _listed(name: str) -> Callable[[Reader], list[Choice]]:
    def find(reader: Reader) -> list[Choice]:
        found = [row["word"] for row in rows.words(reader, name) if row["word"] != "any"]
        return [Choice(word, word.replace("-", " ").replace("_", " "), "") for word in found]

    return find


_ARGUMENTS: dict[str, Callable[[Reader], list[Choice]]] = {
    "head": _heads,
    "insert": _inserts,
    "guide": _guides,
    "material": _materials,
    "chill": _chills,
    "available": _media,
    "property": _listed("property"),
    "duty": _listed("duty"),
    "fuel": _listed("fuel"),
    "valve_material": _listed("valve-material"),
    "part": _listed("part"),
}
