"""What cannot be had, told in the trade's words on the page and in its JSON twin."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from http import HTTPStatus

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from rungwise.errors import BadInput, RungwiseError, StoreError, UnknownName
from rungwise.web.middleware import ENTRY
from rungwise.web.shown import Shown
from rungwise.web.templating import render
from rungwise.wording import mark, say, told_throughout

RETRY_S = 5
"""When to try again where the records could not be used."""


class Refusal(Shown):
    """Why not: kind of the error, what happened, what was typed, what is allowed, what to do."""

    kind: str
    what: str
    value: str | float | None = None
    allowed: str | None = None
    next_step: str | None = None


class Refused(Shown):
    """The JSON of a refusal, as the commands print it too."""

    error: Refusal


def install(app: FastAPI) -> None:
    """Let every error of the app come out as a page or as JSON, whichever was asked for."""
    app.add_exception_handler(RungwiseError, _ours)
    app.add_exception_handler(RequestValidationError, _address)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _unforeseen)


def wants_json(request: Request) -> bool:
    """Whether the answer goes to a program."""
    accept = request.headers.get("accept", "")
    return request.url.path.endswith(".json") or "application/json" in accept


def refusal_of(error: RungwiseError) -> Refusal:
    """An error's own words, without the file and line that a page's reader does not have."""
    kind = type(error).__name__
    if isinstance(error, StoreError):
        return Refusal(kind=kind, what=str(error.args[0]), next_step=error.next_step)
    if not isinstance(error, BadInput):
        return Refusal(kind=kind, what=str(error))
    return Refusal(
        kind=kind,
        what=error.what,
        value=error.value,
        allowed=error.allowed,
        next_step=error.next_step,
    )


def _answer(
    request: Request, status: int, refusal: Refusal, headers: Mapping[str, str] | None = None
) -> Response:
    answer: Response
    if wants_json(request):
        held = refusal.model_dump()
        if ENTRY in request.headers:  # a person reads it, by a script that has no catalog
            held = told_throughout(dict(refusal))
        answer = JSONResponse({"error": held}, status_code=status)
    else:
        answer = render(request, "refused.html", status=status, refusal=refusal)
    answer.headers.update(headers or {})
    return answer


def _ours(request: Request, error: Exception) -> Response:
    """What was typed is refused with 4xx; records that cannot be used now are not its fault."""
    if not isinstance(error, RungwiseError):
        raise error
    refusal = refusal_of(error)
    if isinstance(error, StoreError):
        later = {"retry-after": str(RETRY_S)}
        return _answer(request, HTTPStatus.SERVICE_UNAVAILABLE, refusal, later)
    status = HTTPStatus.NOT_FOUND if isinstance(error, UnknownName) else 422
    return _answer(request, status, refusal)


def _address(request: Request, error: Exception) -> Response:
    """A form or an address that the page cannot read."""
    first = error.errors()[0] if isinstance(error, RequestValidationError) else {}
    where = [str(each) for each in first.get("loc", ())]
    in_path = where[:1] == ["path"]
    refusal = Refusal(
        kind="BadAddress" if in_path else "BadForm",
        what=mark("There is no page at this address.")
        if in_path
        else say(
            "The field {field} of this form cannot be read.", field=where[-1] if where else ""
        ),
        value=str(first.get("input"))[:80],
        next_step=mark("go back to the day's calls")
        if in_path
        else mark("go back and send it again"),
    )
    return _answer(request, HTTPStatus.NOT_FOUND if in_path else 422, refusal)


def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    nowhere = mark("There is no page at this address.")
    what = nowhere if status == HTTPStatus.NOT_FOUND else str(error)
    step = mark("go back to the day's calls")
    return _answer(request, status, Refusal(kind="NoPage", what=what, next_step=step))


def _unforeseen(request: Request, error: Exception) -> Response:
    """A fault of the program: said plainly, logged in full, and nothing typed is lost."""
    logging.getLogger("rungwise.web").error("a page failed", exc_info=error)
    refusal = Refusal(
        kind="Fault",
        what=mark("The program failed at this page. What was saved before is still there."),
        next_step=mark("go back and try again; if it fails again, note what you did and report it"),
    )
    return _answer(request, 500, refusal)
