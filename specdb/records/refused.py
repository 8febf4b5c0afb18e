"""What a record refuses, said as the family's errors: given, understood, accepted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from specdb.errors import BadRequest, MissingArguments, Misuse, UnknownName


def misuse(question: str, error: ValidationError, known: Iterable[str], hint: str = "") -> Misuse:
    """The refusal of arguments to `question`, which takes those `known`; `hint` is said where some
    are missing."""
    details = error.errors(include_url=False)
    for each in details:
        if each["type"] == "extra_forbidden" and len(each["loc"]) == 1:
            name = str(each["loc"][0])
            return UnknownName(f"argument of {question!r}", name, known, field=name)
    missing = [str(each["loc"][-1]) for each in details if each["type"] == "missing"]
    if missing:
        return MissingArguments(question, missing, hint=hint)
    first = details[0]
    field = str(first["loc"][0]) if first["loc"] else ""
    accepted = _accepted(first)
    reason = "" if accepted else f": {first['msg'].removeprefix('Value error, ')}"
    hint = f"Accepted: {accepted}." if accepted else ""
    return BadRequest(
        f"{field}: {first['input']!r} is not accepted{reason}.", hint=hint, field=field
    )


def _accepted(detail: Mapping[str, Any]) -> str:
    """What would be accepted where the record itself knows it, in plain words; else nothing."""
    kind, limits = detail["type"], detail.get("ctx", {})
    if kind == "literal_error":
        return str(limits["expected"]).replace("'", "").replace(" or ", ", ")
    if kind in WANTED:
        return WANTED[kind]
    if kind in BOUNDS:
        word, key = BOUNDS[kind]
        return f"{word} {limits[key]:g}"
    return ""


WANTED = {
    "float_parsing": "a number",
    "float_type": "a number",
    "int_parsing": "a whole number",
    "int_from_float": "a whole number",
    "int_type": "a whole number",
    "finite_number": "a finite number",
    "bool_parsing": "yes or no",
    "bool_type": "yes or no",
    "string_type": "text",
    "too_short": "at least one value",
}
BOUNDS = {
    "greater_than": ("a number above", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("a number below", "lt"),
    "less_than_equal": ("at most", "le"),
}
"""Kind of a validation error -> words, and where its limit stands."""
