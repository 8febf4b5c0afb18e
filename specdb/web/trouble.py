"""Errors as people and programs should see them."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable
from typing import Any

from datasette.database import QueryInterrupted
from datasette.utils.asgi import Base400, NotFound, Response
from datasette.views.base import DatasetteError

from specdb.errors import SpecdbError, StoreError
from specdb.web import problems
from specdb.web.guard import TooLargeError

LOG = logging.getLogger("specdb.web")
SLUGS = {400: "bad-request", 403: "forbidden", 404: "no-such-path", 405: "no-such-method"}


def for_programs(path: str) -> bool:
    """Whether an address answers programs: the API, and the tables as JSON or CSV."""
    return path.startswith("/api/") or path.partition("?")[0].endswith((".json", ".csv"))


def forbidden(datasette: Any, request: Any, message: str) -> Callable[[], Awaitable[Response]]:
    """The answer to what the settings do not allow."""

    async def respond() -> Response:
        detail = f"{message or 'this'} is not allowed by this server's settings."
        if for_programs(request.path):
            return problems.problem(403, "forbidden", detail)
        return await page(datasette, request, 403, "Not allowed here", detail)

    return respond


def failed(datasette: Any, request: Any, exception: Exception) -> Callable[[], Awaitable[Response]]:
    """The answer to a request that failed."""

    async def respond() -> Response:
        if isinstance(exception, TooLargeError):
            return exception.response()
        if isinstance(exception, StoreError):
            LOG.error("%s %s: %s", request.method, request.path, exception)
        if isinstance(exception, SpecdbError):
            if for_programs(request.path):
                return problems.of(exception)
            status = problems.status_of(exception)
            detail = problems.UNREAD if isinstance(exception, StoreError) else str(exception)
            return await page(datasette, request, status, "No answer", detail)
        status, detail = _said(exception)
        if status >= 500:
            LOG.error("%s %s failed", request.method, request.path, exc_info=exception)
        if for_programs(request.path):
            slug = SLUGS.get(status, "error")
            return problems.problem(status, slug, detail)
        return await page(datasette, request, status, _title(exception, status), detail)

    return respond


def _said(exception: Exception) -> tuple[int, str]:
    if isinstance(exception, NotFound):
        return 404, "nothing lives at this address."
    if isinstance(exception, Base400):
        return exception.status, str(exception.args[0])
    if isinstance(exception, DatasetteError):
        # What it raises without a status is a parameter it cannot follow, no fault of the server.
        return (400 if exception.status == 500 else exception.status), str(exception.message)
    if isinstance(exception, QueryInterrupted):
        return 400, "the SQL took longer than it may."
    return 500, "the server failed; the fault is its own. Its log says more."


def _title(exception: Exception, status: int) -> str:
    if isinstance(exception, DatasetteError) and exception.title:
        return str(exception.title)
    return {404: "Nothing here", 500: "The server failed"}.get(status, f"Error {status}")


async def page(datasette: Any, request: Any, status: int, title: str, detail: str) -> Response:
    """A page that says what went wrong and leads back."""
    body = await datasette.render_template(
        "trouble.html", {"title": title, "detail": detail, "status": status}, request=request
    )
    return Response.html(body, status=status, headers={"Cache-Control": "no-store"})
