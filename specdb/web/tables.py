"""A whole table as a question: JSON, CSV, or a form with a pasted table or a file.

What is sent is read in memory and never written.
"""

from __future__ import annotations

import json
import re
from email import message_from_bytes, policy
from typing import Any
from urllib.parse import urlencode

from specdb.answers.ask import request_of
from specdb.answers.head_columns import LISTS
from specdb.answers.registry import QUESTIONS, Question
from specdb.database import Database
from specdb.errors import BadRequest, SpecdbError
from specdb.web.asked import TABLE

MOST_ROWS = 2000
"""Rows of a table that is planned here: no head has a tenth of it, and everybody shares the
server. The command line takes any number.
"""
COUNTED = re.compile(rf"({'|'.join(LISTS)})_([0-9]{{1,3}})")
"""A reading by its number, as a table's column has it: `bore_1`."""
CSV = ("text/csv", "text/plain", "text/tab-separated-values")


def arguments(question: Question, kind: str, content: bytes) -> dict[str, Any]:
    """The arguments in a body: an object of JSON, or the table itself as CSV.

    Raises BadRequest for what is neither.
    """
    if kind in CSV:
        return {TABLE: decoded(content)}
    if kind not in ("application/json", ""):
        raise BadRequest(
            f"a body of {kind[:60]!r} is not read.", hint="Accepted: application/json, text/csv."
        )
    text = decoded(content)
    try:
        found = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise BadRequest(
            f"the body {_unread(error)}.",
            hint="Accepted: an object of arguments as application/json.",
        ) from None
    if not isinstance(found, dict):
        raise BadRequest("the body is not an object of arguments.", hint="Accepted: {...}.")
    return found


class TooManyRowsError(BadRequest):
    """A table longer than is planned here."""

    status = 413
    slug = "too-large"

    def __init__(self, rows: int, name: str) -> None:
        super().__init__(
            f"a table of {rows:,} rows is not planned here.",
            hint=f"Accepted: at most {MOST_ROWS:,} rows; `specdb {name} FILE` takes any number.",
            field=TABLE,
        )


def ask(db: Database, question: Question, given: dict[str, Any]) -> Any:
    """The answer; a table given as a list of objects is planned as such, a seat each.

    Raises TooManyRowsError for a table that is too long.
    """
    seats = given.get(TABLE)
    rows = len(seats) if isinstance(seats, list) else len(str(seats or "").strip().splitlines()) - 1
    if rows > MOST_ROWS:
        raise TooManyRowsError(rows, question.name)
    if not isinstance(seats, list):
        return db.ask(question.name, **given)
    common = {name: value for name, value in given.items() if name != TABLE}
    request_of(question, {**common, TABLE: ""})
    return db.head([_seat(at, each, common) for at, each in enumerate(seats, start=1)])


def _seat(at: int, row: Any, common: dict[str, Any]) -> Any:
    if not isinstance(row, dict):
        raise BadRequest(f"seat {at} is not an object of readings.", field=TABLE)
    try:
        return request_of(QUESTIONS["seat"], {**common, **_gathered(row)})
    except SpecdbError as error:
        raise BadRequest(f"seat {at}: {error.message}", hint=error.hint, field=TABLE) from None


def _gathered(row: dict[str, Any]) -> dict[str, Any]:
    """A row with `bore_1`, `bore_2` put to `bore`, in the order of their numbers."""
    counted = sorted(
        (found[1], int(found[2]), name) for name in row if (found := COUNTED.fullmatch(name))
    )
    if not counted:
        return row
    whole = {name: value for name, value in row.items() if not COUNTED.fullmatch(name)}
    for name, _, said in counted:
        if row[said] is not None:
            already = whole.get(name) or []
            whole[name] = [*(already if isinstance(already, list) else [already]), row[said]]
    return whole


def form(kind: str, content: bytes) -> str:
    """The query string of a form that was posted; an uploaded file stands for the pasted table.

    Raises BadRequest for what is no form.
    """
    if kind.partition(";")[0].strip().lower() == "application/x-www-form-urlencoded":
        return decoded(content)
    if not kind.lower().startswith("multipart/form-data"):
        raise BadRequest("the body is no form.", hint="Use the form of this page.")
    head = f"Content-Type: {kind}\r\n\r\n".encode("latin-1", "replace")
    whole = message_from_bytes(head + content, policy=policy.HTTP)
    said: dict[str, list[str]] = {}
    for part in whole.iter_parts() if whole.is_multipart() else ():
        name = part.get_param("name", header="content-disposition")
        body = part.get_payload(decode=True)
        if isinstance(name, str) and isinstance(body, bytes) and body.strip():
            said.setdefault("file" if part.get_filename() else name, []).append(decoded(body))
    if "file" in said:
        said[TABLE] = said.pop("file")
    return urlencode(said, doseq=True)


def decoded(content: bytes) -> str:
    """A body as text; raises BadRequest where it is not UTF-8."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadRequest("what was sent is not UTF-8.", hint="Save the table as UTF-8.") from None


class _NoNumberError(ValueError):
    """A word that JSON does not have: NaN, Infinity."""


def _unread(error: ValueError | RecursionError) -> str:
    """Why a body was not read, in our words: those of the interpreter change and say how it works.

    A ValueError that is none of the reader's own is the interpreter's limit on a number's digits.
    """
    if isinstance(error, RecursionError):
        return "is nested too deeply"
    if isinstance(error, json.JSONDecodeError):
        return f"is not JSON: line {error.lineno}, column {error.colno}"
    if isinstance(error, _NoNumberError):
        return f"is not JSON: {error} is no number in it"
    return "holds a number too long to read"


def _no_constant(word: str) -> Any:
    raise _NoNumberError(word)
