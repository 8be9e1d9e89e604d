"""The part: which of the van's serve in this unit, and which one is fitted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, NamedTuple

from fastapi import APIRouter, Form, Query, Request, Response
from pydantic import Field

from rungwise.errors import BadCandidateFile, BadInput, BadRecord
from rungwise.records import UnitOfWork
from rungwise.replacement import CANDIDATE_KINDS, Candidate, standing_in_for
from rungwise.services import FittingOfUnitResult
from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.job import Job, JobView, job_of, mark_of
from rungwise.web.pages.part.view import (
    FitLine,
    OwnField,
    candidate_in,
    fields_of,
    line_of_fit,
    table_of,
    unread_of,
    with_price,
)
from rungwise.web.pages.van.bill import put_on_bill, take_off_bill
from rungwise.web.pages.van.stock import (
    COUNT,
    given_back,
    keep_stock,
    rows_of,
    stock_text,
    taken,
)
from rungwise.web.reasons import reason_of
from rungwise.web.results import fit_json, fitted, stock_in
from rungwise.web.schemas import page
from rungwise.web.undo import told_back
from rungwise.wording import joined, mark, moment_told, say

router = APIRouter()


class ThePart(JobView):
    """The candidates for one part of the call's unit, best first, and the one that is fitted."""

    part: str
    part_title: str
    parts: list[tuple[str, str]]
    why: str = Field(description="why this part is shown")
    fit: FittingOfUnitResult | None = Field(
        description="as `rungwise fit --for PART --json` prints it"
    )
    candidates: list[FitLine]
    best: FitLine | None = Field(description="the candidate that is offered first")
    no_stock: str = Field(description="why there is no candidate of the van, empty where there is")
    fitted: FitLine | None
    fitted_by: str
    beside: str
    own_kinds: list[tuple[str, str]]
    own_kind: str
    own: list[OwnField]
    own_name: str
    own_price: str
    own_where: str
    own_wrong: str
    own_fit: FitLine | None
    used_up: list[str] = Field(default_factory=list, description="of the van, and none is left")


@page(router, "/calls/{number}/part", "part.html")
def part(
    number: int,
    here: Here,
    request: Request,
    of: Annotated[str, Query(max_length=60)] = "",
    own: Annotated[str, Query(max_length=60)] = "",
) -> ThePart:
    """Which candidates serve for a part, at what price and where, and which one is fitted.

    of: the part. own: the kind of a candidate whose label is given in the query as well.
    """
    with here.reading() as book:
        held = gathered(book, number)
        stock = stock_text(book, here.person_id)
        rows = {row.part: row for row in book.fitted.standing(number)}
        who = {
            name: row.person.name if row.person else mark("somebody") for name, row in rows.items()
        }
        back = told_back(book, number)
    job = job_of(here, held)
    name = of if of in job.unit.part_by_name else _first(job, list(rows))
    view = view_of(job, name, judged_of(job, name, stock))
    view.used_up, view.last_entry = used_up_of(stock, job, name), back
    row = rows.get(name)
    if row is not None and row.candidate is not None:
        view.fitted = one_of(job, name, row.candidate)[0]
        view.fitted_by = joined(", ", (who[name], moment_told(row.local)))
    if own in CANDIDATE_KINDS:
        _put_own(view, job, own, dict(request.query_params))
    return view


@router.post("/calls/{number}/part", include_in_schema=False)
async def fit_part(number: int, here: Here, request: Request) -> Response:
    """Keep which part is fitted: one of the van's by its name, or one whose label was typed in."""
    form = {key: str(value)[:300] for key, value in (await request.form()).items()}
    return _kept(here, number, form)


@router.post("/calls/{number}/part/none", include_in_schema=False)
def fit_none(number: int, here: Here, of: Annotated[str, Form(max_length=60)]) -> Response:
    """Take back that a part is fitted."""
    with here.writing() as book:
        rows = {row.part: row for row in book.fitted.standing(number)}
        if of in rows and rows[of].candidate:
            book.undo.note("call", number, f"{of}: {(rows[of].candidate or {}).get('name', '')}")
        _exchange(book, here, number, of, None)
        book.fitted.fit(number, of, None)
    return goto(f"/calls/{number}/part?of={of}")


def _kept(here: Visitor, number: int, form: Mapping[str, str]) -> Response:
    name = form.get("of", "")
    with here.reading() as book:
        held = gathered(book, number)
        stock = stock_text(book, here.person_id)
    job = job_of(here, held)
    kind = form.get("own", "")
    if kind in CANDIDATE_KINDS:
        table = table_of(kind, name, form)
        table = with_price(table, candidate_in(table, job.unit))  # raises what is wrong with it
    else:
        table = _named(stock, job, name, form.get("name", ""))
    seen = form.get("seen", "")
    with here.writing() as book:
        _exchange(book, here, number, name, table)
        book.fitted.fit(number, name, table, seen=int(seen) if seen.isdecimal() else None)
    return goto(f"/calls/{number}/part?of={name}#fitted")


def _named(stock: str, job: Job, part_name: str, name: str) -> dict[str, Any]:
    for candidate, table in _of_van(stock, job, part_name) if stock else ():
        if candidate.name == name and part_name in candidate.parts:
            return {key: told for key, told in table.items() if key != COUNT}
    raise BadRecord(
        what=mark("The van's stock has no such part any more."),
        value=name,
        next_step=mark("look at the page again, and choose another"),
    )


def _exchange(
    book: UnitOfWork, here: Visitor, call: int, part: str, table: Mapping[str, Any] | None
) -> None:
    """Take a part off the van and put it on the bill; what stood in its place goes back."""
    text = stock_text(book, here.person_id)
    rows = {row.part: row for row in book.fitted.standing(call)}
    before = rows[part].candidate if part in rows else None
    now = text
    if before:
        now = given_back(now, before)
        take_off_bill(book, call, before)
    if table:
        now = taken(now, table)
        put_on_bill(book, call, table)
    if now != text:
        keep_stock(book, here, now)


def used_up_of(stock: str, job: Job, part: str) -> list[str]:
    """Parts of the van that would stand in for a part, of which none is left."""
    kinds = standing_in_for(job.unit.part(part).kind)
    return [str(row["name"]) for row in rows_of(stock)
            if row.get(COUNT) == 0 and row.get("kind") in kinds and row.get("name")]  # fmt: skip


class VanChoice(NamedTuple):
    """The van's candidates for one part. fit: as the command prints it."""

    fit: dict[str, Any] | None
    lines: list[FitLine]
    trouble: str


def judged_of(job: Job, name: str, stock: str) -> VanChoice:
    """The van's candidates for a part, best first. stock: the text of its list."""
    if not stock:
        return VanChoice(None, [], mark("Nothing on the van's list yet."))
    try:
        held = _of_van(stock, job, name)
    except BadCandidateFile as error:
        return VanChoice(None, [], reason_of(error))
    ours = tuple(each for each, _ in held if name in each.parts)
    if not ours:
        return VanChoice(None, [], mark("The van carries nothing for this part."))
    found = fitted(job, ours, mark_of(name, stock))
    lines = [line_of_fit(each) for fits in found.by_part.values() for each in fits]
    return VanChoice(fit_json(job, found), lines, "")


def _of_van(stock: str, job: Job, part: str) -> tuple[tuple[Candidate, Mapping[str, Any]], ...]:
    """The van's candidates with their tables, those that are used up left out.

    One that is for a part by a name that this unit has not is for the part of its kind here.
    """
    kinds = standing_in_for(job.unit.part(part).kind)
    found: list[tuple[Candidate, Mapping[str, Any]]] = []
    for candidate, table in stock_in(stock, job.unit):
        if table.get(COUNT) == 0:
            continue
        known = any(each in job.unit.part_by_name for each in candidate.parts)
        if not known and candidate.kind_name in kinds:
            found.append((replace(candidate, parts=(part,)), {**table, "for": part}))
        else:
            found.append((candidate, table))
    return tuple(found)


def one_of(job: Job, name: str, table: Mapping[str, Any]) -> tuple[FitLine | None, str, str]:
    """One candidate by its table: judged, or what is wrong with it and in which field."""
    try:
        made: Candidate = candidate_in(dict(table), job.unit)
    except BadInput as error:
        return None, reason_of(error), error.last_key
    found = fitted(job, (made,), mark_of(name, repr(sorted(table.items()))))
    return line_of_fit(next(iter(found.by_part.values()))[0]), "", ""


def _first(job: Job, fitted_parts: list[str]) -> str:
    """The part to show: fitted already, else what the call is about, else the first."""
    known = [each for each in (*fitted_parts, job.part) if each in job.unit.part_by_name]
    return known[0] if known else job.unit.parts[0].name


def view_of(job: Job, name: str, judged: VanChoice) -> ThePart:
    """The page of a part on which nothing is fitted yet."""
    unit = job.unit
    kinds = standing_in_for(unit.part(name).kind)
    return ThePart.model_validate(
        {
            **job.head(mark("Part"), "part"),
            "part": name,
            "part_title": unit.part(name).title,
            "parts": [(p.name, p.title) for p in unit.parts if standing_in_for(p.kind)],
            "why": _why(job, name),
            "fit": judged.fit,
            "candidates": judged.lines,
            "best": judged.lines[0] if judged.lines else None,
            "no_stock": judged.trouble,
            "fitted": None,
            "fitted_by": "",
            "beside": _beside(job, name),
            "own_kinds": [(kind, CANDIDATE_KINDS[kind].title) for kind in kinds],
            **dict.fromkeys(("own_kind", "own_name", "own_price", "own_where", "own_wrong"), ""),
            "own": [],
            "own_fit": None,
        }
    ).about(job.unit)


def _why(job: Job, name: str) -> str:
    best = job.answer.verdict.answer if job.answer else None
    if best and best.suspect.part == name:
        return mark("The readings speak for it.") if job.found else mark("Most likely so far.")
    return mark("Somebody suspects it.") if job.held.call.suspected == name else ""


def _beside(job: Job, name: str) -> str:
    best = job.answer.verdict.answer if job.answer else None
    if best is None or not job.found or best.suspect.part == name:
        return ""
    return say("The readings speak for {title}, and not for this part.", title=best.suspect.title)


def _put_own(view: ThePart, job: Job, kind: str, typed: Mapping[str, str]) -> None:
    """The candidate that is typed in, judged as soon as its label is whole."""
    view.own_kind = kind
    view.own_name, view.own_price, view.own_where = (
        typed.get(each, "") for each in ("name", "price", "where")
    )
    wrong: dict[str, str] = {}
    begun = any(typed.get(key) for key in CANDIDATE_KINDS[kind].label)
    if begun and (wrong := unread_of(kind, typed)):
        view.own_wrong = mark("Some of its label is missing.")
    elif begun:
        view.own_fit, why, key = one_of(job, view.part, table_of(kind, view.part, typed))
        known = {*CANDIDATE_KINDS[kind].parameters(), *CANDIDATE_KINDS[kind].texts}
        wrong = {key: why} if key in known else {}
        view.own_wrong = "" if wrong else why
    view.own = fields_of(kind, typed, wrong)
