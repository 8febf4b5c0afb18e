"""What every response carries and what no request may do, as a layer round the whole server.

No script runs on any page, nothing comes from outside, no other site may frame one, and a body is
read to its limit and no further.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from datasette.utils.asgi import Response

from specdb.web import problems

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_BODY = 5_000_000
"""Bytes of a body: the longest table that is planned is well below."""
POLICY = (
    "default-src 'none'; script-src 'none'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    b"content-security-policy": POLICY.encode(),
    b"x-content-type-options": b"nosniff",
    b"x-frame-options": b"DENY",
    b"referrer-policy": b"no-referrer",
    b"cross-origin-opener-policy": b"same-origin",
    b"permissions-policy": b"camera=(), geolocation=(), microphone=()",
}


AT_HOME = re.compile(rb"(localhost|127\.\d+\.\d+\.\d+|\[::1\])(:\d+)?", re.IGNORECASE)
"""Names of this machine for itself."""


class TooLargeError(Exception):
    """The body is longer than the limit."""

    def response(self) -> Response:
        """A problem that says so, and an end of the connection."""
        detail = f"a body of more than {LARGEST_BODY} bytes is not read."
        end = {"Connection": "close"}
        return problems.problem(413, "too-large", detail, hint="Send it in parts.", headers=end)


def guarded(app: App) -> App:
    """`app` with our headers on every response, and bodies read to the limit."""

    async def guard(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await app(scope, receive, send)
            return
        started = False

        async def sending(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                message = {**message, "headers": _with_ours(scope, message)}
            await send(message)

        try:
            if _length(scope) > LARGEST_BODY:
                raise TooLargeError
            await app(scope, _limited(receive), sending)
        except TooLargeError as error:
            if started:
                raise
            await error.response().asgi_send(sending)

    return guard


def at_home(app: App) -> App:
    """`app` for this machine alone, by its own names.

    A page from elsewhere could otherwise have its own name lead here, and read in the browser of
    whoever visits it what the shop has on its shelf.
    """

    async def guard(scope: Scope, receive: Receive, send: Send) -> None:
        named = [value for name, value in scope.get("headers", []) if name.lower() == b"host"]
        if scope["type"] != "http" or all(AT_HOME.fullmatch(each) for each in named):
            await app(scope, receive, send)
            return
        detail = "this server answers this machine alone, as localhost or 127.0.0.1."
        hint = "Whoever started it can let others in: specdb serve --host."
        await problems.problem(403, "forbidden", detail, hint=hint).asgi_send(send)

    return guard


def _with_ours(scope: Scope, message: Message) -> list[tuple[bytes, bytes]]:
    """The headers sent, ours added; nothing that differs by person is told to depend on a cookie
    where no cookie is read.
    """
    dropped = {*HEADERS, *((b"vary",) if scope["path"].startswith("/api/") else ())}
    kept = [each for each in message.get("headers", []) if each[0].lower() not in dropped]
    return [*kept, *HEADERS.items()]


def _length(scope: Scope) -> int:
    for name, value in scope["headers"]:
        if name.lower() == b"content-length":
            return int(value) if value.isdigit() else 0
    return 0


def _limited(receive: Receive) -> Receive:
    read = 0

    async def receiving() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > LARGEST_BODY:
            raise TooLargeError
        return message

    return receiving
