"""What stands before every request: who may ask, from where, and how much may be sent.

The page is for one person at this machine. A request must name this server's own address (no name
that was made to point here), must not come from another site, and, to reach a design, must carry
the key that was printed when the page was started.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Iterable
from http import HTTPStatus

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

API = "/api/"
KEY_HEADER = "x-deckclause-key"
MAX_BODY = 1_500_000
"""Largest request, bytes; a design of 200 parts in every group is far below."""

TOO_LARGE = "more was sent than any design needs"

SECURITY_HEADERS: dict[str, str] = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "cache-control": "no-store",
}


class Guard:
    """Lets a request through to `app`, or answers it with what is wrong."""

    def __init__(self, app: ASGIApp, key: str, hosts: Iterable[str]) -> None:
        self.app = app
        self.key = key.encode()
        self.once = b""
        self.hosts = frozenset(hosts)
        self.origins = frozenset(f"http://{host}" for host in self.hosts)

    def open_once(self) -> str:
        """Return a word that serves for one request in place of the key, whose answer brings the key.

        It goes into the address a browser is started with, which other people's programs on this
        machine can read; once the browser has used it, it opens nothing.
        """
        self.once = secrets.token_urlsafe(32).encode()
        return self.once.decode()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Check a request, then pass it on with its size watched and its answer's headers set."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        first = self._is_first(scope)
        answer = _with_headers(send, self.key if first else b"")
        refused = self._refused(scope, opened=first)
        if refused is not None:
            await refused(scope, receive, answer)
            return
        body = await _body(receive)
        if body is None:
            await _refuse(413, TOO_LARGE)(scope, receive, answer)
            return
        await self.app(scope, _again(body, receive), answer)

    def _is_first(self, scope: Scope) -> bool:
        """Tell whether a request brings the word that serves once; it then serves no more."""
        given = Headers(scope=scope).get(KEY_HEADER, "").encode()
        if not self.once or not hmac.compare_digest(given, self.once):
            return False
        self.once = b""
        return True

    def _refused(self, scope: Scope, *, opened: bool) -> JSONResponse | None:
        headers = Headers(scope=scope)
        if headers.getlist("host") not in [[host] for host in self.hosts]:
            return _refuse(421, "this server answers only to its own address")
        origin = headers.get("origin")
        if origin is not None and origin not in self.origins:
            return _refuse(403, "requests from other sites are refused")
        if not scope["path"].startswith(API):
            return None
        if headers.get("sec-fetch-site", "same-origin") != "same-origin":
            return _refuse(403, "requests from other sites are refused")
        given = headers.get(KEY_HEADER, "").encode()
        if not opened and not hmac.compare_digest(given, self.key):
            return _refuse(
                401,
                "the key of this run is missing or another run's; open the address that was "
                "printed when the page was started",
            )
        if headers.get("content-type", "").split(";")[0].strip() != "application/json":
            return _refuse(415, "JSON is needed")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > MAX_BODY:
            return _refuse(413, TOO_LARGE)
        return None


def _refuse(status: int, message: str) -> JSONResponse:
    return JSONResponse({"refused": message}, status)


async def _body(receive: Receive) -> bytes | None:
    """Take in a request's body; None where it grows larger than any design."""
    parts: list[bytes] = []
    taken = 0
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return b"".join(parts)
        parts.append(message.get("body", b""))
        taken += len(parts[-1])
        if taken > MAX_BODY:
            return None
        if not message.get("more_body", False):
            return b"".join(parts)


def _again(body: bytes, receive: Receive) -> Receive:
    """Return what gives a body already taken in, then whatever follows it."""
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again


def _with_headers(send: Send, key: bytes) -> Send:
    """Return what sends an answer with the headers of every answer, and the key where it is due."""

    async def with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in SECURITY_HEADERS.items():
                headers[name] = value
            if key and message["status"] < HTTPStatus.BAD_REQUEST:
                headers[KEY_HEADER] = key.decode()
        await send(message)

    return with_headers
