"""A table, or the rows of a reader's own SQL, as CSV to save; and that SQL as JSON.

Datasette answers SQL that fails with an empty table or a JSON of its own, and a table as CSV with
its first page.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl, urlencode

from datasette.utils.asgi import Request, Response
from datasette.views.base import DatasetteError
from datasette.views.database import DatabaseView
from datasette.views.table import TableView

BARE = "a table as CSV has its name before .csv; SQL stands in the parameter sql."


class _Rows(DatabaseView):  # type: ignore[misc]
    """What Datasette answers, but a failure is one."""

    async def data(self, request: Request, **given: Any) -> Any:
        if not request.args.get("sql"):
            if request.url_vars["format"] == "json":
                return await super().data(request, **given)  # which tables there are
            raise DatasetteError(BARE, status=400)
        found = await super().data(request, **given)
        context, status = found[0], found[-1]
        if isinstance(status, int) and status >= 400:
            raise DatasetteError(context["error"], title="Invalid SQL", status=status)
        return found


async def sql(datasette: Any, request: Request) -> Response:
    """A database's address that ends in .csv or .json."""
    file = request.url_vars["format"] == "csv"
    return await _Rows(datasette).dispatch_request(_saved(request) if file else request)


async def table(datasette: Any, request: Request) -> Response:
    """A table's address that ends in .csv: every row, unless a page of a size is asked for."""
    return await TableView(datasette).dispatch_request(_saved(request, whole=True))


def _saved(request: Request, *, whole: bool = False) -> Request:
    """The request for a file, of all rows where `whole` and no size is said."""
    said = parse_qsl(request.query_string, keep_blank_values=True)
    if whole and dict(said).get("_size", "max") == "max":
        said = [each for each in said if each[0] not in ("_size", "_next", "_stream")]
        said.append(("_stream", "on"))
    query = urlencode([*said, ("_dl", "on")])
    return Request({**request.scope, "query_string": query.encode("latin-1")}, request.receive)
