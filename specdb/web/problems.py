"""Errors of the API as problem details (RFC 9457): one shape on every path."""

from __future__ import annotations

import json
from typing import Any

from datasette.utils.asgi import Response

import specdb
from specdb.errors import BadQuantity, Misuse, SpecdbError, StoreError, UnknownName

TYPES = {
    "misuse": "The question cannot be understood or contradicts itself.",
    "bad-quantity": "Text that cannot be read as the quantity asked for.",
    "bad-request": "Arguments that are missing, contradict each other, or cannot be.",
    "unknown-argument": "A parameter or a column the question does not have.",
    "unknown-name": "A name that is not in the database.",
    "no-answer": "A good question that the data cannot answer.",
    "out-of-range": "Outside the range a curve or a table is known in.",
    "not-known": "No row holds what was asked for.",
    "store": "The database is missing or cannot be read.",
    "no-such-path": "Nothing lives at this address.",
    "no-such-method": "The address does not take this method; `Allow` says which it takes.",
    "forbidden": "The server's settings do not allow this.",
    "too-large": "The body, or the table in it, is larger than the server takes.",
    "error": "The server failed; the fault is its own.",
}
"""Every problem type, the last part of its `type`, and what it means."""
CORS = {
    "Access-Control-Allow-Origin": "*",
    "Access-Control-Expose-Headers": "ETag, Content-Length",
}
UNREAD = "the database cannot be read now. The server's log says why."
"""What is told of a database that fails: its place is no business of whoever asks."""
MEDIA = "application/problem+json"


def of(error: SpecdbError) -> Response:
    """The response to a refusal of ours."""
    if isinstance(error, StoreError):
        return problem(error.status, error.slug, UNREAD)
    said: dict[str, Any] = {"hint": error.hint} if error.hint else {}
    if isinstance(error, Misuse) and error.field:
        said["field"] = error.field
    if isinstance(error, BadQuantity):
        said |= {"given": str(error.given)[:200], "understood": error.understood}
        said["accepted"] = error.accepted
    if isinstance(error, UnknownName) and error.near:
        said["near"] = error.near
    return problem(status_of(error), slug_of(error), error.message, **said)


def status_of(error: SpecdbError) -> int:
    """The HTTP status: a parameter or column not known is a bad request, no missing thing."""
    return 400 if slug_of(error) == "unknown-argument" else error.status


def slug_of(error: SpecdbError) -> str:
    """The problem type of an error."""
    if isinstance(error, UnknownName) and error.kind.startswith(("argument ", "column ")):
        return "unknown-argument"
    return error.slug


def problem(status: int, slug: str, detail: str, **said: Any) -> Response:
    """A problem; `said` are further members."""
    headers = {**CORS, "Cache-Control": "no-store", **said.pop("headers", {})}
    body = {
        "type": f"/api#{slug}",
        "title": TYPES[slug],
        "status": status,
        "detail": detail,
        "code_version": specdb.__version__,
        **said,
    }
    text = json.dumps(body, ensure_ascii=False, sort_keys=True)
    return Response(text, status=status, headers=headers, content_type=MEDIA)
