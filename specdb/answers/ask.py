"""From loose arguments to a checked request to an answer: the one way in for every face."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ValidationError

from specdb.answers.registry import Question, find
from specdb.errors import BadRequest, Misuse, UnknownName

if TYPE_CHECKING:
    from specdb.records.answer import Answer, Frozen
    from specdb.store.asof import Reader


def ask(reader: Reader, name: str, asked: Mapping[str, Any]) -> Answer:
    """The answer of question `name` to the arguments `asked` (None counts as not given)."""
    question = find(name)
    return question.answer()(reader, request_of(question, asked))


def request_of(question: Question, asked: Mapping[str, Any]) -> Frozen:
    """The checked request; raises `Misuse` naming the argument that is unknown, missing or
    wrong.
    """
    model = question.request_type()
    given = {name: value for name, value in asked.items() if value is not None}
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
        many = "s" if len(missing) > 1 else ""
        return BadRequest(
            f"{question.name} needs the argument{many} {', '.join(missing)}.",
            hint=f"Asked for: {question.summary}",
            field=missing[0],
        )
    first = details[0]
    field = str(first["loc"][0]) if first["loc"] else ""
    given = first["input"]
    expected = first.get("ctx", {}).get("expected")
    accepted = f"Accepted: {expected}." if expected else ""
    reason = first["msg"].removeprefix("Value error, ")
    return BadRequest(f"{field}: {given!r} is not accepted: {reason}.", hint=accepted, field=field)
