"""What every answer carries, and which requests are turned away before any page sees them."""

from __future__ import annotations

from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["MOST_BYTES", "Guard"]

MOST_BYTES = 16_000_000
"""Of one request: a photo from a phone and its form around it."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)

FIXED = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(self), microphone=(), geolocation=()",
}


class Guard:
    """Security headers on every answer; no writing from another site, none without end.

    names: under which the app answers, besides the addresses of machines; None for any name.
    """

    def __init__(self, app: ASGIApp, names: frozenset[str] | None = None) -> None:
        self.app = app
        self.names = names

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in FIXED.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "private, no-cache")
            await send(message)

        refused = self._misled(scope) or _refused(scope)
        await (refused or self.app)(scope, receive, with_headers)

    def _misled(self, scope: Scope) -> PlainTextResponse | None:
        """Turn away who comes by a name that is not ours.

        A page from anywhere may let a name of its own lead to this machine and then read all that
        stands here; it cannot do so with an address.
        """
        host = urlsplit(f"//{Headers(scope=scope).get('host', '')}").hostname or ""
        if self.names is None or host in self.names or _is_address(host):
            return None
        told = "Rungwise does not answer under this name: serve --host-name NAME lets it."
        return PlainTextResponse(told, status_code=421)


def _is_address(host: str) -> bool:
    try:
        ip_address(host)
    except ValueError:
        return False
    return True


def _refused(scope: Scope) -> PlainTextResponse | None:
    if scope["method"] in ("GET", "HEAD", "OPTIONS"):
        return None
    headers = Headers(scope=scope)
    if not _from_here(headers):
        return PlainTextResponse("This form was sent from another site.", status_code=403)
    length = headers.get("content-length", "")
    if not length.isdecimal() or int(length) > MOST_BYTES:
        return PlainTextResponse("This is too much for one form.", status_code=413)
    return None


def _from_here(headers: Headers) -> bool:
    """Whether a browser says that the form stood on one of these pages.

    A request without either mark comes from no page at all; a browser sends one with every POST.
    """
    if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == headers.get("host")
