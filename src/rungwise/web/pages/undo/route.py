"""Taking back what was entered last, for every page that records something."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Response

from rungwise.records import Scope, UnitOfWork
from rungwise.web.context import gathered
from rungwise.web.deps import Here
from rungwise.web.forms import goto
from rungwise.web.leads import titles_in
from rungwise.web.pages.new_unit.draft import unit_names
from rungwise.web.pages.paper.papers import paper_fields
from rungwise.web.pages.van.stock import refuse_installed, stock_names, stock_scope
from rungwise.web.undo import (
    CALL_FIELDS,
    OF_OPEN_CALLS,
    Names,
    call_names,
    field_names,
    refuse_closed,
    report_names,
    take_back,
    wires_names,
)

router = APIRouter(include_in_schema=False)

CallPage = Literal["", "lost", "report", "paper"]
BACK: dict[CallPage, str] = {"": "", "lost": "/lost#now", "report": "/sign-off#signed",
                             "paper": "/paper#prices"}  # fmt: skip

Mark = Annotated[str, Form(max_length=2000)]


@router.post("/calls/{number}/undo")
def of_call(
    number: int, here: Here, shown: Mark, page: Annotated[CallPage, Form()] = ""
) -> Response:
    """Take back what was entered last on a page of a call.

    Raises BadRecord where something else was entered since.
    """
    with here.writing() as book:
        scope, names = _of_call(book, number, page)
        if page in OF_OPEN_CALLS:
            refuse_closed(book, scope)
        take_back(book, scope, shown, names)
        if page == "report":
            book.calls.start(number)
    return goto(f"/calls/{number}{BACK[page]}")


def _of_call(book: UnitOfWork, number: int, page: CallPage) -> tuple[Scope, Names]:
    if page == "lost":
        return Scope.of_wires(number), wires_names
    if page == "report":
        return Scope.of_report(number), report_names
    if page == "paper":
        fields = paper_fields()
        return Scope.of_fields(number, fields), field_names(fields)
    titles = titles_in(gathered(book, number).unit_text)
    return Scope.of_call(number, CALL_FIELDS), call_names(titles)


@router.post("/units/{number}/undo")
def of_unit(number: int, here: Here, shown: Mark, page: Annotated[str, Form()] = "") -> Response:
    """Take back what was told of a unit last. Raises BadRecord where more was told since."""
    with here.writing() as book:
        take_back(book, Scope.of_unit(number), shown, unit_names(book, number))
        unit = book.units.get(number)
        unit.state = "whole" if unit.toml else "draft"
    return goto(f"/units/{number}/{'wiring' if page == 'wiring' else 'plate'}")


@router.post("/van/undo")
def of_van(here: Here, shown: Mark) -> Response:
    """Take back the last change of the van's stock.

    Raises BadRecord where it has changed since, or the part is in a unit: it is taken back there.
    """
    with here.writing() as book:
        scope = stock_scope(book, here.person_id)
        refuse_installed(book, book.undo.last(scope))
        take_back(book, scope, shown, stock_names(book))
    return goto("/van#list")
