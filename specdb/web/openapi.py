"""The API described by OpenAPI 3.1, printed from the registry and the records."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from pydantic.json_schema import GenerateJsonSchema

import specdb
from specdb.answers.registry import QUESTIONS, Question
from specdb.web import asked, tables
from specdb.web.guard import LARGEST_BODY
from specdb.web.problems import MEDIA, TYPES

ABOUT = """Sizes, fits, temperatures and seat geometry for valve-seat work, each figure with its
source. The same arguments and the same bytes as the command line's `--json`. Lengths are given as
text with a unit (`38.1 mm`, `1.500 in`, `5 thou`) or as a number in mm; temperatures likewise
(`150 degC`, `300 degF`, `423 K`). Every answer names the data release and the code version; the
parameter `release` pins a release."""
PROBLEMS = {
    "400": "A parameter is unknown, missing, said twice or cannot be read.",
    "404": "A name that is not in the database.",
    "405": "The address does not take this method.",
    "403": "The server's settings do not allow this.",
    "422": "A good question that the data cannot answer.",
    "500": "The server failed.",
    "503": "The database cannot be read.",
}
TOO_LARGE = f"A table of over {tables.MOST_ROWS:,} rows, or a body of over {LARGEST_BODY:,} bytes."
TAG = "questions"
"""Under which a generated client files the operations."""


@cache
def text() -> bytes:
    """The document as JSON."""
    return (json.dumps(document(), ensure_ascii=False, sort_keys=True) + "\n").encode()


def document() -> dict[str, Any]:
    """The whole description."""
    schemas: dict[str, Any] = {"Problem": _PROBLEM}
    paths = {f"/api/v1/{each.name}": _path(each, schemas) for each in QUESTIONS.values()}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "specdb",
            "version": specdb.__version__,
            "summary": "Sourced numbers for valve-seat work.",
            "description": ABOUT,
            "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "/", "description": "This server."}],
        "tags": [{"name": TAG, "description": "One operation a question."}],
        "paths": paths,
        "components": {
            "schemas": schemas,
            "responses": {status: _refusal(words) for status, words in _all_problems()},
        },
    }


LONG = frozenset({"fit", "shrink", "seat", "source"})
"""Questions whose answers are longer than the 32,767 characters that a spreadsheet's cell holds."""


def takes_table(question: Question) -> bool:
    """Whether a question is about a whole table, which comes as a body."""
    return asked.TABLE in question.request_type().model_fields


def _path(question: Question, schemas: dict[str, Any]) -> dict[str, Any]:
    request = _schema(question.request_type(), "validation", schemas)
    name = question.result_type().__name__
    schemas[name] = _schema(question.result_type(), "serialization", schemas)
    operation: dict[str, Any] = {
        "operationId": question.name,
        "tags": [TAG],
        "summary": question.summary,
        "responses": {"200": _answered(name), **_refusals()},
    }
    if takes_table(question):
        parameters = _parameters(question, request)
        operation["parameters"] = [
            *({**each, "required": False} for each in parameters if each["name"] != asked.TABLE),
            _RELEASE,
        ]
        operation["requestBody"] = _posted(question, request, schemas)
        operation["responses"]["413"] = {"$ref": "#/components/responses/413"}
        return {"post": operation}
    operation["parameters"] = [*_parameters(question, request), _RELEASE]
    operation["responses"]["304"] = {"description": "What `If-None-Match` names still holds."}
    return {"get": operation}


def _posted(question: Question, request: dict[str, Any], schemas: dict[str, Any]) -> dict[str, Any]:
    row = _schema(QUESTIONS["seat"].request_type(), "validation", schemas)
    about = (
        "A row of a table: the arguments of `seat`; what it leaves out holds for all rows. Lists "
        "may be said reading by reading, `bore_1`, `bore_2`, as in a table."
    )
    counted = {f"^{tables.COUNTED.pattern}$": {"type": ["string", "number", "null"]}}
    schemas["SeatRow"] = {
        **row,
        "required": [],
        "title": "SeatRow",
        "description": about,
        "patternProperties": counted,
    }
    item = {"$ref": "#/components/schemas/SeatRow"}
    rows = {"type": "array", "items": item, "minItems": 1, "maxItems": tables.MOST_ROWS}
    said = request["properties"][asked.TABLE]
    either = {"description": said.get("description", ""), "anyOf": [{"type": "string"}, rows]}
    name = question.request_type().__name__
    schemas[name] = {**request, "properties": {**request["properties"], asked.TABLE: either}}
    body = {"$ref": f"#/components/schemas/{name}"}
    return {
        "required": True,
        "description": f"The table, a row a seat, at most {tables.MOST_ROWS:,} rows, alone as CSV "
        "or among the arguments as JSON.",
        "content": {
            "application/json": {"schema": body, "example": question.example},
            "text/csv": {"schema": {"type": "string"}, "example": question.example[asked.TABLE]},
        },
    }


def _parameters(question: Question, request: dict[str, Any]) -> list[dict[str, Any]]:
    needed = request.get("required", [])
    found = []
    for name, schema in request["properties"].items():
        schema = dict(schema)
        about = schema.pop("description", "")
        schema.pop("title", None)
        parameter: dict[str, Any] = {
            "name": name,
            "in": "query",
            "required": name in needed,
            "description": about,
            "schema": _sayable(schema),
        }
        field = question.request_type().model_fields[name]
        if asked.is_list(field.annotation):
            parameter |= {"style": "form", "explode": True}
        if name in question.example:
            parameter["example"] = question.example[name]
        found.append(parameter)
    return found


def _sayable(schema: dict[str, Any]) -> dict[str, Any]:
    """A schema without null, which no address can say."""
    either = [each for each in schema.get("anyOf", []) if each.get("type") != "null"]
    if "anyOf" in schema and len(either) == 1:
        return {**either[0], **{k: v for k, v in schema.items() if k not in ("anyOf", "default")}}
    if schema.get("default", "") is None:
        schema.pop("default")
    return schema


class _Whole(GenerateJsonSchema):
    """Of an answer every field is required, since every field is always there, null or not."""

    def field_is_required(self, field: Any, total: bool) -> bool:
        return self.mode == "serialization" or super().field_is_required(field, total)


def _schema(model: Any, mode: Any, schemas: dict[str, Any]) -> dict[str, Any]:
    """The JSON schema of a record; records inside it go to the shared components."""
    made: dict[str, Any] = model.model_json_schema(
        mode=mode, ref_template="#/components/schemas/{model}", schema_generator=_Whole
    )
    for name, inner in made.pop("$defs", {}).items():
        schemas.setdefault(name, inner)
    return made


def _answered(name: str) -> dict[str, Any]:
    return {
        "description": "The answer; what is not known is null, and `unknown` says why.",
        "headers": {
            "ETag": {
                "description": "Strong tag over release, data, code version, stock and question.",
                "schema": {"type": "string"},
            }
        },
        "content": {"application/json": {"schema": {"$ref": f"#/components/schemas/{name}"}}},
    }


def _refusals() -> dict[str, Any]:
    return {status: {"$ref": f"#/components/responses/{status}"} for status in PROBLEMS}


def _all_problems() -> list[tuple[str, str]]:
    return sorted({**PROBLEMS, "413": TOO_LARGE}.items())


def _refusal(words: str) -> dict[str, Any]:
    content = {MEDIA: {"schema": {"$ref": "#/components/schemas/Problem"}}}
    return {"description": words, "content": content}


_RELEASE = {
    "name": "release",
    "in": "query",
    "required": False,
    "description": "A data release to answer from, such as 2026.11; the latest if not said.",
    "schema": {"type": "string", "minLength": 1},
}
_PROBLEM = {
    "type": "object",
    "description": "Problem details as in RFC 9457.",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {"type": "string", "enum": [f"/api#{slug}" for slug in TYPES]},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string"},
        "code_version": {"type": "string"},
        "hint": {"type": "string"},
        "field": {"type": "string", "description": "The parameter it is about."},
        "given": {"type": "string"},
        "understood": {"type": "string"},
        "accepted": {"type": "string"},
        "near": {"type": "array", "items": {"type": "string"}},
    },
}
