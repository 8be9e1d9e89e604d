"""What came with a form besides its fields: its token, when it was filled in, and by whom."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import urlsplit

from fastapi import Depends, FastAPI, Request, Response
from fastapi.responses import JSONResponse
from fastapi.routing import APIRoute
from pydantic import BaseModel
from starlette.datastructures import FormData, UploadFile

from rungwise.errors import BadInput
from rungwise.web.errors import wants_json
from rungwise.web.forms import goto
from rungwise.web.middleware import ENTRY
from rungwise.wording import mark

TOKEN, TOLD_AT, SENT_AT, TOLD_BY = "token", "told_at", "sent_at", "told_by"
BACK = "back"  # where on the page the script puts the thumb afterwards
ENVELOPE = frozenset({TOKEN, TOLD_AT, SENT_AT, TOLD_BY, BACK})
"""What any form may carry besides its fields."""

MAKERS = frozenset({"/calls", "/units", "/practice"})
"""Where something new is made: there a form makes one thing, whatever is changed in it."""

LONGEST_TOKEN = 80
LONGEST_WAIT = dt.timedelta(days=60)


@dataclass
class Sending:
    """One form as it was sent.

    token: the mark under which it counts once, "" where it has none. path: where it was sent.
    answer: where it leads. waited: how long it lay on the device. device_at: when it was filled in
    by the clock of the device. person: who was working then, as the cookie's number; None where
    the form does not say. kept: whether it is written, now or before.
    """

    token: str = ""
    path: str = ""
    answer: str = "/day"
    waited: dt.timedelta = dt.timedelta(0)
    device_at: dt.datetime | None = None
    person: str | None = None
    kept: bool = False


class SentBefore(Exception):
    """This very form was kept before, and leads where it led. answer: that path."""

    def __init__(self, answer: str) -> None:
        super().__init__(answer)
        self.answer = answer


def install(app: FastAPI) -> None:
    """Let a form that is sent again lead where it led."""
    app.add_exception_handler(SentBefore, _as_before)


def _as_before(request: Request, before: Exception) -> Response:
    if not isinstance(before, SentBefore):
        raise before
    if wants_json(request):
        return JSONResponse({"level": "", "text": "", "to": before.answer})
    return goto(before.answer)


async def _sending(request: Request) -> Sending:
    """Read what came with the form. Raises BadInput for a field that the page does not know."""
    sending = Sending(path=request.url.path)
    request.state.sending = sending
    if request.method != "POST":
        return sending
    form = await request.form()
    route = request.scope.get("route")
    known = known_fields(route) if isinstance(route, APIRoute) else None
    if known is not None:
        refuse_unknown(form, known)
    back = urlsplit(request.headers.get("referer", "")).path
    sending.answer = back if back.startswith("/") and not back.startswith("//") else "/day"
    entry = request.headers.get(ENTRY, "")[:LONGEST_TOKEN]
    sending.token = entry or await _token(request, form)
    told_by = form.get(TOLD_BY)
    if entry and isinstance(told_by, str):
        sending.person = told_by
    _clock(sending, form)
    return sending


AsSent = Annotated[Sending, Depends(_sending)]


async def _token(request: Request, form: FormData) -> str:
    """The mark of a form without script: its token, and what is in it.

    From a page that is shown once more by the back button another answer may be sent, which is not
    the same form; only where something new is made it is.
    """
    token = str(form.get(TOKEN, ""))[:LONGEST_TOKEN]
    if request.url.path in MAKERS:
        if not token:
            raise BadInput(
                what=mark("This form has no mark by which it would count once."),
                next_step=mark("load the page again, and send it from there"),
            )
        return token
    return f"{token} {await _digest(request.url.path, form)}" if token else ""


async def _digest(path: str, form: FormData) -> str:
    told = hashlib.sha256(path.encode())
    for name, value in form.multi_items():
        content = value.encode() if isinstance(value, str) else await _content(value)
        told.update(repr((name, hashlib.sha256(content).hexdigest())).encode())
    return told.hexdigest()[:32]


async def _content(file: UploadFile) -> bytes:
    content = await file.read()
    await file.seek(0)
    return content


def _clock(sending: Sending, form: FormData) -> None:
    """When it was filled in. The device's clock may be wrong, but not by how long it waited."""
    told, sent = (_moment(form.get(each)) for each in (TOLD_AT, SENT_AT))
    sending.device_at = told
    if told and sent:
        sending.waited = min(max(sent - told, dt.timedelta(0)), LONGEST_WAIT)


def _moment(told: object) -> dt.datetime | None:
    """A moment as script tells it, in milliseconds; None for what is none."""
    if not isinstance(told, str) or not told.isdecimal() or len(told) > len("9999999999999"):
        return None
    return dt.datetime.fromtimestamp(int(told) / 1000, dt.UTC)


def refuse_unknown(form: Iterable[str], known: AbstractSet[str]) -> None:
    """Raise BadInput for a form with a field that is neither known nor of its envelope."""
    unknown = sorted(set(form) - known - ENVELOPE)
    if unknown:
        raise BadInput(
            what=mark("This form has a field that the page does not know; nothing was saved."),
            value=unknown[0],
            allowed=", ".join(sorted(known)) or "none",
            next_step=mark("load the page again, and send it from there"),
        )


def known_fields(route: APIRoute) -> frozenset[str] | None:
    """The fields that a page takes; None for one that reads the form itself and says so there."""
    if route.dependant.request_param_name:
        return None
    names: set[str] = set()
    for field in route.dependant.body_params:
        model: Any = field.field_info.annotation
        if isinstance(model, type) and issubclass(model, BaseModel):
            names |= set(model.model_fields)
        else:
            names.add(field.alias)
    return frozenset(names)
