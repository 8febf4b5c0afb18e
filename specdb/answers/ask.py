"""From loose arguments to a checked request to an answer: the one way in for every face."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ValidationError

from specdb.answers.registry import Question, find
from specdb.errors import BadRequest, MissingArguments, Misuse, UnknownName
from specdb.records import trade_words

if TYPE_CHECKING:
    from specdb.records.answer import Answer, Frozen
    from specdb.store.asof import Reader


def ask(reader: Reader, name: str, asked: Mapping[str, Any]) -> Answer:
    """The answer of question `name` to the arguments `asked` (None counts as not given)."""
    question = find(name)
    result = question.answer()(reader, request_of(question, asked))
    understood = [said for one in asked.items() for said in _echoes(*one)]
    if not understood:
        return result
    return result.model_copy(update={"assumed": (*understood, *result.assumed)})


def _echoes(argument: str, given: object) -> Iterator[str]:
    """How the words of one argument were understood that are not the tables' own."""
    for each in given if isinstance(given, list | tuple) else [given]:
        if isinstance(each, str) and (said := trade_words.echo(argument, each)):
            yield said


def _meant(argument: str, given: object) -> object:
    """An argument in the words of the tables."""
    if isinstance(given, str):
        return trade_words.meant(argument, given)
    if isinstance(given, list | tuple) and argument in trade_words.WORDS:
        return [_meant(argument, each) for each in given]
    return given


def request_of(question: Question, asked: Mapping[str, Any]) -> Frozen:
    """The checked request; raises `Misuse` naming the argument that is unknown, missing or
    wrong.
    """
    model = question.request_type()
    given = {name: _meant(name, value) for name, value in asked.items() if value is not None}
    for name in given:
        if name not in model.model_fields:
            raise UnknownName(
                f"argument of {question.name!r}", name, model.model_fields, field=name
            )
    try:
        return model.model_validate(given)
    except ValidationError as error:
        raise _misuse(question, error) from None


def to_json(result: BaseModel) -> str:
    """The text every face prints for a result: sorted keys, the same bytes everywhere."""
    return json.dumps(
        result.model_dump(mode="json"),
        ensure_ascii=False,
        sort_keys=True,
        separators=(",", ":"),
        allow_nan=False,
    )


def _misuse(question: Question, error: ValidationError) -> Misuse:
    details = error.errors(include_url=False)
    missing = [str(each["loc"][-1]) for each in details if each["type"] == "missing"]
    if missing:
        return MissingArguments(question.name, missing, hint=f"Asked for: {question.summary}")
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
