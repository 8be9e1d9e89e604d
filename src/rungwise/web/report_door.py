"""A door of its own for customers: the reports that links open, and nothing else."""

from __future__ import annotations

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from rungwise.web.pages.share.view import SHARED

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
