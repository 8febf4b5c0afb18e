"""The kinds of cell, what every row has, and what every fact says of itself."""

from __future__ import annotations

import math
import re
from typing import Annotated, ClassVar, Literal, NamedTuple

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

Seen = Literal["text", "excerpt", "secondary", "memory", "common-practice", "derived"]
SEEN_ORDER: tuple[Seen, ...] = (
    "text",
    "excerpt",
    "secondary",
    "derived",
    "common-practice",
    "memory",
)
"""How a fact was seen, best first."""
Basis = Literal["stands", "proxy", "outlier", "example", "unverified", "superseded"]
"""How far a row may be used: only rows that stand enter an average."""

KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
ID = re.compile(r"[a-z0-9]+(?:[.-][a-z0-9]+)*")


def _key(text: str) -> str:
    if not KEY.fullmatch(text):
        raise ValueError(f"{text!r} is not a key: lower-case letters, digits, single hyphens")
    return text


def _id(text: str) -> str:
    if not ID.fullmatch(text):
        raise ValueError(f"{text!r} is not an id: words of a-z and 0-9 joined by '.' or '-'")
    return text


def _number(text: str) -> str:
    try:
        finite = math.isfinite(float(text))
    except ValueError:
        finite = False
    if not finite or text != text.strip() or "_" in text:
        raise ValueError(f"{text!r} is not a finite number")
    return text


def _numbers(text: str) -> str:
    for part in text.split(";"):
        _number(part)
    return text


def _keys(text: str) -> str:
    for part in text.split(";"):
        _key(part)
    return text


def _release(text: str) -> str:
    if text != "next" and not re.fullmatch(r"20\d\d\.\d\d(?:\.\d+)?", text):
        raise ValueError(f"{text!r} is not a release: 'next' or a version such as 2026.11")
    return text


Key = Annotated[str, AfterValidator(_key)]
Id = Annotated[str, AfterValidator(_id)]
Keys = Annotated[str, AfterValidator(_keys)]
"""Keys joined by ';'."""
Number = Annotated[str, AfterValidator(_number)]
Numbers = Annotated[str, AfterValidator(_numbers)]
"""Numbers joined by ';'."""
Release = Annotated[str, AfterValidator(_release)]
Text = Annotated[str, Field(min_length=1)]


class Converted(NamedTuple):
    """How a converted column comes about: the cell, the cell of its unit, the house unit.

    `house` is a unit, `by-property` (the unit the vocabulary gives the row's property), or
    `as-feature` (lengths in mm, all else in the unit written). `difference` marks a temperature
    difference, which converts without the zero point.
    """

    cell: str
    unit: str
    house: str
    difference: bool = False


class Row(BaseModel):
    """A row as written. An empty cell is None."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    CONVERTED: ClassVar[dict[str, Converted]] = {}
    REFERENCES: ClassVar[dict[str, str]] = {}
    """Column -> `table` its key(s) must be found in, or `vocabulary:list`."""


class Fact(Row):
    """What every fact says of itself.

    `printed` is the figure as the source prints it, when the cells are not that already;
    `locator` the place in the source; `basis` how far the row may be used.
    """

    source: Keys
    seen: Seen
    locator: Text | None
    printed: Text | None
    basis: Basis
    note: Text | None
    release: Release
