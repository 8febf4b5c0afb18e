"""The Datasette hooks. Each is thin, and silent where no specdb database is attached."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from datasette import hookimpl
from jinja2 import ChoiceLoader, Environment, FileSystemLoader

from specdb.web import guard, labels, routes, trouble
from specdb.web.attached import held_by


@hookimpl
def startup(datasette: Any) -> None:
    """Where the library for coloured terminals is installed, every 404 would print a traceback
    with all local values into the log, and take a quarter of a second.
    """
    if held_by(datasette):
        from datasette import handle_exception

        handle_exception.rich = None


@hookimpl
def register_routes(datasette: Any) -> list[tuple[str, Callable[..., Any]]]:
    """Our pages and the API."""
    return routes.routes(datasette) if held_by(datasette) else []


@hookimpl
def prepare_jinja2_environment(env: Environment, datasette: Any) -> None:
    """Our templates come before the stock ones."""
    if held_by(datasette) and env.loader is not None:
        env.loader = ChoiceLoader([FileSystemLoader(str(routes.TEMPLATES)), env.loader])


@hookimpl
def extra_template_vars(datasette: Any) -> dict[str, Any]:
    """What the frame of every page shows: release, code version, the way to the tables."""
    held = held_by(datasette)
    return routes.frame(datasette, held) if held else {}


@hookimpl
def asgi_wrapper(datasette: Any) -> Callable[[guard.App], guard.App]:
    """Security headers, and the limit of a body."""
    return guard.guarded if held_by(datasette) else lambda app: app


@hookimpl
def skip_csrf(datasette: Any, scope: dict[str, Any]) -> bool | None:
    """Nothing here is done in anybody's name, so a token protects nothing."""
    return True if held_by(datasette) and routes.ours(scope["path"]) else None


@hookimpl
def forbidden(datasette: Any, request: Any, message: str) -> Any:
    """A 403 in the form of its address: a problem for programs, a page for people."""
    return trouble.forbidden(datasette, request, message) if held_by(datasette) else None


@hookimpl(tryfirst=True)
def handle_exception(datasette: Any, request: Any, exception: Exception) -> Any:
    """Problems on the API's addresses, a page elsewhere, and one line in the log."""
    return trouble.failed(datasette, request, exception) if held_by(datasette) else None


@hookimpl
def get_metadata(datasette: Any, key: str, database: str, table: str) -> dict[str, Any]:
    """Titles, descriptions, units and facets of the tables."""
    held = held_by(datasette)
    return labels.metadata(datasette) if held else {}


@hookimpl
def render_cell(value: Any, column: str, table: str, datasette: Any) -> Any:
    """References as links: a row to its trace, a source and a material to their pages."""
    return labels.cell(value, column, table) if held_by(datasette) else None


@hookimpl
def prepare_connection(conn: Any, database: str, datasette: Any) -> None:
    """The SQL functions, on every connection; and where everybody may ask, no place of a file."""
    held = held_by(datasette)
    if held:
        from specdb.web import sql

        sql.register(conn, held.database)
        if held.open_to_all:
            sql.keep_places(conn)
