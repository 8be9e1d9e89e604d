"""The reports of a call: what they tell, and the PDFs to take away."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Query, Request, Response
from pydantic import BaseModel, Field

from rungwise.diagnosis import PAPER_LISTS, PAPER_TEXTS
from rungwise.records import PAPER_FIELD, Scope, by_hand_of
from rungwise.report import (
    CustomerPage,
    Layout,
    Size,
    TechnicianRecord,
    technician_record,
)
from rungwise.web.context import gathered
from rungwise.web.deps import Here
from rungwise.web.forms import goto
from rungwise.web.job import JobView, job_of
from rungwise.web.pages.paper.papers import (
    PRICES,
    call_paper,
    customer_told,
    paper_fields,
    prepared,
    prices_wrong,
)
from rungwise.web.pages.practice.score_paper import score_paper
from rungwise.web.pages.share.view import ShareLine, share_lines
from rungwise.web.schemas import page
from rungwise.web.undo import field_names, undo_of
from rungwise.wording import Language, System, current, mark, measuring, told_throughout

router = APIRouter()

PDF = "application/pdf"
Typed = Annotated[str, Field(max_length=2000)]
CallKind = Literal["customer", "technician"]
NAMES: Mapping[CallKind, str] = {
    "customer": mark("Customer report"),
    "technician": mark("Technician report"),
}
LAYOUTS: tuple[tuple[str, Layout], ...] = (
    (mark("Letter, °F and psi"), Layout("letter", "us")),
    (mark("Letter, °C and kPa"), Layout("letter", "si")),
    (mark("A4, °F and psi"), Layout("a4", "us")),
    (mark("A4, °C and kPa"), Layout("a4", "si")),
)


class Papers(JobView):
    """What the papers tell, without their pictures; None while the unit is being solved.

    papers: kind, its name, and each layout's name with the path of its PDF.
    """

    papers: list[tuple[str, str, list[tuple[str, str]]]]
    customer: CustomerPage | None
    technician: TechnicianRecord | None
    building: float | None
    foreseeing: bool = Field(
        description="whether it is still being worked out what the readings foretell"
    )
    prices: str = Field(description="lines of the bill, as typed")
    prices_wrong: str
    shares: list[ShareLine] = Field(description="links that open the customer's report now")
    sharing: bool = Field(description="whether the links are open")
    shares_open: str = Field(description="what links begin with, where that is set")
    by_hand: list[tuple[str, str, str, bool]] = Field(
        description="key, what it says, as typed, and whether it is a list of one a line"
    )


@page(router, "/calls/{number}/paper", "paper.html")
def papers(
    number: int,
    here: Here,
    request: Request,
    units: System | None = None,
    opened: Annotated[Literal["", "share"], Query(alias="open")] = "",
    wait: Annotated[float, Query(ge=0.0, le=60.0, description="seconds to wait")] = 0.0,
) -> Papers:
    """Customer report and the technician's record, as values; each can be had as PDF."""
    with here.reading() as book:
        held = gathered(book, number)
        entries = book.calls.entries(number)
        fields = paper_fields()
        scope, path = Scope.of_fields(number, fields), f"/calls/{number}/undo"
        undo = undo_of(book, scope, path, field_names(fields), "paper")
        address = here.house.reports or str(request.base_url).rstrip("/")
        shares = share_lines(book, number, address)
    kept = entries.get(PRICES)
    job = job_of(here, held)
    typed = kept.typed if kept else ""
    told = None if job.at.building is not None else prepared(here, number, photos=False)
    read = customer_told(here, number, told, wait) if told else None
    customer, technician = read and read.page, told and technician_record(*told)
    if units:
        with measuring(units):
            customer, technician = told_throughout((customer, technician))
    return Papers.model_validate(
        {
            **job.head(mark("Reports"), "report"),
            "papers": [(kind, name, _paths(number, kind)) for kind, name in NAMES.items()],
            "customer": customer,
            "technician": technician,
            "building": job.at.building,
            "foreseeing": read is not None and read.foreseeing,
            "prices": typed,
            "prices_wrong": prices_wrong(typed),
            "by_hand": _by_hand(by_hand_of(entries).as_typed()),
            "last_entry": undo,
            "shares": shares,
            "sharing": opened == "share",
            "shares_open": here.house.reports,
        }
    ).about(job.unit)


@router.get("/calls/{number}/paper/{kind}.pdf", include_in_schema=False)
def paper_pdf(
    number: int,
    kind: CallKind,
    here: Here,
    size: Size = "letter",
    units: System = "us",
    language: Language = "en",
) -> Response:
    """One of them as PDF; it waits until the unit is solved."""
    made = call_paper(here, number, kind, Layout(size, units, language))
    return _sent(made.pdf(), f"call-{number}-{kind}.pdf")


@router.get("/practice/{number}/paper.pdf", include_in_schema=False)
def score_pdf(number: int, here: Here, size: Size = "letter") -> Response:
    """The score of a practice call as PDF."""
    return _sent(score_paper(here, number, Layout(size)).pdf(), f"practice-{number}.pdf")


class ByHandForm(BaseModel):
    """The texts for the customer's page, each under its key; a list has one a line."""

    invoice: Typed = ""
    arrived: Typed = ""
    left: Typed = ""
    refrigerant_added: Typed = ""
    next_step: Typed = ""
    warranty: Typed = ""
    next_visit: Typed = ""
    done: Typed = ""
    watch: Typed = ""
    recommend: Typed = ""


@router.post("/calls/{number}/paper/by-hand", include_in_schema=False)
def keep_texts(number: int, here: Here, told: Annotated[ByHandForm, Form()]) -> Response:
    """Keep what was written for the customer's page; what did not change is left alone."""
    with here.writing() as book:
        kept = by_hand_of(book.calls.entries(number)).as_typed()
        for key, text in told.model_dump().items():
            if text.strip() != kept.get(key, ""):
                book.calls.leave(number, f"{PAPER_FIELD}{key}", text.strip())
    return goto(f"/calls/{number}/paper#by-hand-in")


@router.post("/calls/{number}/paper/prices", include_in_schema=False)
def keep_prices(
    number: int,
    here: Here,
    prices: Annotated[str, Form(max_length=4000)] = "",
    seen: Annotated[int | None, Form()] = None,
) -> Response:
    """Keep the lines of the bill as typed, also those that cannot be read."""
    with here.writing() as book:
        book.calls.leave(number, PRICES, prices, refusal=prices_wrong(prices), seen=seen)
    return goto(f"/calls/{number}/paper#lines")


def _by_hand(typed: Mapping[str, str]) -> list[tuple[str, str, str, bool]]:
    said = {**PAPER_TEXTS, **PAPER_LISTS}
    return [(key, said[key], typed.get(key, ""), key in PAPER_LISTS)
            for key in ByHandForm.model_fields]  # fmt: skip


def _paths(number: int, kind: CallKind) -> list[tuple[str, str]]:
    at = f"/calls/{number}/paper/{kind}.pdf"
    spoken = f"&language={current()}" if kind == "customer" and current() != "en" else ""
    return [(name, f"{at}?size={it.size}&units={it.units}{spoken}") for name, it in LAYOUTS]


def _sent(content: bytes, name: str) -> Response:
    headers = {"content-disposition": f'inline; filename="{name}"', "cache-control": "no-store"}
    return Response(content, media_type=PDF, headers=headers)
