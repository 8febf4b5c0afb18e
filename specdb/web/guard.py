"""What every response carries and what no request may do, as a layer round the whole server.

No script runs on any page, nothing comes from outside, no other site may frame one, and a body is
read to its limit and no further.
"""

from __future__ import annotations

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
"""Bytes of a body: a head plan of ten thousand seats is well below."""
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
