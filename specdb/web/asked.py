"""From an address to the arguments of a question: every name known, nothing said twice."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any
from urllib.parse import parse_qsl

from specdb.answers.registry import QUESTIONS, Question
from specdb.errors import BadRequest, UnknownName

MOST = 200
"""Parameters an address may carry."""
LONGEST = 2000
"""Characters a value may have that is no table."""
SHEETS = ("bench", "record")
"""Sheets a plan can be printed on: for the bench, for the customer."""
TABLE = "readings"
"""The argument that holds a table."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The arguments of a question, and what the address says besides."""

    arguments: dict[str, Any] = field(default_factory=dict)
    release: str | None = None
    everything: bool = False
    sheet: str = ""
    """`bench` or `record` where the answer is wanted as a sheet to print."""


def read(
    question: Question, query: str, *, blanks: bool = False, besides: Iterable[str] = ("release",)
) -> Asked:
    """The arguments in a query string. `blanks`: an empty value means not said, as in a form.

    Raises UnknownName for a name the question does not have, BadRequest for one said twice that
    is no list.
    """
    fields = _fields(question.name)
    arguments: dict[str, Any] = {}
    apart: dict[str, str] = {}
    for name, value in pairs(query):
        if blanks and not value.strip():
            continue
        if name in besides:
            if name in apart:
                raise _twice(name)
            apart[name] = value
        elif name not in fields:
            known = [*fields, *besides]
            raise UnknownName(f"argument of {question.name!r}", name, known, field=name)
        elif fields[name]:
            arguments.setdefault(name, []).append(value)
        elif name in arguments:
            raise _twice(name)
        else:
            arguments[name] = value
    sheet = apart.get("sheet", "")
    if sheet not in ("", *SHEETS):
        raise BadRequest(f"sheet: {sheet!r} is none.", hint=f"Accepted: {', '.join(SHEETS)}.")
    return Asked(arguments, apart.get("release") or None, apart.get("all") == "1", sheet)


@lru_cache
def _fields(question: str) -> dict[str, bool]:
    """The arguments of a question, and whether each is a list."""
    fields = QUESTIONS[question].request_type().model_fields
    return {name: is_list(each.annotation) for name, each in fields.items()}


def pairs(query: str) -> list[tuple[str, str]]:
    """Names and values of a query string; raises BadRequest where it cannot be read."""
    try:
        found = parse_qsl(query, keep_blank_values=True, errors="strict", max_num_fields=MOST)
    except UnicodeDecodeError:
        raise BadRequest("the address is not UTF-8.", hint="Percent-encode UTF-8.") from None
    except ValueError:
        raise BadRequest(
            "the address carries too many parameters.", hint=f"Accepted: at most {MOST}."
        ) from None
    for name, value in found:
        if len(value) > LONGEST and name != TABLE:
            raise BadRequest(
                f"{name[:40]}: a value of {len(value)} characters is not read.",
                hint=f"Accepted: at most {LONGEST} characters.",
                field=name,
            )
        if "\x00" in value:
            raise BadRequest(f"{name[:40]}: a value with a NUL character.", field=name)
    return found


def plain(query: str) -> dict[str, list[str]]:
    """Every value said under each name, as said: what a form is filled with again."""
    said: dict[str, list[str]] = {}
    try:
        found = parse_qsl(query, keep_blank_values=True, errors="replace", max_num_fields=MOST)
    except ValueError:
        return {}
    for name, value in found:
        said.setdefault(name, []).append(value if name == TABLE else value[:LONGEST])
    return said


def members(annotation: Any) -> list[Any]:
    """The alternatives of a type, without None."""
    if typing.get_origin(annotation) in (typing.Union, types.UnionType):
        found = [each for each in typing.get_args(annotation) if each is not type(None)]
    else:
        found = [annotation]
    return [
        typing.get_args(each)[0] if typing.get_origin(each) is typing.Annotated else each
        for each in found
    ]


def is_list(annotation: Any) -> bool:
    """Whether a field takes several values."""
    return any(typing.get_origin(each) in (list, tuple) for each in members(annotation))


def _twice(name: str) -> BadRequest:
    return BadRequest(f"{name}: said more than once.", hint="Accepted: one value.", field=name)
