"""A practice call is never worked on the pages of real calls: whoever asks there is led over."""

from __future__ import annotations

import re

from fastapi import FastAPI, Request, Response

from rungwise.web.deps import house_of
from rungwise.web.forms import goto

OF_A_CALL = re.compile(r"/calls/([0-9]{1,9})(?:[./].*)?")


class _IsPractice(Exception):
    """The call that was asked for is practice. path: where it is worked."""

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


def keep_apart(request: Request) -> None:
    """Before any page about a call: lead a practice call over to its own page.

    So nothing of it is signed off, fitted, proved or counted, whatever form is sent.
    Raises what `install` has the app turn into the way over.
    """
    path = request.url.path
    found = OF_A_CALL.fullmatch(path)
    if found and house_of(request).kind_of(int(found[1])) == "practice":
        raise _IsPractice(f"/practice/{found[1]}{'.json' if path.endswith('.json') else ''}")


def install(app: FastAPI) -> None:
    """Let the app lead over."""
    app.add_exception_handler(_IsPractice, _led_over)


def _led_over(_: Request, apart: Exception) -> Response:
    if not isinstance(apart, _IsPractice):
        raise apart
    return goto(apart.path)
