"""What every answer carries, which requests are turned away, and the receipt for an entry."""

from __future__ import annotations

import json
from http import HTTPStatus
from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rungwise.web.languages import system_of
from rungwise.web.pages.share.view import SHARED
from rungwise.wording import Hours, hours_of_day, language_for, measuring, speaking

MOST_BYTES = 16_000_000
"""Of one request: a photo from a phone and its form around it."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
    "img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)

FIXED = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(self), microphone=(self), geolocation=()",
}


class Speaks:
    """Answers in the language of the cookie, else of the browser, else in English.

    Quantities are in the units that the phone is set to; times have 24 hours with SI units.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        asked = HTTPConnection(scope)
        wished = (asked.cookies.get("language", ""), asked.headers.get("accept-language", ""))
        system = system_of(asked)
        hours: Hours = 24 if system == "si" else 12
        with speaking(language_for(*wished)), measuring(system), hours_of_day(hours):
            await self.app(scope, receive, send)


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


ENTRY = "rungwise-entry"
"""The header in which the script names the entry that it sends; the answer names it again."""

KEPT = "rungwise-kept"
REFUSED = "rungwise-refused"

FOR_GOOD = frozenset({400, 404, 405, 413, 422})
"""What no sending again will mend. Everything else may be otherwise in a minute."""


class Receipts:
    """Says of the entry that a request names whether it was kept, or is refused for good.

    An answer that says neither came from something in between, a proxy or a network that wants a
    login, or is no last word: the entry stays on the phone. Where a page would lead on, the script
    is told where to instead, because a browser hides the headers of what leads on.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        entry = Headers(scope=scope).get(ENTRY, "") if scope["type"] == "http" else ""
        if not entry or not entry.isascii() or not entry.isprintable():
            await self.app(scope, receive, send)
            return
        told = b""

        async def receipted(message: Message) -> None:
            nonlocal told
            if message["type"] == "http.response.start":
                told = _receipted(message, entry, kept=_kept(scope))
            elif told:
                message = {"type": "http.response.body", "body": told, "more_body": False}
            await send(message)

        await self.app(scope, receive, receipted)


def _kept(scope: Scope) -> bool:
    sending = scope.get("state", {}).get("sending")
    return sending is not None and sending.kept


def _receipted(start: Message, entry: str, *, kept: bool) -> bytes:
    """Put the receipt into the head of an answer; the body that takes the place of leading on."""
    headers = MutableHeaders(scope=start)
    if start["status"] in FOR_GOOD:
        headers[REFUSED] = entry
    elif kept and start["status"] < HTTPStatus.BAD_REQUEST:
        headers[KEPT] = entry
    if start["status"] != HTTPStatus.SEE_OTHER:
        return b""
    body = json.dumps({"to": headers["location"]}).encode()
    start["status"] = int(HTTPStatus.OK)
    del headers["location"]
    headers["content-type"], headers["content-length"] = "application/json", str(len(body))
    return body


OPEN = (SHARED, "/static/")


class ReportDoor:
    """Lets through whoever asks for a shared report; all other pages are not there.

    inside: the app. It may stand where everybody can reach it, while the app itself does not.
    """

    def __init__(self, inside: ASGIApp) -> None:
        self.inside = inside

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            return
        asks = scope["method"] in ("GET", "HEAD") and scope["path"].startswith(OPEN)
        answer = self.inside if asks else PlainTextResponse("There is no such page.", 404)
        await answer(scope, receive, send)
