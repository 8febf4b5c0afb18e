"""The rows of a reader's own SQL as CSV. Datasette answers SQL that fails with an empty table."""

from __future__ import annotations

from typing import Any

from datasette.utils.asgi import Request, Response
from datasette.views.base import DatasetteError
from datasette.views.database import DatabaseView

BARE = "a table as CSV has its name before .csv; SQL stands in the parameter sql."


class _Rows(DatabaseView):  # type: ignore[misc]
    """What Datasette answers, but a failure is one."""

    async def data(self, request: Request, **given: Any) -> Any:
        if not request.args.get("sql"):
            raise DatasetteError(BARE, status=400)
        found = await super().data(request, **given)
        context, status = found[0], found[-1]
        if isinstance(status, int) and status >= 400:
            raise DatasetteError(context["error"], title="Invalid SQL", status=status)
        return found


async def answer(datasette: Any, request: Request) -> Response:
    """A database's address that ends in .csv."""
    view = _Rows(datasette)
    return await view.dispatch_request(request)
