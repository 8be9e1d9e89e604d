"""The day's calls, finding an old one, and a new one."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Form, Query, Response
from pydantic import Field

from rungwise import records
from rungwise.records import FIRST_DAY, LAST_DAY, UnitOfWork
from rungwise.records import day as day_told
from rungwise.web.check_search import CheckLine, checks_found
from rungwise.web.deps import Here
from rungwise.web.forms import fresh_token, goto
from rungwise.web.pages.call.assembly import chips
from rungwise.web.pages.call.view import Chip
from rungwise.web.schemas import View, page
from rungwise.web.shown import Shown
from rungwise.web.unit_search import UnitLine, found, unit_lines
from rungwise.wording import mark

LISTED = 30

Words = Annotated[str, Query(max_length=80)]
Complaint = Annotated[tuple[str, ...], Query(max_length=40)]

router = APIRouter()


class CallLine(Shown):
    """A call in a list."""

    id: int
    title: str
    state: str
    day: dt.date
    customer: str
    technician: str
    unit: UnitLine | None
    progress: str = Field(description="how far it is: new, measuring, part installed, ...")


class Day(View):
    """A day's calls, those left open on other days, and what was looked for.

    empty: whether the records hold neither unit nor call, so that the page tells how to begin.
    """

    empty: bool
    day: dt.date
    before: dt.date
    after: dt.date
    today: bool
    calls: list[CallLine]
    left_open: list[CallLine]
    find: str
    found_calls: list[CallLine]
    found_units: list[UnitLine]
    found_checks: list[CheckLine] = Field(description="answers to checks that fit, newest first")


class CallUnit(View):
    """The units that a call may be about."""

    number: int
    find: str
    units: list[UnitLine]
    more: int


class NewCall(View):
    """Where a call begins: the units it may be about. token: makes it once."""

    find: str
    said: str
    chips: list[Chip]
    units: list[UnitLine]
    more: int = Field(description="units that fit as well and are not listed")
    token: str


@page(router, "/day", "day.html")
def day(here: Here, on: Annotated[str, Query(max_length=40)] = "", find: Words = "") -> Day:
    """The calls of a day, today if none is named; with `find`, calls and units that fit."""
    with here.reading() as book:
        today = book.calls.today()
        shown = day_told(on) or today
        units = unit_lines(book)
        calls = [_line(book, each, units) for each in book.calls.of_day(shown)]
        left = [_line(book, each, units) for each in book.calls.unfinished() if each.day != shown]
        fitting = found(units.values(), find)[:LISTED] if find.strip() else []
        old = [_line(book, each, units) for unit in fitting for each in book.calls.of_unit(unit.id)]
        checks = checks_found(book, find, units, LISTED)
        empty = not (units or calls or left or book.calls.all())
    return Day(
        empty=empty,
        title=mark("Today") if shown == today else f"{shown:%A}, {shown}",
        day=shown,
        before=max(shown - dt.timedelta(days=1), FIRST_DAY),
        after=min(shown + dt.timedelta(days=1), LAST_DAY),
        today=shown == today,
        calls=calls,
        left_open=left,
        find=find.strip(),
        found_calls=sorted(old, key=lambda each: each.day, reverse=True)[:LISTED],
        found_units=fitting,
        found_checks=checks,
    )


@page(router, "/new-call", "new_call.html")
def new_call(here: Here, find: Words = "", said: Words = "", complaint: Complaint = ()) -> NewCall:
    """The units that a new call may be about, and what customers say.

    complaint: ids of what this one said, so that looking for the unit loses none of it.
    """
    with here.reading() as book:
        fitting = found(unit_lines(book).values(), find)
    return NewCall(
        title=mark("New call"),
        find=find.strip(),
        said=said,
        chips=chips(complaint),
        units=fitting[:LISTED],
        more=max(0, len(fitting) - LISTED),
        token=fresh_token(),
    )


@page(router, "/calls/{number}/unit", "call_unit.html")
def call_unit(number: int, here: Here, find: Words = "") -> CallUnit:
    """The units that an open call may be put on."""
    with here.reading() as book:
        book.calls.get(number)
        fitting = found(unit_lines(book).values(), find)
    return CallUnit(
        title=mark("Which unit is it?"),
        number=number,
        find=find.strip(),
        units=fitting[:LISTED],
        more=max(0, len(fitting) - LISTED),
    )


@router.post("/calls", include_in_schema=False)
def open_call(
    here: Here,
    unit: Annotated[int | None, Form()] = None,
    said: Annotated[str, Form()] = "",
    complaint: Annotated[tuple[str, ...], Form(max_length=40)] = (),
    find: Annotated[str, Form(max_length=80)] = "",
) -> Response:
    """Open a call on a unit; sent again, the form leads to the call that it opened.

    A call that nobody has a unit for is opened all the same, and leads to the questions about it.
    """
    del find  # what the unit was looked for by stands in the same form
    with here.writing() as book:
        call = book.calls.open(unit, title=said, technician_id=here.person_id, complaint=complaint)
        path = f"/calls/{call.id}" if unit is not None else f"/new-unit?call={call.id}"
        here.leads(path)
    return goto(path)


def _line(book: UnitOfWork, call: records.Call, units: dict[int, UnitLine]) -> CallLine:
    customer, technician = book.calls.people(call)
    return CallLine(
        id=call.id,
        title=call.title or mark("No cooling"),
        state=call.state,
        day=call.day,
        customer=customer.name if customer else "",
        technician=technician.name if technician else "",
        unit=units.get(call.unit_id or 0),
        progress=_progress(book, call),
    )


def _progress(book: UnitOfWork, call: records.Call) -> str:
    """How far a call is, by what was written of it last."""
    if call.state == "closed":
        return "closed"
    steps = (
        ("signed", lambda: book.sign_offs.last(call.id)),
        (mark("testing the repair"), lambda: book.proofs.now(call.id)),
        (
            mark("part installed"),
            lambda: any(e.candidate for e in book.fitted.standing(call.id)),
        ),
        (mark("measuring"), lambda: book.readings.now(call.id)),
        (mark("symptoms taken"), lambda: book.symptoms.now(call.id)),
    )
    return next((words for words, told in steps if told()), "new")
