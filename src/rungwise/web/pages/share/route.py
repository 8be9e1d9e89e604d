"""A customer's report by a link: made, opened, ended.

Whoever has the link reads this one report until its end, and finds no way on from there.
"""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import PlainTextResponse

from rungwise import records
from rungwise.errors import RungwiseError
from rungwise.report import CustomerPage, Layout
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.pages.paper.papers import call_paper, customer_told, prepared
from rungwise.web.pages.share.view import SHARED
from rungwise.web.schemas import View
from rungwise.web.templating import render
from rungwise.wording import current, day_told, language_for, mark, speaking

router = APIRouter(include_in_schema=False)

PRIVATE = {
    "cache-control": "no-store",
    "referrer-policy": "no-referrer",
    "x-robots-tag": "noindex, nofollow",
}


class SharedReport(View):
    """What the customer reads. told: None where it cannot be shown now."""

    told: CustomerPage | None
    shop: list[str]
    until: str
    pdf: str


@router.post("/calls/{number}/share")
def share(number: int, here: Here, days: Annotated[int, Form(ge=1, le=90)] = 30) -> Response:
    """Make a link to the customer's report of a call."""
    with here.writing() as book:
        book.shares.make(number, dt.timedelta(days=days), current())
    return goto(f"/calls/{number}/paper?open=share#share")


@router.post("/calls/{number}/share/end")
def end(number: int, here: Here, link: Annotated[int, Form()]) -> Response:
    """Let a link open nothing any more."""
    with here.writing() as book:
        book.shares.end(number, link)
    return goto(f"/calls/{number}/paper?open=share#share")


@router.get(SHARED + "{token}.pdf")
def shared_pdf(token: str, request: Request) -> Response:
    """The report of a link as PDF."""
    here = _reader(request)
    found = _opened(here, token)
    if found is None:
        return _nothing()
    layout = Layout("letter", "us", language_for(found.language, ""))
    try:
        made = call_paper(here, found.call_id, "customer", layout).pdf()
    except RungwiseError:
        return _nothing(mark("This report cannot be shown just now."), 503)
    named = {"content-disposition": 'inline; filename="report.pdf"'}
    return Response(made, media_type="application/pdf", headers={**PRIVATE, **named})


@router.get(SHARED + "{token}")
def shared(token: str, request: Request) -> Response:
    """The report of a link."""
    here = _reader(request)
    found = _opened(here, token)
    if found is None:
        return _nothing()
    with here.reading() as book:
        shop = book.shop.only()
        until = day_told(found.ends_at.astimezone(book.hand.clock))
    with speaking(language_for(found.language, "")):
        view = SharedReport(
            title="",
            told=_told(here, found.call_id),
            shop=[each for each in (shop.name, shop.address, shop.phone) if each] if shop else [],
            until=until,
            pdf=f"{SHARED}{token}.pdf",
        )
        page = render(request, "shared.html", view=view)
    page.headers.update(PRIVATE)
    return page


def _reader(request: Request) -> Visitor:
    """Nobody of the shop's: the link is all that this reader has."""
    return Visitor(request.app.state.house, None, "")


def _opened(here: Visitor, token: str) -> records.Share | None:
    with here.reading() as book:
        return book.shares.opened(token)


def _nothing(
    told: str = mark("This link opens nothing, or has ended. Ask whoever sent it."),
    status: int = 404,
) -> Response:
    """In plain text: a page of ours would lead on."""
    return PlainTextResponse(told, status, headers=PRIVATE)


def _told(here: Visitor, number: int) -> CustomerPage | None:
    """The customer's page, None while the unit is being solved, or where it is not known."""
    try:
        return customer_told(here, number, prepared(here, number, photos=False)).page
    except RungwiseError:
        return None
