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


def parameters(question: Question) -> list[click.Parameter]:
    """One click parameter a request field; the leading one may stand without its option."""
    fields = question.request_type().model_fields
    made: list[click.Parameter] = []
    for name, field in fields.items():
        if name == question.leading:
            made.append(click.Argument([name], required=field.is_required()))
        else:
            made.append(_option(name, field))
    return made


def _option(name: str, field: FieldInfo) -> click.Option:
    flag = f"--{name.replace('_', '-')}"
    many = _is_list(field.annotation)
    if _is_bool(field.annotation):
        return click.Option([f"{flag}/--no-{flag[2:]}"], default=None, help=field.description)
    option = click.Option if many else Single
    return option(
        [flag],
        multiple=True,
        default=None,
        help=_help(field, many),
        metavar=_metavar(field),
    )


class Single(click.Option):
    """An option that holds one value: said twice it is refused, not quietly the last one."""

    def process_value(self, ctx: click.Context, value: Any) -> Any:
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


def _help(field: FieldInfo, many: bool) -> str:
    parts = [field.description or ""]
    if many:
        parts.append("May be repeated.")
    if field.is_required():
        parts.append("[needed]")
    elif field.default not in (None, ()) and not isinstance(field.default, bool):
        parts.append(f"[default: {field.default}]")
    return " ".join(filter(None, parts))


def _metavar(field: FieldInfo) -> str:
    choices = _literals(field.annotation)
    if choices:
        return "|".join(choices)
    extra = field.json_schema_extra
    examples = extra.get("examples") if isinstance(extra, dict) else None
    return str(examples[0]).upper() if isinstance(examples, list) and examples else "TEXT"


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
