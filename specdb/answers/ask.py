"""From loose arguments to a checked request to an answer: the one way in for every face."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel, ValidationError

from specdb.answers.registry import Question, find
from specdb.errors import MissingArguments, UnknownName
from specdb.records import trade_words
from specdb.records.refused import misuse

if TYPE_CHECKING:
    from specdb.records.answer import Answer, Frozen
    from specdb.store.asof import Reader

A = TypeVar("A", bound="Answer")


def ask(reader: Reader, name: str, asked: Mapping[str, Any]) -> Answer:
    """The answer of question `name` to the arguments `asked` (None counts as not given)."""
    question = find(name)
    return echoed(question.answer()(reader, request_of(question, asked)), asked)


def echoed(result: A, asked: Mapping[str, Any]) -> A:
    """An answer that says first how the words of `asked` were understood."""
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
    hint = f"Asked for: {question.summary}"
    try:
        return model.model_validate(given)
    except ValidationError as error:
        raise misuse(question.name, error, model.model_fields, hint) from None
    except MissingArguments as error:  # a record that says it itself
        error.hint = hint
        raise


def to_json(result: BaseModel) -> str:
    """The text every face prints for a result: sorted keys, the same bytes everywhere."""
    return json.dumps(
        result.model_dump(mode="json"),
        ensure_ascii=False,
        sort_keys=True,
        separators=(",", ":"),
        allow_nan=False,
    )
