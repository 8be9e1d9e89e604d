"""Papers of calls in the records, for the pages and for the command, which give the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from rungwise import records
from rungwise.diagnosis import PAPER_LISTS, PAPER_TEXTS, ByHand, CheckCard, full_id
from rungwise.errors import BadInput
from rungwise.isolation import SCOPES, WorkPlan
from rungwise.records import (
    PAPER_FIELD,
    Store,
    UnitOfWork,
    by_hand_of,
    proof_told,
    wires_of,
)
from rungwise.replacement import Fit
from rungwise.report import (
    CustomerPage,
    Extras,
    Kind,
    Layout,
    Paper,
    Shot,
    State,
    Step,
    Worked,
    Zone,
    customer_page,
    customer_paper,
    prices_in,
    technician_paper,
    unread,
)
from rungwise.services import CallDiagnosis, DiagnosisService, RepairProof, RewireAnswer
from rungwise.web.context import CallContext, gathered
from rungwise.web.deps import AppState, Visitor
from rungwise.web.job import Job, job_of, mark_of
from rungwise.web.pages.call.assembly import call_of
from rungwise.web.pages.make_dead.evidence import proof_of
from rungwise.web.pages.make_dead.steps import StepLine, rows_of, runs_on, step_lines
from rungwise.web.pages.part.view import candidate_in
from rungwise.web.pages.practice.score_paper import score_paper
from rungwise.web.pages.proof.assembly import START_UP, label_of
from rungwise.web.pages.proof.results import cards_of, judged
from rungwise.web.reasons import reason_of
from rungwise.web.results import fitted, isolation, rewired, wires_in
from rungwise.wording import joined, mark, moment_told, say

Make = Callable[[Worked, Extras, Layout], Paper]

PRICES = "paper.prices"
"""The field of a call that keeps the lines of its bill, as typed."""

ALWAYS_DATED = dt.date.min
"""No day of a call: so that every time on a paper has its day with it."""


def paper_fields() -> dict[str, str]:
    """The fields of a call that its papers are written from, and what they are called."""
    told = {f"{PAPER_FIELD}{key}": said for key, said in {**PAPER_TEXTS, **PAPER_LISTS}.items()}
    return {**told, PRICES: mark("Prices")}


@dataclass(frozen=True)
class _Rows:
    """What else the records hold of a call."""

    proofs: Sequence[records.Reading]
    steps: Sequence[records.Step]
    fitted: Sequence[records.FittedPart]
    wires: records.Wires | None
    shop: tuple[str, ...]
    signed: records.SignOff | None
    prices: str
    photos: tuple[Shot, ...]
    by_hand: ByHand
    phone: str


class CustomerTold(NamedTuple):
    """What the customer reads, but for prices that cannot be read.

    foreseeing: whether it is still being worked out what the readings foretell. prices_wrong: why
    the prices are left out.
    """

    page: CustomerPage
    foreseeing: bool
    prices_wrong: str


def paper_of(
    store: Store,
    desk: DiagnosisService,
    number: int,
    kind: Kind,
    layout: Layout,
    *,
    prices: str = "",
) -> Paper:
    """A paper of a call in a store, service or practice. prices: in place of those kept.

    Raises UnknownName when there is no such call, BadRecord when it has no such paper.
    """
    here = Visitor(AppState(store, desk), None, "")
    if kind == "practice":
        return score_paper(here, number, layout)
    return call_paper(here, number, kind, layout, prices=prices)


def call_paper(
    here: Visitor, number: int, kind: Kind, layout: Layout, *, prices: str = ""
) -> Paper:
    """Customer report or the technician's record; it waits until the unit is solved.

    Raises UnknownName when there is no such call, BadRecord while its unit is not known.
    """
    worked, extras = prepared(here, number, photos=True, prices=prices)
    if kind == "customer":
        extras = replace(extras, foreseen=foretold(here, number) or ())
    make: Make = technician_paper if kind == "technician" else customer_paper
    return make(worked, extras, layout)


def prepared(
    here: Visitor, number: int, *, photos: bool, prices: str = ""
) -> tuple[Worked, Extras]:
    """The call worked through, and what the records know besides. Raises as `call_paper`.

    What is near its end is not in it yet: `foretold` looks that up.
    """
    with here.reading() as book:
        held = gathered(book, number)
        rows = _rows(book, number, photos=photos)
    job = job_of(here, held)
    worked = _worked(here, job, rows)
    return worked, _extras(job, rows, prices or rows.prices)


def customer_told(
    here: Visitor, number: int, told: tuple[Worked, Extras], wait_s: float = 0.0
) -> CustomerTold:
    """Customer report as values. told: as `prepared` gives it. wait_s: for what is foretold."""
    worked, extras = told
    foreseen = foretold(here, number, wait_s)
    wrong = prices_wrong(extras.prices)
    kept = replace(extras, foreseen=foreseen or (), prices="" if wrong else extras.prices)
    return CustomerTold(customer_page(worked, kept), foreseen is None, wrong)


def prices_wrong(typed: str) -> str:
    """Why the lines of a bill cannot be read, "" where they can."""
    try:
        prices_in(typed)
    except BadInput as error:
        return f"{reason_of(error)} Typed: {error.value}"
    return ""


def foretold(here: Visitor, number: int, wait_s: float | None = None) -> tuple[str, ...] | None:
    """What of the call's unit is near its end by its own readings, as of the day of the call.

    wait_s: how long to wait for it; None waits until it is there. None comes back if it is not.
    """
    with here.reading() as book:
        call = book.calls.get(number)
    return here.house.lookout.near_end(number, call.unit_id or 0, call.day, wait_s)


def _rows(book: UnitOfWork, number: int, *, photos: bool) -> _Rows:
    shop = book.shop.only()
    license_told = say("License {number}", number=shop.licence) if shop and shop.licence else ""
    told = (shop.name, shop.address, shop.phone, license_told) if shop else ()
    entries = book.calls.entries(number)
    prices = entries.get(PRICES)
    return _Rows(
        proofs=book.proofs.standing(number),
        steps=book.steps.standing(number),
        fitted=[each for each in book.fitted.standing(number) if each.candidate],
        wires=wires_of(book, number),
        shop=tuple(each for each in told if each),
        signed=book.sign_offs.last(number),
        prices=prices.typed if prices else "",
        photos=tuple(_shots(book, number)) if photos else (),
        by_hand=by_hand_of(entries),
        phone=shop.phone if shop else "",
    )


def _shots(book: UnitOfWork, number: int) -> Iterator[Shot]:
    for row in book.photos.of_call(number):
        told = ": ".join(each for each in (row.shows, row.caption) if each)
        who = book.persons.get(row.person_id).name if row.person_id else ""
        at = records.Reading(at=row.at, zone=row.zone).local
        yield Shot(book.photos.content(row.id), told, _signed(who, at))


def _worked(here: Visitor, job: Job, rows: _Rows) -> Worked:
    answer = _answer(here, job)
    proved, untold = _proved(here, job, answer, rows.proofs)
    fits, unfit = _fits(job, rows.fitted)
    wires, unwired = _wires(job, rows.wires)
    return Worked(answer, proved, wires, fits, tuple(x for x in (untold, unfit, unwired) if x))


def _answer(here: Visitor, job: Job) -> CallDiagnosis:
    if job.answer is not None:
        return job.answer
    return here.desk.answer(job.unit, call_of(job.held, job.unit))


def _proved(
    here: Visitor, job: Job, answer: CallDiagnosis, rows: Sequence[records.Reading]
) -> tuple[RepairProof | None, str]:
    if answer.call.proof is None:
        return None, ""
    try:
        found = judged(job, here.desk, proof_told(list(rows)))
    except BadInput as error:
        return None, say("The proof cannot be worked out. {reason_of}", reason_of=reason_of(error))
    return found.proved, found.trouble


def _fits(job: Job, rows: Sequence[records.FittedPart]) -> tuple[tuple[Fit, ...], str]:
    if not rows:
        return (), ""
    told = [row.candidate for row in rows if row.candidate is not None]
    try:
        candidates = tuple(candidate_in(each, job.unit) for each in told)
    except BadInput as error:
        return (), say("The part fitted cannot be judged. {reason_of}", reason_of=reason_of(error))
    found = fitted(job, candidates, mark_of(str(told)))
    return tuple(each for fits in found.by_part.values() for each in fits), ""


def _wires(job: Job, row: records.Wires | None) -> tuple[RewireAnswer | None, str]:
    if row is None:
        return None, ""
    try:
        if wires_in(row.toml, job.unit).loose:
            return None, mark(
                "Some wires hang loose, and it is still being found where they belong."
            )
        return rewired(job, row.toml)[0], ""
    except BadInput as error:
        return None, say("The wires cannot be checked. {reason_of}", reason_of=reason_of(error))


def _extras(job: Job, rows: _Rows, prices: str) -> Extras:
    held = job.held
    everything = [*held.standing, *rows.proofs, *rows.steps, *rows.fitted]
    ticked = [row for row in rows.steps if row.done]
    return Extras(
        shop=rows.shop,
        place=held.unit_line.place if held.unit_line else "",
        people=tuple(dict.fromkeys(row.person.name for row in everything if row.person)),
        taken=tuple(_taken(held)),
        proved={row.check: _by(row) for row in rows.proofs if row.counts},
        fitted={row.part: _by(row) for row in rows.fitted},
        unread=tuple(_unread([*held.standing, *rows.proofs], _cards(job))),
        zones=tuple(_zones(job, rows.steps)),
        moves=tuple(
            f"{row.text} ({_by(row)})" for row in ticked if row.zone_of_work.startswith("wires ")
        ),
        started=tuple(f"{row.text} ({_by(row)})" for row in ticked if row.zone_of_work == START_UP),
        photos=rows.photos,
        note=held.call.note,
        told=rows.signed.text if rows.signed else "",
        signed_by=_by(rows.signed) if rows.signed else "",
        received_by=rows.signed.received_by if rows.signed else "",
        prices=prices,
        by_hand=rows.by_hand,
        phone=rows.phone,
    )


def _taken(held: CallContext) -> Iterator[str]:
    """Who and when, for the outcomes of the call's text in its order."""
    standing = [row for row in held.standing if row.counts]
    symptoms = {row.check: row for row in standing if row.kind == "symptom"}
    for row in (*symptoms.values(), *(row for row in standing if row.kind == "reading")):
        yield _by(row)


def _cards(job: Job) -> Mapping[str, CheckCard]:
    return {**cards_of(job.unit), **job.at.by_id}


def _unread(rows: Iterable[records.Reading], cards: Mapping[str, CheckCard]) -> Iterator[str]:
    for row in rows:
        if row.typed.strip() and row.refusal:
            card = cards.get(full_id(row.check, cards))
            title = card.title if card else label_of(row.check, cards)
            yield unread(title, row.typed)


def _zones(job: Job, steps: Sequence[records.Step]) -> Iterator[Zone]:
    for scope, title in SCOPES.items():
        rows = rows_of(steps, scope)
        if not rows:
            continue
        plan = isolation(job, scope, runs_on=runs_on(steps)).plan
        told = plan.cautions
        lines = step_lines(plan, rows, [], ALWAYS_DATED)
        proof = proof_of(lines)
        yield Zone(
            title=title,
            dangers=tuple((it.signal, it.text) for it in told if it.signal == "DANGER"),
            steps=(*(_step(line) for line in lines), *_of_earlier_plans(plan, rows)),
            counted=say(
                "{len} of {asked} readings are as they must be, with the meter proved "
                "before and after.",
                len=len(proof.taken),
                asked=proof.asked,
            ),
            open=tuple(proof.missing),
        )


def _of_earlier_plans(plan: WorkPlan, rows: Iterable[records.Step]) -> Iterator[Step]:
    """What was ticked on a plan that is no longer this unit's: kept, and counted for nothing."""
    known = {(step.number, step.whole) for step in plan.steps}
    for row in rows:
        if row.done and (row.number, row.text) not in known:
            text = say("On an earlier plan: {text}", text=row.text)
            yield Step(row.number, "", text, "", row.typed, "done", _by(row))


def _step(line: StepLine) -> Step:
    missed: State = "not read" if line.reads else "not done"
    return Step(
        number=line.number,
        place=line.place,
        text=" ".join((line.text, *line.what)),
        must_read=line.must_read,
        reading=line.reading or line.typed,
        state="done" if line.state == "done" else "not so" if line.state == "not so" else missed,
        by=joined(", ", (line.who, line.at)) if line.who else "",
    )


def _by(row: Any) -> str:
    return _signed(row.person.name if row.person else "", row.local)


def _signed(name: str, at: dt.datetime) -> str:
    return joined(", ", (name or mark("somebody"), moment_told(at)))
