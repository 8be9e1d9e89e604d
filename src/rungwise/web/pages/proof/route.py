"""Proving a repair: the first start, the checks worth making, and what each reading says."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from rungwise import records
from rungwise.diagnosis import CheckCard
from rungwise.errors import BadInput, BadRecord, UnknownName
from rungwise.records import (
    FOUND,
    REPAIRED,
    EntryResult,
    UnitOfWork,
    as_list,
    is_field,
    proof_told,
    value_in,
)
from rungwise.verification import repairs_named
from rungwise.web.answer_parsing import typed_of
from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.field_replies import SAVED, FieldReply, told_of
from rungwise.web.forms import goto
from rungwise.web.job import Job, job_of
from rungwise.web.pages.proof.assembly import (
    START_UP,
    ProofRows,
    ProofState,
    can_be_repaired,
    implied,
    shown_of,
)
from rungwise.web.pages.proof.forms import (
    FIELDS,
    GAUGES,
    Units,
    field_of,
    groups,
    meant,
    refusal_of,
    units_of,
)
from rungwise.web.pages.proof.now import now_of
from rungwise.web.pages.proof.results import cards_of, cooling_text, cooling_trouble, ground
from rungwise.web.pages.proof.view import ProofPage
from rungwise.web.reasons import reason_of
from rungwise.web.schemas import page
from rungwise.web.submission import refuse_unknown
from rungwise.web.timers import TimerKey, delays_of, timer_key
from rungwise.web.undo import told_back
from rungwise.wording import joined, mark, time_told

router = APIRouter()

WORTH_A_TIMER_S = 20.0
"""A shorter pause of the first start is counted by heart."""

Short = Annotated[str, Form(max_length=200)]
Seen = Annotated[int | None, Form()]


@page(router, "/calls/{number}/proof", "proof.html")
def proof(
    number: int,
    here: Here,
    check: Annotated[str, Query(max_length=120)] = "",
    saved: Annotated[str, Query(max_length=120)] = "",
    units: Literal["", "us", "si"] = "",
    gauges: Literal["", "1"] = "",
) -> ProofPage:
    """Whether the repair is proved: the start-up, the checks worth making, readings, refrigerant.

    check: another check to show instead of the next one. units: in which the fields are asked.
    gauges: whether what gauges show is asked first.
    """
    with here.reading() as book:
        held = gathered(book, number)
        kept = _kept(book, number)
        back = told_back(book, number)
    shown = shown_of(job_of(here, held), here.desk, kept, check)
    told = {key: row.typed for key, row in shown.kept.fields.items()}
    asked = list(GAUGES) if gauges else []
    view = _view(shown, saved, units or units_of(told, here.units), asked)
    view.last_entry, view.timers = back, _timers(shown, view)
    return view


def _timers(shown: ProofState, view: ProofPage) -> list[TimerKey]:
    """What has to be waited for at the start: the unit's own delay, and the longest pause."""
    number = shown.job.number
    if view.now.doing != "start":
        return []
    back = f"/calls/{number}/proof"
    numbers = {each.number for each in view.now.start}
    pauses = [pause for at, pause in enumerate(shown.pauses(), start=1) if at in numbers]
    longest_s = max(pauses, default=0.0)
    waits = [timer_key(number, "wait", longest_s, back)] if longest_s >= WORTH_A_TIMER_S else []
    return [*delays_of(shown.job.unit, number, back), *waits]


@router.post("/calls/{number}/proof/readings", include_in_schema=False)
def keep_reading(  # noqa: PLR0913  # the fields of the form
    number: int,
    here: Here,
    *,
    check: Annotated[str, Form(max_length=120)],
    typed: Short = "",
    unit: Annotated[str, Form(max_length=8)] = "",
    quick: Annotated[str, Form(max_length=80)] = "",
    amps: Short = "",
    volts: Short = "",
    seen: Seen = None,
    back: Annotated[str, Form(max_length=140)] = "",
) -> Response:
    """Keep a reading after the repair, whether or not it can be used."""
    job, kept = _job(here, number)
    card = _card(job, check)
    said = typed_of(typed, unit, quick)
    if amps.strip() and volts.strip() and not said:
        said = f"{typed_of(amps, 'A', '')}, {typed_of(volts, 'V', '')}"
    value, refusal = _value(card, said, job.unit.hz)
    with here.writing() as book:
        _say_repaired(book, job, kept)
        # On the card it is made once more; beside the reading a slip of the pen is mended.
        book.proofs.take(
            number, check, said, value=value, unit=card.unit, refusal=refusal, seen=seen,
            again=back == "check" and not refusal,
        )  # fmt: skip
    again = f"check={check}&" if refusal and back == "check" else ""
    return goto(f"/calls/{number}/proof?{again}saved={check}#{back or 'readings'}")


@router.post("/calls/{number}/proof/looks", include_in_schema=False)
def keep_looks(
    number: int, here: Here, check: Annotated[list[str], Form(max_length=20)], seen: Seen = None
) -> Response:
    """Keep that all these looks at the first start came out as on a good unit."""
    job, kept = _job(here, number)
    good = {each.id: each.must_read for each in now_of(shown_of(job, here.desk, kept)).looks}
    with here.writing() as book:
        _say_repaired(book, job, kept)
        for each in check:
            if each in good:
                book.proofs.take(number, each, good[each], value=good[each], seen=seen, again=True)
    return goto(f"/calls/{number}/proof?saved={check[-1]}#check")


@router.post("/calls/{number}/proof/undo", include_in_schema=False)
def undo(number: int, here: Here) -> Response:
    """Take back what was entered last: a reading, or all that one tap said."""
    job, kept = _job(here, number)
    with here.writing() as book:
        last = _last(kept)
        if last:
            told = [_name(job, row) for row in last]
            book.undo.note("call", number, " · ".join(dict.fromkeys(told)))
        for row in last:
            if isinstance(row, records.Step):
                book.steps.tick(number, START_UP, row.number, row.text, done=False)
            else:
                book.proofs.take(number, row.check, "")
    return goto(f"/calls/{number}/proof#check")


def _name(job: Job, row: records.Reading | records.Step) -> str:
    """What an entry is called once it is taken back."""
    if isinstance(row, records.Step):
        return row.text
    cards = cards_of(job.unit)
    return f"{cards[row.check].title if row.check in cards else row.check}: {row.typed}"


def _last(kept: ProofRows) -> list[records.Reading | records.Step]:
    """The readings and ticks of the moment at which one was entered last."""
    readings = [row for row in kept.standing if row.typed and not is_field(row.check)]
    ticks = [row for row in kept.ticks if row.done]
    found: list[records.Reading | records.Step] = [*readings, *ticks]
    newest = max((row.at for row in found), default=None)
    return [row for row in found if row.at == newest]


@router.post("/calls/{number}/proof/repaired", include_in_schema=False)
def keep_repaired(
    number: int, here: Here, add: Short = "", drop: Short = "", seen: Seen = None
) -> Response:
    """Say what was repaired: one more, or one less."""
    job, kept = _job(here, number)
    row = kept.fields.get(REPAIRED)
    names = as_list(row.typed if row else implied(job, kept).get(REPAIRED, ""))
    names = [each for each in names if each != drop]
    names += [add] if add and add not in names else []
    typed = ", ".join(names)
    refusal = _refused_repair(job, names)
    with here.writing() as book:
        book.proofs.take(number, REPAIRED, typed, refusal=refusal, seen=seen)
        if FOUND in book.proofs.now(number):
            book.proofs.take(number, FOUND, "")  # it was known of other repairs
    return goto(f"/calls/{number}/proof#repaired")


@router.post("/calls/{number}/proof/start", include_in_schema=False)
def tick_start(
    number: int,
    here: Here,
    step: Annotated[list[int], Form(max_length=60)],
    done: Annotated[Literal["true", "false"], Form()] = "true",
    seen: Seen = None,
    back: Annotated[str, Form(max_length=20)] = "",
) -> Response:
    """Tick moments of the first start, or take them back.

    Raises BadRecord for a step that the start-up does not have.
    """
    job, _ = _job(here, number)
    steps = ground(job).startup
    if not 1 <= min(step) <= max(step) <= len(steps):
        raise BadRecord(what=mark("The start-up has no such step."), value=str(max(step)))
    with here.writing() as book:
        for each in step:
            text = str(steps[each - 1].what)
            book.steps.tick(number, START_UP, each, text, done=done == "true", seen=seen)
    return goto(f"/calls/{number}/proof#{back or f'start-{step[0]}'}")


@router.post("/calls/{number}/proof/fields/{units}/{key}", include_in_schema=False)
def leave_field(
    number: int,
    units: Units,
    key: str,
    here: Here,
    typed: Annotated[str, Form(max_length=2000)],
    seen: Seen = None,
) -> FieldReply:
    """Keep one field as it was left, and say what refrigerant and air come to."""
    job, kept = _job(here, number)
    with here.writing() as book:
        _say_repaired(book, job, kept)
        left = _leave(book, job, key, meant(field_of(key), typed, units), seen)
        told = proof_told(book.proofs.standing(number))
        answer = told_of(left)
    if answer.level != "fine":
        return answer
    try:
        level, text = cooling_text(job.unit, told)
    except BadInput as error:
        level, text = "doubt", cooling_trouble(told, error)
    return FieldReply(
        level=level, text=joined(" ", [each for each in (SAVED, text) if each]), seen=answer.seen
    )


@router.post("/calls/{number}/proof/fields/{units}", include_in_schema=False)
async def leave_fields(number: int, units: Units, request: Request, here: Here) -> Response:
    """Keep all fields, as the button without script sends them."""
    form = {key: str(value)[:2000] for key, value in (await request.form()).items()}
    await run_in_threadpool(_left, here, number, units, form)
    if form.get("back") == "gauges":
        return goto(f"/calls/{number}/proof?gauges=1&units={units}#check")
    return goto(f"/calls/{number}/proof?units={units}#cooling")


@router.post("/calls/{number}/proof/choose", include_in_schema=False)
def choose(
    number: int, here: Here, row: Annotated[int, Form()], other: Annotated[int, Form()]
) -> Response:
    """Of two answers let `row` stand and not `other`.

    Raises BadRecord for two that do not belong to this call.
    """
    with here.writing() as book:
        chosen, left = book.proofs.get(row), book.proofs.get(other)
        if {chosen.call_id, left.call_id} != {number}:
            raise BadRecord(what=mark("These two do not belong to this call."), value=str(row))
        book.proofs.stand(row if chosen.beside else other)
        if not left.beside:
            return goto(f"/calls/{number}/proof#readings")
        book.proofs.take(
            number, chosen.check, chosen.typed, value=chosen.value, unit=chosen.unit,
            note=chosen.note, refusal=chosen.refusal,
        )  # fmt: skip
    return goto(f"/calls/{number}/proof#readings")


def _kept(book: UnitOfWork, number: int) -> ProofRows:
    return ProofRows(
        book.proofs.standing(number),
        book.proofs.history(number),
        book.steps.now(number, START_UP),
        [row.part for row in book.fitted.standing(number) if row.candidate],
    )


def _job(here: Visitor, number: int) -> tuple[Job, ProofRows]:
    with here.reading() as book:
        held, kept = gathered(book, number), _kept(book, number)
    return job_of(here, held), kept


def _card(job: Job, check: str) -> CheckCard:
    cards = cards_of(job.unit)
    if check not in cards:
        raise UnknownName(
            what=mark("There is no such check on this unit."), name=check, known=cards
        )
    return cards[check]


def _value(card: CheckCard, typed: str, hz: float) -> tuple[float | str | None, str]:
    """What was typed as an outcome, and why it cannot be used."""
    if not typed:
        return None, ""
    try:
        return value_in(card, typed, hz), ""
    except BadInput as error:
        return None, reason_of(error)


def _say_repaired(book: UnitOfWork, job: Job, kept: ProofRows) -> None:
    """Write down what the page took for repaired, so that a call's file says so too."""
    now = book.proofs.now(job.number)
    if REPAIRED in now and now[REPAIRED].typed.strip():
        return
    for key, typed in implied(job, kept).items():
        book.proofs.take(job.number, key, typed)


def _refused_repair(job: Job, names: list[str]) -> str:
    try:
        repairs_named(ground(job).suspects, names)
    except BadInput as error:
        return reason_of(error)
    return ""


def _leave(
    book: UnitOfWork, job: Job, key: str, typed: str, seen: int | None
) -> EntryResult[records.Reading]:
    """Keep a field, whether or not it can be used."""
    refusal = refusal_of(job.unit, key, typed)
    return book.proofs.take(job.number, key, typed, refusal=refusal, seen=seen)


def _left(here: Visitor, number: int, units: Units, form: dict[str, str]) -> None:
    job, kept = _job(here, number)
    refuse_unknown(form, {*FIELDS, "back", "seen"})
    seen = int(form["seen"]) if form.get("seen", "").isdecimal() else None
    standing = {key: row.typed for key, row in kept.fields.items()}
    said = {key: meant(FIELDS[key], typed, units) for key, typed in form.items() if key in FIELDS}
    changed = {key: typed for key, typed in said.items() if typed != standing.get(key, "")}
    with here.writing() as book:
        if changed:
            _say_repaired(book, job, kept)
        for key, typed in changed.items():
            _leave(book, job, key, typed, seen)


def _stamp(shown: ProofState) -> str:
    """The clock time of the last reading after the repair."""
    rows = [row for row in shown.kept.standing if row.counts and row.value is not None]
    last = max(rows, key=lambda row: row.at, default=None)
    return time_told(last.local) if last else ""


def _view(shown: ProofState, saved: str, asked_in: Units, gauges: list[str]) -> ProofPage:
    job, fields = shown.job, shown.kept.fields
    told = {key: (row.typed, row.refusal) for key, row in fields.items()}
    plate = str(job.unit.nameplate.get("refrigerant", ""))
    now = now_of(shown)
    worth = shown.worth()
    first = worth[0].id if worth else ""
    return ProofPage.model_validate(
        {
            **job.head(mark("Test the repair"), "test"),
            **shown.verdict(),
            "building": job.at.building,
            "trouble": shown.trouble,
            "cooling_trouble": shown.answer.trouble if shown.answer else "",
            "proof": shown.plain(),
            "repaired": shown.repaired(),
            "can_be_repaired": can_be_repaired(job),
            "startup": shown.startup(),
            "now": now,
            "undo": bool(_last(shown.kept)),
            "stamp": _stamp(shown),
            "card": shown.card(now.check or first),
            "worth": worth,
            "readings": shown.readings(),
            "figures": shown.figures(),
            "to_take": shown.to_take(),
            "clashes": shown.clashes(),
            "units": asked_in,
            "groups": groups(told, asked_in, plate),
            "cooling": shown.figures(cooling=True),
            "gauged": any(told.get(key, ("", ""))[0] for key in GAUGES),
            "gauges": gauges,
            "say": shown.say(saved),
        }
    ).about(job.unit)
