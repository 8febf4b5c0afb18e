"""What a person typed, called what they typed: `insert_diameter` -> `--insert-diameter`.

Answers and errors name arguments as Python and HTTP do; here those names become the options of the
command line, in messages and in the words of an answer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel

from specdb.answers.registry import Question
from specdb.errors import MissingArguments, Misuse

R = TypeVar("R", bound=BaseModel)
AS_THEY_ARE = ("facts", "cautions", "stock", "sources")
"""Fields that hold keys, or text of the data: no argument is named in them."""


def option(question: Question, name: str) -> str:
    """An argument as the command line takes it."""
    return name.upper() if name == question.leading else f"--{name.replace('_', '-')}"


class Spoken:
    """The arguments of one question in text. A name of one word is also a word of the trade (bore,
    head), so it is changed only where it stands for the argument: before the colon of a message."""

    def __init__(self, question: Question) -> None:
        self._names = {
            name: option(question, name) for name in question.request_type().model_fields
        }
        long = [re.escape(name) for name in self._names if "_" in name]
        self._long = re.compile(rf"(?<![\w.-])(?:{'|'.join(long) or '(?!)'})(?![\w.-]*\w)")

    def text(self, text: str) -> str:
        """Text with every unmistakable name of an argument as an option."""
        return self._long.sub(lambda found: self._names[found[0]], text)

    def error(self, error: Misuse) -> Misuse:
        """The same error, its text and its hint in options."""
        if isinstance(error, MissingArguments):
            options = [self._names.get(name, name) for name in error.missing]
            error.say(options)
        elif error.field in self._names:
            start = f"{error.field}: "
            if error.message.startswith(start):
                error.message = f"{self._names[error.field]}: {error.message[len(start) :]}"
        error.message, error.hint = self.text(error.message), self.text(error.hint)
        return error

    def answer(self, result: R) -> R:
        """The same answer with its words in options; for reading, never for JSON."""
        return self._said(result)  # type: ignore[no-any-return]

    def _said(self, value: Any) -> Any:
        if isinstance(value, str):
            return self.text(value)
        if isinstance(value, tuple):
            return tuple(map(self._said, value)) if not hasattr(value, "_fields") else value
        if isinstance(value, Mapping):
            return {key: self._said(each) for key, each in value.items()}
        if isinstance(value, BaseModel):
            fields = {name: each for name, each in value if name not in AS_THEY_ARE}
            return value.model_copy(
                update={name: self._said(each) for name, each in fields.items()}
            )
        return value
