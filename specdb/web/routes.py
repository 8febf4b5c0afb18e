"""Every address and its view."""

from __future__ import annotations

import hashlib
import mimetypes
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

from datasette.utils.asgi import NotFound, Request, Response

import specdb
from specdb.answers.registry import QUESTIONS
from specdb.errors import StoreError
from specdb.web import api, pages, problems, trouble
from specdb.web.attached import attached_name, held_by
from specdb.web.held import Held

HERE = Path(__file__).resolve().parent
TEMPLATES = HERE / "html"
ASSETS = HERE / "assets"
NO_TABLES = (
    "the data are on a shared server, whose tables are not browsed here. Every question, search, "
    "and any row by its name answer as ever; `specdb data export DIR` writes the tables as files."
)
View = Callable[[Any, Request], Awaitable[Response]]


def routes(datasette: Any) -> list[tuple[str, Callable[..., Any]]]:
    """Addresses as patterns; the pages' names come from the registry. Ours come before the stock
    ones, the first that fits answers.
    """
    held = held_by(datasette)
    names = "|".join(QUESTIONS)
    return [
        (r"^/$", _page(pages.home)),
        (r"^/api/v1/(?P<name>[^/]*)$", _program(api.answer)),
        (r"^/api/.*$", _program(_no_such_path)),
        (r"^/api$", _page(pages.api)),
        (r"^/search$", _page(pages.search)),
        (r"^/releases$", _page(pages.releases)),
        (rf"^/(?P<name>{names})$", _page(pages.question)),
        (r"^/material/(?P<key>[^/]+)$", _page(pages.material)),
        (r"^/source/(?P<key>[^/]+)$", _page(pages.source)),
        (r"^/sql-functions$", _page(pages.sql_functions)),
        (r"^/-/specdb/(?P<name>[a-z]+\.[a-z]+)$", _asset),
        *([(r"^/-/.*$", _inside)] if held and held.open_to_all else []),
        *([] if attached_name(datasette) else [(r"^/specdb(?:[./].*)?$", _no_tables)]),
        (r"^/(?P<database>[^/.]+)\.(?P<format>csv|json)$", _rows_of_sql),
        (r"^/(?!-/)(?P<database>[^/.]+)/(?P<table>[^/.]+)\.(?P<format>csv)$", _whole_table),
    ]


def ours(path: str) -> bool:
    """Whether an address is one of our own, so that its POST needs no token."""
    first = path.split("/", 2)[1] if path.startswith("/") else ""
    return first in ("api", *QUESTIONS)


def _page(view: Callable[..., Awaitable[Response]]) -> Callable[..., Any]:
    """A page: everybody who may see the server may see it; only reading methods."""

    async def answer(datasette: Any, request: Request) -> Response:
        held = await _allowed(datasette, request)
        if request.method not in ("GET", "HEAD") and not _may_post(view, request):
            return Response.text("Only GET is answered here.\n", 405, {"Allow": "GET, HEAD"})
        return await view(datasette, held, request)

    return answer


def _may_post(view: Callable[..., Any], request: Request) -> bool:
    return view is pages.question and request.method == "POST"


def _program(view: Callable[[Held, Request], Awaitable[Response]]) -> Callable[..., Any]:
    async def answer(datasette: Any, request: Request) -> Response:
        held = await _allowed(datasette, request)
        return await view(held, request)

    return answer


async def _allowed(datasette: Any, request: Request) -> Held:
    held = held_by(datasette)
    if held is None:
        raise StoreError("no specdb database is attached any more.")
    if not held.open_to_all:
        await datasette.ensure_permissions(request.actor, ["view-instance"])
    return held


async def _no_such_path(held: Held, request: Request) -> Response:
    return problems.problem(
        404, "no-such-path", "nothing lives at this address.", hint="See /api/v1/openapi.json."
    )


async def _inside() -> Response:
    """Stock pages about the server itself: a server open to all has neither an owner who signs in
    nor a reader for its threads, its settings and the places of its files.
    """
    raise NotFound("no such page")


async def _no_tables(datasette: Any, request: Request) -> Response:
    """Where the data lie on a shared server no tables are browsed: said, not just missing."""
    if trouble.for_programs(request.path):
        return problems.problem(404, "no-such-path", NO_TABLES)
    return await trouble.page(datasette, request, 404, "The tables are not here", NO_TABLES)


async def _rows_of_sql(datasette: Any, request: Request) -> Response:
    """SQL as CSV or JSON; Datasette's own views cannot be imported while it still looks for
    plugins."""
    from specdb.web import as_csv

    return await as_csv.sql(datasette, request)


async def _whole_table(datasette: Any, request: Request) -> Response:
    from specdb.web import as_csv

    return await as_csv.table(datasette, request)


async def _asset(request: Request) -> Response:
    """A file of ours, by its name; nothing but the files of one folder."""
    name = request.url_vars["name"]
    path = ASSETS / name
    if not path.is_file():
        raise NotFound("no such file")
    content = path.read_bytes()
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
    headers = {"ETag": tag, "Cache-Control": "public, max-age=300"}
    if api.matches(request, tag) or api.matches_any(request):
        return Response("", status=304, headers=headers, content_type=kind)
    return Response(content, headers=headers, content_type=f"{kind}; charset=utf-8")


def frame(datasette: Any, held: Held) -> dict[str, Any]:
    """What the frame of every page shows."""
    try:
        release = held.database().release
    except StoreError:
        release = "none"
    return {
        "specdb_release": release,
        "specdb_version": specdb.__version__,
        "specdb_tables": attached_name(datasette),
        "specdb_sql": _sql(datasette, held),
        "specdb_questions": QUESTIONS,
        "specdb_style": _style(),
    }


def _sql(datasette: Any, held: Held) -> str | None:
    """The database in which SQL of the reader's own is run, the functions above all."""
    allowed = datasette.setting("default_allow_sql")
    name = attached_name(datasette) or ("_memory" if held.open_to_all else None)
    return name if allowed and name in datasette.databases else None


def _style() -> str:
    """The style sheet's address, another one whenever the file changes with the code."""
    return f"/-/specdb/style.css?{specdb.__version__}"
