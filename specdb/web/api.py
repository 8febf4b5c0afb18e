"""The JSON API: a question's answer under its own name, the same bytes as `--json` prints.

`GET /api/v1/QUESTION` takes the argument names of the Python face; a list is a repeated parameter.
A question about a whole table takes it by POST, as JSON or as CSV.
"""

from __future__ import annotations

import asyncio
from typing import Any

from datasette.utils.asgi import Request, Response

from specdb.answers.ask import to_json
from specdb.answers.registry import QUESTIONS, Question
from specdb.errors import Misuse, NoAnswer
from specdb.web import asked, openapi, problems, tables
from specdb.web.held import Held, canonical

SHARED = "public, max-age=300"
OWN = "private, no-cache"


async def answer(held: Held, request: Request) -> Response:
    """Whatever lies under `/api/v1/`; every failure is a problem."""
    try:
        return await _answer(held, request)
    except (Misuse, NoAnswer) as error:
        return problems.of(error)


async def _answer(held: Held, request: Request) -> Response:
    name = request.url_vars["name"]
    if name == "openapi.json":
        return await _described(held, request)
    question = QUESTIONS.get(name)
    if question is None:
        known = ", ".join([*QUESTIONS, "openapi.json"])
        return problems.problem(
            404, "no-such-path", f"nothing is called {name[:80]!r} here.", hint=f"Known: {known}."
        )
    allowed = methods(question)
    if request.method == "OPTIONS":
        return preflight(allowed)
    if request.method not in allowed:
        return refused(request, allowed)
    if request.method == "POST":
        return await _posted(held, question, request)
    return await _got(held, question, request)


def methods(question: Question) -> tuple[str, ...]:
    """What a question's address takes: a table comes as a body."""
    return ("POST",) if openapi.takes_table(question) else ("GET", "HEAD")


async def _got(held: Held, question: Question, request: Request) -> Response:
    given = asked.read(question, request.query_string)
    db = await held.opened(given.release)
    key = (question.name, canonical(given.arguments))
    stock = await held.stock(db, question)
    tag = held.tag(db, stock, *key)
    if matches(request, tag):
        return unchanged(tag, stock)

    def make() -> bytes:
        return body(db.ask(question.name, **given.arguments))

    text = await held.answer((given.release, *key), tag, make)
    return unchanged(tag, stock) if matches_any(request) else finished(text, tag, stock)


async def _posted(held: Held, question: Question, request: Request) -> Response:
    given = asked.read(question, request.query_string)
    content = await request.post_body()
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    db = await held.opened(given.release)
    stock = await held.stock(db, question)

    def make() -> bytes:
        posted = tables.arguments(question, kind, content)
        return body(tables.ask(db, question, {**given.arguments, **posted}))

    text = await asyncio.to_thread(make)
    return Response(
        text,
        headers={**_others(stock), "Cache-Control": "no-store"},
        content_type="application/json; charset=utf-8",
    )


def body(result: Any) -> bytes:
    """The bytes of a result, as the command line prints them, line end included."""
    return (to_json(result) + "\n").encode()


async def _described(held: Held, request: Request) -> Response:
    if request.method == "OPTIONS":
        return preflight(("GET", "HEAD"))
    if request.method not in ("GET", "HEAD"):
        return refused(request, ("GET", "HEAD"))
    db = await held.opened()
    tag = held.tag(db, "", "openapi")
    if matches(request, tag) or matches_any(request):
        return unchanged(tag, "")
    return finished(await held.answer("openapi", tag, openapi.text), tag, "")


def finished(
    text: bytes, tag: str, stock: str, kind: str = "application/json; charset=utf-8"
) -> Response:
    """A whole answer with its tag; private where stock was searched."""
    headers = _of_answer(tag, stock) | {"Content-Length": str(len(text))}
    return Response(text, headers=headers, content_type=kind)


def unchanged(tag: str, stock: str) -> Response:
    """What the asker has already still holds."""
    return Response("", status=304, headers=_of_answer(tag, stock))


def _of_answer(tag: str, stock: str) -> dict[str, str]:
    return {**_others(stock), "ETag": tag, "Cache-Control": OWN if stock else SHARED}


def _others(stock: str) -> dict[str, str]:
    """What lets pages of other sites read an answer: never one that tells of the shop's lists."""
    return {} if stock else problems.CORS


def matches(request: Request, tag: str) -> bool:
    """Whether `If-None-Match` names the tag (weak comparison, as for GET)."""
    given = request.headers.get("if-none-match", "")
    tags = [each.strip().removeprefix("W/") for each in given.split(",")]
    return tag in tags


def matches_any(request: Request) -> bool:
    """Whether `If-None-Match` is `*`, which any answer matches: asked once there is one."""
    return bool(request.headers.get("if-none-match", "").strip() == "*")


def preflight(allowed: tuple[str, ...]) -> Response:
    """The answer to OPTIONS."""
    named = ", ".join([*allowed, "OPTIONS"])
    headers = {
        **problems.CORS,
        "Allow": named,
        "Access-Control-Allow-Methods": named,
        "Access-Control-Allow-Headers": "If-None-Match, Content-Type",
        "Access-Control-Max-Age": "86400",
    }
    return Response("", status=204, headers=headers)


def refused(request: Request, allowed: tuple[str, ...]) -> Response:
    """A method the address does not take."""
    named = ", ".join([*allowed, "OPTIONS"])
    detail = f"{request.method[:20]} is not answered here."
    return problems.problem(
        405, "no-such-method", detail, hint=f"Accepted: {named}.", headers={"Allow": named}
    )
