"""The server's receipt for an entry: only it lets the phone forget what was typed."""

from __future__ import annotations

import json
from http import HTTPStatus

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["ENTRY", "Receipts"]

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
