"""A question's form, printed from its request record: the short part first, the rest folded."""

from __future__ import annotations

import re
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from pydantic.fields import FieldInfo

from specdb.answers.known import Choice
from specdb.answers.registry import QUESTIONS, Question
from specdb.database import Database
from specdb.records.words import said
from specdb.web import asked
from specdb.web.tables import MOST_ROWS

FIVE = {"seat": ("bore", "head", "insert", "position", "depth")}
"""The five things the first form asks."""
READINGS = 4
"""Inputs shown for a list of readings."""
LABELS = {
    "bore": "bore readings",
    "head": "head",
    "insert": "ring material",
    "insert_diameter": "ring, outside diameter",
    "insert_inner": "ring, inside diameter",
    "depth": "depth of the counterbore",
    "height": "height of the ring",
    "row": "row id",
    "bore_bottom": "readings near the floor",
    "wall": "wall to leave",
    "runout": "run-out, total dial reading",
    "setback": "insert below head face (+), proud (-)",
    "inset": "seat edge in from valve edge, each side",
    "from_temperature": "from",
    "to_temperature": "to",
    "at": "property at",
    "margin": "margin, the valve's rim",
    "recess": "recess, + below the deck",
    "hub_outer": "head metal round the ring, outside",
    "interference_min": "least press",
    "interference_max": "greatest press",
    "readings": "table of the head",
    "hardness_hb": "hardness beside the seat, HB",
    "inner_max": "inside diameter, largest that serves",
    "inner_min": "inside diameter, smallest that serves",
    "height_max": "height, greatest that serves",
    "largest_clean_up": "most to take out, on diameter",
    "metal_below": "head metal below the ring",
    "thinnest_metal": "thinnest metal round the counterbore",
    "bridge_heights": "stem heights under one bridge",
    "taken_off": "metal off the seat",
    "old_insert": "old ring, outside diameter",
    "old_insert_class": "old ring, material",
    "insert_depth_below_deck": "ring's face below the deck",
    "insert_temperature": "ring at",
    "head_temperature": "head at",
    "insert_tolerance": "ring, tolerance",
    "bore_tolerance": "bore, tolerance",
    "insert_roughness": "roughness of the ring's outside, Rz",
    "bore_roughness": "roughness of the counterbore, Rz",
    "most": "most sizes to look for",
}
"""The words of a form where the name of an argument is not the shop's."""
ABOUT = {
    asked.TABLE: f"The names of the columns first, then a row a seat; at most {MOST_ROWS:,} rows."
}
"""What a form says of an argument where the record speaks to programs."""


@dataclass(frozen=True, slots=True)
class Field:
    """One argument as a form shows it. `values` is what stands in its inputs."""

    name: str
    label: str
    about: str
    kind: str
    """text, readings, select, switch or table."""
    needed: bool
    values: tuple[str, ...]
    groups: tuple[tuple[str, tuple[Choice, ...]], ...]
    hint: str
    error: str


@dataclass(frozen=True, slots=True)
class Form:
    """The fields at once in sight, and those that are folded away until somebody has said one."""

    question: str
    short: tuple[Field, ...]
    more: tuple[Field, ...]
    unfolded: bool
    error: str
    """What is wrong with no field of the form."""


def form(
    question: Question,
    db: Database,
    given: Mapping[str, list[str]],
    *,
    error: str = "",
    field: str = "",
) -> Form:
    """The form, filled with what was given; `error` stands beside its `field`."""
    fields = question.request_type().model_fields
    short = short_names(question)
    named, say = field in fields, spoken(question)

    def made(name: str) -> Field:
        wrong = say(error) if name == field else ""
        return _field(name, fields[name], db, given.get(name, []), wrong, say)

    rest = [name for name in fields if name not in short]
    return Form(
        question.name,
        tuple(map(made, short)),
        tuple(map(made, rest)),
        any(given.get(name) and any(given[name]) for name in rest) or field in rest,
        "" if named else say(error),
    )


def label(name: str) -> str:
    """What a form calls an argument."""
    return LABELS.get(name) or said(name)


def spoken(question: Question) -> Callable[[str], str]:
    """Text with the arguments of a question called as its form calls them. A name of one word is a
    word of the trade too, and stays."""
    fields = {**question.request_type().model_fields}
    if asked.TABLE in fields:
        fields |= QUESTIONS["seat"].request_type().model_fields
    names = [re.escape(name) for name in fields if "_" in name]
    found = re.compile(rf"(?<![\w.-])(?:{'|'.join(names) or '(?!)'})(?![\w.-]*\w)")
    return lambda text: found.sub(lambda name: label(name[0]), text)


def short_names(question: Question) -> tuple[str, ...]:
    """The arguments worth asking first: the five of a seat, else those that are needed and those
    of the example.
    """
    if question.name in FIVE:
        return FIVE[question.name]
    fields = question.request_type().model_fields
    return tuple(
        name for name, each in fields.items() if each.is_required() or name in question.example
    )


def _field(
    name: str,
    info: FieldInfo,
    db: Database,
    given: list[str],
    error: str,
    say: Callable[[str], str],
) -> Field:
    words = _literals(info.annotation)
    known = tuple(Choice(word, word, "") for word in words) or db.known(name)
    many = asked.is_list(info.annotation)
    if bool in asked.members(info.annotation):
        kind, known = "switch", (Choice("true", "yes", ""), Choice("false", "no", ""))
    elif known and not many:
        kind = "select"
    elif name == asked.TABLE:
        kind = "table"
    else:
        kind = "readings" if many else "text"
    values = tuple(given) or _default(info, kind)
    return Field(
        name=name,
        label=label(name).capitalize(),
        about=ABOUT.get(name) or say(info.description or ""),
        kind=kind,
        needed=info.is_required(),
        values=_padded(values) if kind == "readings" else (values[:1] or ("",)),
        groups=_groups(known, values if kind == "select" else ()),
        hint="" if kind in ("select", "switch") else _example(info),
        error=error,
    )


def _padded(values: tuple[str, ...]) -> tuple[str, ...]:
    said_ones = tuple(each for each in values if each.strip())
    return said_ones + ("",) * max(1, READINGS - len(said_ones))


def _default(info: FieldInfo, kind: str) -> tuple[str, ...]:
    if kind == "select" and isinstance(info.default, str):
        return (info.default,)
    return ()


def _groups(
    known: tuple[Choice, ...], values: tuple[str, ...]
) -> tuple[tuple[str, tuple[Choice, ...]], ...]:
    """Choices by group; a value given that is none of them is offered too."""
    foreign = [each for each in values if each and each not in {choice.value for choice in known}]
    every = (*(Choice(each, each, "as given") for each in foreign), *known)
    return tuple((group, tuple(ones)) for group, ones in groupby(every, key=lambda one: one.group))


def _example(info: FieldInfo) -> str:
    if info.default not in (None, ()) and not info.is_required():
        return f"not said: {info.default}"
    extra = info.json_schema_extra
    examples = extra.get("examples") if isinstance(extra, dict) else None
    return f"such as {examples[0]}" if isinstance(examples, list) and examples else ""


def _literals(annotation: Any) -> tuple[str, ...]:
    return tuple(
        str(word)
        for each in asked.members(annotation)
        if typing.get_origin(each) is typing.Literal
        for word in typing.get_args(each)
    )
