"""Signing a call off: what the customer reads, the record behind it, and who signed."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Response
from pydantic import Field, TypeAdapter

from rungwise import records
from rungwise.faults import fault_steps
from rungwise.records import Scope, UnitOfWork
from rungwise.report import CustomerPage
from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.job import Job, JobView, job_of
from rungwise.web.pages.paper.papers import CustomerTold, customer_told, prepared
from rungwise.web.pages.sign_off.view import SignOffRecord, kept_of, paper_of
from rungwise.web.schemas import page
from rungwise.web.shown import Shown
from rungwise.web.undo import report_names, undo_of
from rungwise.wording import joined, mark, measuring, moment_told, speaking, told_throughout

router = APIRouter()

SIGNED = ("headline", "run", "found", "explained", "done", "checked", "next_step", "not_measured")
"""What of the customer's page is kept as it was signed: what a later visit foretells is not."""

Words = Annotated[str, Form(max_length=4000)]


class SignatureLine(Shown):
    """How it was signed. changed: whether the record has changed since."""

    text: str
    received_by: str
    who: str
    at: str
    changed: bool


class PartFaults(Shown):
    """What may have been at fault: a part or a wire, and each way in which it fails."""

    name: str
    title: str
    faults: list[tuple[str, str]]


class SignOffPage(JobView):
    """What the customer reads and signs, and behind it the record of the call."""

    told: CustomerPage | None = Field(
        description="the customer's page, None while the unit is being solved"
    )
    foreseeing: bool = Field(
        description="whether it is still being worked out what the readings foretell"
    )
    prices_wrong: str
    shop: list[str]
    customer: str
    place: str
    day: dt.date
    technician: str
    paper: SignOffRecord
    signed: SignatureLine | None
    text: str
    received_by: str
    truth: str
    how: str
    likely: list[tuple[str, str]] = Field(description="causes by the readings, the found one first")
    parts: list[PartFaults]


@page(router, "/calls/{number}/sign-off", "sign_off.html")
def sign_off(
    number: int,
    here: Here,
    wait: Annotated[float, Query(ge=0.0, le=60.0, description="seconds to wait")] = 0.0,
) -> SignOffPage:
    """What the customer reads, all that was found, done and measured, and how it was signed."""
    with here.reading() as book:
        held = gathered(book, number)
        kept = kept_of(book, number)
        shop = _shop(book)
        row = book.sign_offs.last(number)
        truth = book.truths.last(number)
        signed = _signed(row) if row else None
        facts = row.facts if row else None
        path = f"/calls/{number}/undo"
        undo = undo_of(book, Scope.of_report(number), path, report_names, "report")
    job = job_of(here, held)
    paper, read = paper_of(job, kept, here.desk), _read(here, job, wait)
    if signed is not None:
        signed.changed = _changed(facts, _facts(paper, read))
    view = _view(job, paper, read, shop)
    view.signed, view.last_entry = signed, undo
    view.text, view.received_by = (signed.text, signed.received_by) if signed else ("", "")
    view.truth, view.how = _truth(truth, job)
    return view


@router.post("/calls/{number}/sign-off", include_in_schema=False)
def sign(
    number: int,
    here: Here,
    *,
    text: Words = "",
    received_by: Words = "",
    truth: Annotated[str, Form(max_length=120)] = "",
    how: Annotated[str, Form(max_length=300)] = "",
    seen: Annotated[int | None, Form()] = None,
) -> Response:
    """Sign the record as it stands, and close the call."""
    with here.reading() as book:
        held = gathered(book, number)
        kept = kept_of(book, number)
    job = job_of(here, held)
    facts = _facts(paper_of(job, kept, here.desk), _read(here, job))
    with here.writing() as book:
        _keep_verdict(book, job)
        part = _block(truth)
        if truth in _known(job):
            book.truths.tell(number, part, suspect=truth if part != truth else "", how=how.strip())
        book.sign_offs.sign(number, text.strip(), received_by=received_by.strip(), facts=facts,
                            seen=seen)  # fmt: skip
        book.calls.close(number)
    return goto(f"/calls/{number}/sign-off#signed")


@router.post("/calls/{number}/sign-off/reopen", include_in_schema=False)
def reopen(number: int, here: Here) -> Response:
    """Take the call up again; what was signed stays in the records."""
    with here.writing() as book:
        book.calls.start(number)
    return goto(f"/calls/{number}/sign-off")


def _read(here: Visitor, job: Job, wait_s: float = 0.0) -> CustomerTold | None:
    """What the customer reads, None while the unit is being solved."""
    if job.at.building is not None:
        return None
    told = prepared(here, job.number, photos=False)
    return customer_told(here, job.number, told, wait_s)


def _facts(paper: SignOffRecord, read: CustomerTold | None) -> dict[str, Any]:
    """What is signed: the record, and what the customer reads of it."""
    with speaking("en"), measuring("us"):
        page = told_throughout(read.page) if read else None
    told = TypeAdapter(CustomerPage).dump_python(page, mode="json") if page else {}
    customer = {key: told[key] for key in SIGNED if key in told}
    return {**paper.model_dump(mode="json"), "customer": customer}


def _changed(signed: dict[str, Any] | None, now: dict[str, Any]) -> bool:
    """Whether what was signed is told otherwise now; an old record has no customer's words."""
    return signed is None or any(now.get(key) != told for key, told in signed.items())


def _keep_verdict(book: UnitOfWork, job: Job) -> None:
    """What the readings spoke for when it was signed."""
    answer = job.answer
    if answer is None:
        return
    best = answer.verdict.answer
    book.verdicts.give(
        job.number,
        answer.verdict.kind,
        best.suspect.title if best else mark("none of the listed faults"),
        suspect=best.suspect.id if best else "",
        part=best.suspect.part if best else "",
        probability=answer.verdict.probability,
    )


def _truth(told: records.Truth | None, job: Job) -> tuple[str, str]:
    """What the form holds for what was at fault, and how it is known: told, else found."""
    if told is None:
        # Of a fault with its effect, the one that began it.
        first = "".join(step.id for step in fault_steps(job.found)[:1])
        return (first if first in _known(job) else ""), ""
    return (told.suspect if told.suspect in _known(job) else told.part), told.how


def _known(job: Job) -> set[str]:
    """Everything that the form takes for what was at fault."""
    parts = _parts(job)
    return {each.name for each in parts} | {name for each in parts for name, _ in each.faults}


def _likely(job: Job) -> list[tuple[str, str]]:
    """What the readings speak for, as far as the form takes it; of a chain what began it."""
    verdict = job.answer.verdict if job.answer else None
    named = {
        name: joined(": ", (each.title, it)) for each in _parts(job) for name, it in each.faults
    }
    found: dict[str, str] = {}
    for each in (verdict.answer, *verdict.runners_up) if verdict else ():
        first = "".join(step.id for step in fault_steps(each.suspect.id)[:1]) if each else ""
        if first in named:
            found[first] = named[first]
    return list(found.items())


def _block(suspect: str) -> str:
    """The part, wire or pair that a suspect's first fault is on; a part's own name is one too."""
    return next((step.block for step in fault_steps(suspect)), "")


def _parts(job: Job) -> list[PartFaults]:
    """All parts, and the wire or the pair of conductors that was found."""
    found = _block(job.found)
    return [
        PartFaults(
            name=each.name,
            title=each.title,
            faults=[(f"{each.name}.{mode.name}", mode.title) for mode in each.kind.modes],
        )
        for each in job.unit.blocks()
        if each.name in job.unit.part_by_name or each.name == found
    ]


def _signed(row: Any) -> SignatureLine:
    return SignatureLine(
        text=row.text,
        received_by=row.received_by,
        who=row.person.name if row.person else mark("somebody"),
        at=moment_told(row.local),
        changed=False,
    )


def _shop(book: UnitOfWork) -> list[str]:
    shop = book.shop.only()
    told = [shop.name, shop.address, shop.phone, shop.licence] if shop else []
    return [each for each in told if each]


def _view(
    job: Job, paper: SignOffRecord, read: CustomerTold | None, shop: list[str]
) -> SignOffPage:
    held = job.held
    return SignOffPage.model_validate(
        {
            **job.head(mark("Report"), "report"),
            "shop": shop,
            "customer": held.customer,
            "place": held.unit_line.place if held.unit_line else "",
            "day": held.call.day,
            "technician": held.technician,
            "paper": paper,
            "told": read.page if read else None,
            "foreseeing": read is not None and read.foreseeing,
            "prices_wrong": read.prices_wrong if read else "",
            "signed": None,
            **dict.fromkeys(("text", "received_by", "truth", "how"), ""),
            "likely": _likely(job),
            "parts": _parts(job),
        }
    ).about(job.unit)
