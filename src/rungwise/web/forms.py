"""Forms that do once what was asked once, however often they are sent."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from urllib.parse import quote, urlsplit

from fastapi.responses import RedirectResponse

__all__ = ["Tokens", "back_to", "goto"]

REMEMBERED = 10_000


class Tokens:
    """Where each form that made something new led to, by the token it carried.

    Back button, reload and a nervous thumb send a form again; the second sending leads to what
    the first one made. Thread-safe; the oldest are forgotten first.
    """

    def __init__(self) -> None:
        self._led_to: OrderedDict[str, str] = OrderedDict()
        self._lock = threading.Lock()

    @staticmethod
    def fresh() -> str:
        """A token for one form."""
        return secrets.token_urlsafe(12)

    def led_to(self, token: str) -> str | None:
        """Where the form went when it was first sent, None if this is the first time."""
        with self._lock:
            return self._led_to.get(token)

    def done(self, token: str, path: str) -> None:
        """Remember where a form led."""
        with self._lock:
            self._led_to[token] = path
            while len(self._led_to) > REMEMBERED:
                self._led_to.popitem(last=False)


def goto(path: str) -> RedirectResponse:
    """On to a page that may be reloaded: post, redirect, get."""
    return RedirectResponse(quote(path, safe="/?=&#%-_.~:+,"), status_code=303)


def back_to(path: str) -> RedirectResponse:
    """Back to a page of ours; to the day's calls if the path leads elsewhere."""
    parts = urlsplit(path)
    ours = path.startswith("/") and not path.startswith(("//", "/\\")) and not parts.netloc
    return goto(path if ours else "/day")
