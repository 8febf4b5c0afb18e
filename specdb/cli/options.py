"""A question's options, printed from its request record: `insert_diameter` ->
`--insert-diameter`.
"""

from __future__ import annotations

import types
import typing
from typing import Any

import click
from pydantic.fields import FieldInfo

from specdb.answers.registry import Question
from specdb.errors import BadRequest
from specdb.records.quantities import OfKind
from specdb.units import KINDS

WIDE = 92
"""Columns of a line of an example."""


class Explained(click.Command):
    """A question's command; below its help stands how quantities are written, and an example."""

    def __init__(self, question: Question, **settings: Any) -> None:
        super().__init__(question.name, **settings)
        self._question = question

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Made only when it is shown: a question that is asked need not wait for it."""
        blocks = [written(self._question), f"Example:\n{example(self._question)}"]
        self.epilog = "\n\n".join(f"\b\n{each}" for each in filter(None, blocks))
        super().format_epilog(ctx, formatter)


def parameters(question: Question) -> list[click.Parameter]:
    """One click parameter a request field; the leading one may stand without its option."""
    fields = question.request_type().model_fields
    made: list[click.Parameter] = []
    for name, field in fields.items():
        if name == question.leading:
            made.append(_argument(name, field))
        else:
            made.append(_option(name, field))
    return made


def _argument(name: str, field: FieldInfo) -> click.Argument:
    choices = "|".join(_literals(field.annotation))
    metavar = choices if field.is_required() or not choices else f"[{choices}]"
    return click.Argument([name], required=field.is_required(), metavar=metavar or None)


def flag(name: str) -> str:
    """The option of an argument."""
    return f"--{name.replace('_', '-')}"


def _option(name: str, field: FieldInfo) -> click.Option:
    many = _is_list(field.annotation)
    if _is_bool(field.annotation):
        both = f"{flag(name)}/--no-{flag(name)[2:]}"
        return click.Option([both], default=None, help=field.description)
    option = click.Option if many else Single
    return option(
        [flag(name)],
        multiple=True,
        default=None,
        help=_help(field, many),
        metavar=_metavar(field),
    )


class Single(click.Option):
    """An option that holds one value: said twice it is refused, not quietly the last one."""

    def process_value(self, ctx: click.Context, value: Any) -> Any:
        """The one value given, or None. Raises BadRequest where it was given twice."""
        said = super().process_value(ctx, value)
        if not said:
            return None
        if len(said) > 1:
            raise BadRequest(
                f"{self.opts[0]} was given {len(said)} times: {', '.join(map(str, said))}.",
                hint="Accepted: one value.",
                field=self.name or "",
            )
        return said[0]


def example(question: Question) -> str:
    """The question's own example as a command to type; text of several lines comes by `<<`."""
    import shlex

    leading = question.example.get(question.leading, "")
    typed = "\n" in leading
    words = ["specdb", question.name]
    words += ["-"] if typed else [shlex.quote(leading)] if leading else []
    for name, value in question.example.items():
        if name != question.leading:
            many = value if isinstance(value, list | tuple) else [value]
            words += [f"{flag(name)} {shlex.quote(str(each))}" for each in many]
    lines = [""]
    for word in words:
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        lines[-1:] = [longer] if len(longer) <= WIDE else [f"{lines[-1]} \\", f"  {word}"]
    return "\n".join([*lines[:-1], f"{lines[-1]} <<END", f"{leading}END"] if typed else lines)


def written(question: Question) -> str:
    """How the quantities this question takes are written, a line for each kind."""
    kinds = {
        _kind(field.annotation, field) for field in question.request_type().model_fields.values()
    }
    lines = []
    for kind in KINDS.values():
        if kind.name in kinds:
            plain = f"; a bare number is {kind.house}" if kind.house != "1" else ""
            lines.append(f"{_metavar_of(kind.name)}: {', '.join(kind.examples)}{plain}")
    return "\n".join(lines)


def _help(field: FieldInfo, many: bool) -> str:
    parts = [field.description or ""]
    if many:
        parts.append("May be repeated.")
    if field.is_required():
        parts.append("[needed]")
    elif field.default not in (None, ()) and not isinstance(field.default, bool):
        parts.append(f"[default: {_default(field)}]")
    return " ".join(filter(None, parts))


def _default(field: FieldInfo) -> str:
    kind = _kind(field.annotation, field)
    if kind is None or not isinstance(field.default, float):
        return str(field.default)
    house = KINDS[kind].house
    return f"{field.default:g}" if house == "1" else f"{field.default:g} {house}"


def _metavar(field: FieldInfo) -> str:
    choices = _literals(field.annotation)
    if choices:
        return "|".join(choices)
    kind = _kind(field.annotation, field)
    if kind:
        return _metavar_of(kind)
    numbers = {int, float} & set(_members(field.annotation))
    return "NUMBER" if numbers else "TEXT"


def _metavar_of(kind: str) -> str:
    return kind.upper()


def _kind(annotation: Any, field: FieldInfo | None = None) -> str | None:
    """The kind of quantity a type holds, wherever in it that is said."""
    said = [*(field.metadata if field else ()), *getattr(annotation, "__metadata__", ())]
    found = next((each.name for each in said if isinstance(each, OfKind)), None)
    inner = (_kind(each) for each in typing.get_args(annotation) if not isinstance(each, str))
    return found or next(filter(None, inner), None)


def _members(annotation: Any) -> list[Any]:
    """The alternatives of a type, without None and without what is annotated to them."""
    if typing.get_origin(annotation) in (typing.Union, types.UnionType):
        found = [each for each in typing.get_args(annotation) if each is not type(None)]
    else:
        found = [annotation]
    return [
        typing.get_args(each)[0] if typing.get_origin(each) is typing.Annotated else each
        for each in found
    ]


def _is_list(annotation: Any) -> bool:
    return any(typing.get_origin(each) in (list, tuple) for each in _members(annotation))


def _is_bool(annotation: Any) -> bool:
    return bool in _members(annotation)


def _literals(annotation: Any) -> list[str]:
    members = _members(annotation)
    words = [
        m
        for each in members
        if typing.get_origin(each) is typing.Literal
        for m in typing.get_args(each)
    ]
    return [str(word) for word in words]
