"""Small things that forms need: a token each, and a way on once they are kept."""

from __future__ import annotations

import secrets
from urllib.parse import quote, urlsplit

from fastapi.responses import RedirectResponse


def fresh_token() -> str:
    """A token for one form."""
    return secrets.token_urlsafe(12)


def goto(path: str) -> RedirectResponse:
    """On to a page that may be reloaded: post, redirect, get."""
    return RedirectResponse(quote(path, safe="/?=&#%-_.~:+,"), status_code=303)


def back_to(path: str) -> RedirectResponse:
    """Back to a page of ours; to the day's calls if the path leads elsewhere."""
    parts = urlsplit(path)
    ours = path.startswith("/") and not path.startswith(("//", "/\\")) and not parts.netloc
    return goto(path if ours else "/day")
