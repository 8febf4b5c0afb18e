"""The pages. Each asks, lays out and hands over to a template; none does arithmetic."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import unquote, urlencode

from datasette.utils.asgi import Request, Response

from specdb.answers.registry import QUESTIONS, Question
from specdb.database import Database
from specdb.errors import Misuse, NoAnswer, SpecdbError
from specdb.records.answer import Answer
from specdb.web import api as program
from specdb.web import asked, columns, forms, openapi, problems, shown, sql, tables
from specdb.web.held import Held
from specdb.web.pictures import Picture, pictures

BESIDES = ("release", "all")
PLANS = ("seat", "head")
"""Questions whose answer can be printed as a sheet."""


@dataclass(frozen=True, slots=True)
class Told:
    """What an address asked and what came of it."""

    given: dict[str, list[str]]
    asked: asked.Asked = field(default_factory=asked.Asked)
    result: Answer | None = None
    drawn: tuple[Picture, ...] = ()
    error: SpecdbError | None = None

    @property
    def status(self) -> int:
        """The HTTP status of the page."""
        return problems.status_of(self.error) if self.error else 200


async def home(datasette: Any, held: Held, request: Request) -> Response:
    """What a machinist wants to know, as short forms; the five-field form first."""
    db = await held.opened()
    made = await asyncio.to_thread(lambda: [forms.form(each, db, {}) for each in _asked_by_form()])
    five = next((each for each in made if each.question in forms.FIVE), None)
    rest = [each for each in made if each is not five]
    return await _render(datasette, held, request, "home.html", five=five, rest=rest)


def _asked_by_form() -> list[Question]:
    return [each for each in QUESTIONS.values() if not openapi.takes_table(each)]


async def question(datasette: Any, held: Held, request: Request) -> Response:
    """One page a question: the form, and the answer to what the address asks."""
    found = QUESTIONS[request.url_vars["name"]]
    if request.method != "POST":
        return await _answered(datasette, held, request, found, {})
    if not openapi.takes_table(found):
        return Response.text("Only GET is answered here.\n", 405, {"Allow": "GET, HEAD"})
    kind = request.headers.get("content-type", "")
    try:
        content = await request.post_body()
        query = await asyncio.to_thread(tables.form, kind, content)
    except (Misuse, NoAnswer) as error:
        return await _shown(datasette, held, request, found, Told({}, error=error), "")
    told = await asyncio.to_thread(_tell, held, found, query)
    return await _shown(datasette, held, request, found, told, query)


async def material(datasette: Any, held: Held, request: Request) -> Response:
    """A material under its own address."""
    preset = {"material": unquote(request.url_vars["key"])}
    return await _answered(datasette, held, request, QUESTIONS["material"], preset)


async def source(datasette: Any, held: Held, request: Request) -> Response:
    """A source under its own address."""
    preset = {"source": unquote(request.url_vars["key"])}
    return await _answered(datasette, held, request, QUESTIONS["source"], preset)


async def _answered(
    datasette: Any, held: Held, request: Request, found: Question, preset: dict[str, str]
) -> Response:
    said = asked.plain(request.query_string)
    more = ((name, value) for name, values in said.items() for value in values)
    query = urlencode([*preset.items(), *(each for each in more if each[0] not in preset)])
    told = await asyncio.to_thread(_tell, held, found, query)
    return await _shown(datasette, held, request, found, told, query)


async def _shown(
    datasette: Any, held: Held, request: Request, found: Question, told: Told, query: str
) -> Response:
    """The page of a question: what came of it, and the form filled again."""
    db = await _database(held, told)
    stock = await held.stock(db, found)
    tag = held.tag(db, stock, "page", found.name, query)
    held_already = program.matches(request, tag) or program.matches_any(request)
    if told.error is None and request.method != "POST" and held_already:
        return program.unchanged(tag, stock)
    error = told.error
    if told.asked.sheet and told.result is not None:
        printed = await asyncio.to_thread(_sheet, told.result, told.asked.sheet)
        return Response.html(printed, headers={"Cache-Control": "no-cache"})
    form = forms.form(
        found,
        db,
        told.given,
        error=str(error) if error else "",
        field=_field(found, error),
    )
    page = _laid_out(found, told)
    response = await _render(
        datasette,
        held,
        request,
        "question.html",
        status=told.status,
        question=found,
        form=form,
        page=page,
        result=told.result,
        pictures=told.drawn,
        everything=told.asked.everything,
        error=error,
        say=forms.spoken(found),
        release=told.asked.release,
        more=_again(told, all="1"),
        less=_again(told),
        sheet=_again(told, sheet="bench") if found.name in PLANS else "",
        record=_again(told, sheet="record") if found.name in PLANS else "",
        json="" if openapi.takes_table(found) else f"/api/v1/{found.name}?{_query(told)}",
        posted=openapi.takes_table(found),
        example=columns.example(),
        columns=columns.columns(),
    )
    if error is None and request.method != "POST":
        shared = program.OWN if stock else program.SHARED
        response.headers |= {"ETag": tag, "Cache-Control": shared}
    return response


def _field(found: Question, error: SpecdbError | None) -> str:
    """The field an error stands beside; what is wrong in a table stands beside the table."""
    field = error.field if isinstance(error, Misuse) else ""
    inside = field and field not in found.request_type().model_fields
    return asked.TABLE if inside and openapi.takes_table(found) else field


def _sheet(result: Any, kind: str) -> str:
    from specdb.sheet import render

    return render(result, record=kind == "record")


async def _database(held: Held, told: Told) -> Database:
    """The release asked for; where that is what failed, the one `open()` answers from."""
    try:
        return await held.opened(told.asked.release)
    except (Misuse, NoAnswer):
        return await held.opened()


def _tell(held: Held, found: Question, query: str) -> Told:
    given = asked.plain(query)
    try:
        besides = (*BESIDES, *(("sheet",) if found.name in PLANS else ()))
        read = asked.read(found, query, blanks=True, besides=besides)
    except (Misuse, NoAnswer) as error:
        return Told(given, error=error)
    if not read.arguments:
        return Told(given, read)
    try:
        db = held.database(read.release)
        result = tables.ask(db, found, read.arguments)
        return Told(given, read, result, pictures(found.name, db, result, read.arguments))
    except (Misuse, NoAnswer) as error:
        return Told(given, read, error=error)


def _laid_out(question: Question, told: Told) -> shown.Page | None:
    if told.result is None:
        return None
    asked_for = told.asked
    say = forms.spoken(question)
    return shown.page(
        told.result, everything=asked_for.everything, release=asked_for.release, say=say
    )


def _again(told: Told, **more: str) -> str:
    query = _query(told)
    return "?" + "&".join(filter(None, (query, urlencode(more))))


def _query(told: Told) -> str:
    pairs = [(k, v) for k, v in told.asked.arguments.items()]
    if told.asked.release:
        pairs.append(("release", told.asked.release))
    return urlencode(pairs, doseq=True)


async def search(datasette: Any, held: Held, request: Request) -> Response:
    """Materials and sources that hold some words."""
    said = asked.plain(request.query_string)
    text = " ".join(said.get("q", [""]))[:200]
    db = await held.opened()
    hits = await asyncio.to_thread(db.search, text) if text.strip() else ()
    return await _render(datasette, held, request, "search.html", text=text, hits=hits)


async def releases(datasette: Any, held: Held, request: Request) -> Response:
    """The data releases, and what came and went between two of them."""
    said = asked.plain(request.query_string)
    before, after = (said.get(name, [""])[0] for name in ("from", "to"))
    db, error, found = await held.opened(), None, None
    try:
        found = await asyncio.to_thread(db.diff, before, after) if before and after else None
    except (Misuse, NoAnswer) as refused:
        error = refused
    known = [*db.releases(), {"version": db.release}] if db.release == "next" else db.releases()
    return await _render(
        datasette,
        held,
        request,
        "releases.html",
        status=problems.status_of(error) if error else 200,
        known=known,
        before=before,
        after=after,
        diff=found,
        error=error,
    )


async def api(datasette: Any, held: Held, request: Request) -> Response:
    """The API for people: a line to copy for each question, and what is stable."""
    here = f"{request.scheme}://{request.host}"
    lines = [
        {
            "question": each,
            "query": urlencode(each.example, doseq=True),
            "keywords": ", ".join(f"{k}={v!r}" for k, v in each.example.items()),
            "posted": openapi.takes_table(each),
            "long": each.name in openapi.LONG,
        }
        for each in QUESTIONS.values()
    ]
    return await _render(
        datasette,
        held,
        request,
        "api.html",
        here=here,
        lines=lines,
        types=problems.TYPES,
        most_rows=tables.MOST_ROWS,
    )


async def sql_functions(datasette: Any, held: Held, request: Request) -> Response:
    """The SQL functions, with an example each."""
    return await _render(datasette, held, request, "sql.html", functions=sql.FUNCTIONS)


async def _render(
    datasette: Any, held: Held, request: Request, name: str, *, status: int = 200, **context: Any
) -> Response:
    body = await datasette.render_template(name, context, request=request, view_name="specdb")
    return Response.html(body, status=status, headers={"Cache-Control": "no-cache"})
