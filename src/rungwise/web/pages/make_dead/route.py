"""Making the unit dead: the steps to tick, what each reading says, and what is still live."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal, NamedTuple

from fastapi import APIRouter, Form, Query, Response
from pydantic import Field

from rungwise import records
from rungwise.circuit import Call
from rungwise.diagnosis import sentence
from rungwise.errors import BadInput, BadRecord
from rungwise.isolation import SCOPES, Step, WorkPlan, list_words, scope_touching
from rungwise.quantity import parse_reading
from rungwise.records import UnitOfWork
from rungwise.services import IsolationResult
from rungwise.web.answer_parsing import typed_of
from rungwise.web.context import gathered
from rungwise.web.deps import Here
from rungwise.web.forms import goto
from rungwise.web.job import Job, JobView, job_of
from rungwise.web.pages.call.view import Drawing
from rungwise.web.pages.make_dead.cards import DeadCard, cards_of, last_done, now_of
from rungwise.web.pages.make_dead.evidence import DeadProof, proof_of
from rungwise.web.pages.make_dead.live_picture import LiveLine, live_words, svg_when_open
from rungwise.web.pages.make_dead.reading import all_below, asks_volts
from rungwise.web.pages.make_dead.rounds import counting, power_came_on, read_again, run_out
from rungwise.web.pages.make_dead.stamp import PowerStamp, live_since, stamp_of
from rungwise.web.pages.make_dead.steps import (
    RUNS_ON,
    StepLine,
    opened_by,
    rows_of,
    runs_on,
    scope_of,
    step_id,
    step_lines,
)
from rungwise.web.pages.proof.assembly import START_UP
from rungwise.web.pages.proof.results import cards_of as cards_of_proof
from rungwise.web.reasons import reason_of
from rungwise.web.results import isolation, isolation_json, plan_of
from rungwise.web.schemas import CautionLine, page
from rungwise.web.shown import Heard, Shown
from rungwise.web.timers import timer_key
from rungwise.web.undo import told_back
from rungwise.web.unit_pictures import Kind
from rungwise.wording import joined, mark, say

router = APIRouter()

SHORT = {
    "cabinet": mark("Outdoor unit"),
    "disconnect": mark("Disconnect and outdoor unit"),
    "indoor": mark("Indoor unit"),
    "everything": mark("All of it"),
}
"""Scopes as their keys say them."""

WHAT = {
    "cabinet": mark("contactor, capacitors, motors, anything inside the outdoor cabinet"),
    "disconnect": mark("the disconnect itself or the wires that come to it"),
    "indoor": mark("blower, board, transformer, safety switches indoors"),
    "everything": mark("both units, the disconnect, the thermostat wires"),
}
"""What one touches within each scope."""

ALL = "all below"
"""The quick answer to a card whose readings must all be dead: each was read, and is."""

Hands = Annotated[str, Query(max_length=40)]
Way = tuple[str, str, bool]


class Place(Shown):
    """A place of work to choose. touches: the part that the call is about, where it lies there."""

    path: str
    name: str
    what: str
    touches: str


class MakeDead(JobView):
    """How the unit is made dead, how far that is, and what the readings say of it."""

    hands: str = Field(description="where the hands go: a scope of the plan")
    asking: bool = Field(description="nobody has said yet where the hands go")
    places: list[Place] = Field(description="where they may go, the likeliest first")
    scopes: list[Way]
    runs_on: bool = Field(description="somebody saw it run on with the thermostat off")
    refused: list[tuple[str, str]] = Field(description="why there is no plan, and what to add")
    isolation: IsolationResult = Field(description="as `rungwise isolate --json` prints it")
    waiting: bool = Field(description="whether the call's faults are still being solved")
    cautions: list[CautionLine]
    begun: bool = Field(description="whether anything was ticked")
    steps: list[StepLine]
    cards: list[DeadCard] = Field(description="the steps as one tap answers them")
    card: DeadCard | None = Field(description="the card that is next")
    undo: DeadCard | None = Field(description="the card that was done last")
    now: StepLine | None
    stamp: PowerStamp | None
    proof: DeadProof
    opened: list[str] = Field(description="titles of the devices that are open at this stage")
    stages: list[Way]
    live: list[LiveLine] = Field(description="points over 50 V at this stage, by place")
    earlier: list[str] = Field(description="ticked on an earlier plan of this unit")
    drawing: Drawing
    pictured: bool = Field(description="whether somebody asked for the picture")
    say: Heard | None


@page(router, "/calls/{number}/dead", "make_dead.html")
def make_dead(
    number: int,
    here: Here,
    hands: Hands = "",
    stage: Annotated[int | None, Query(ge=0, le=20)] = None,
    saved: Annotated[str, Query(max_length=80)] = "",
    picture: Literal["", Kind] = "",
) -> MakeDead:
    """How to make a place of work dead: steps, what stays live, readings, and what was read.

    hands: cabinet, disconnect, indoor or everything; "": where they are already, else where the
    part lies that the call is about. stage: how many devices are open, to look ahead.
    """
    with here.reading() as book:
        held = gathered(book, number)
        kept = _kept(book, number)
        back = told_back(book, number)
    job = job_of(here, held)
    scope = hands or begun(kept.steps) or _meant(job)
    found = isolation(job, scope, runs_on=runs_on(kept.steps)).plan
    rows = counting(found, rows_of(kept.steps, scope), kept.steps)
    lines = step_lines(found, rows, rows_of(kept.beside, scope), held.today)
    asking = not hands and not begun(kept.steps) and not found.refusals
    shown = _Query(scope, stage, saved, picture, runs_on=runs_on(kept.steps), asking=asking)
    view = _view(job, found, rows, lines, shown)
    live = live_since(
        [*held.standing, *kept.proofs], job.at.by_id | cards_of_proof(job.unit), kept.starts
    )
    view.last_entry = back
    if view.card and view.card.kind == "discharge" and found.charges:
        longest_s = max(each.bleed.to_empty_s for each in found.charges)
        view.timers = [timer_key(number, "discharge", longest_s, f"/calls/{number}/dead")]
    view.stamp = stamp_of(found, lines, rows, view.proof, here.house.store.now(), live)
    return view


@router.post("/calls/{number}/dead", include_in_schema=False)
def keep_step(  # noqa: PLR0913  # the fields of the form
    number: int,
    here: Here,
    *,
    check: Annotated[list[str], Form(max_length=40)],
    typed: Annotated[str, Form(max_length=200)] = "",
    unit: Annotated[str, Form(max_length=8)] = "",
    quick: Annotated[str, Form(max_length=40)] = "",
    done: Annotated[Literal["true", "false"], Form()] = "true",
    seen: Annotated[int | None, Form()] = None,
) -> Response:
    """Keep the steps of a card as done, taken back or read, whether or not it can be used."""
    scope = scope_of(check[0])
    with here.reading() as book:
        held = gathered(book, number)
        steps = book.steps.standing(number)
    plan = _told_of(job_of(here, held), scope, check, runs_on=runs_on(steps))
    old = run_out(plan, rows_of(steps, scope), steps)
    told = [told_of(_step(plan, each), typed_of(typed, unit, quick), done) for each in check]
    undone = [each.step for each in told if done == "false"]
    with here.writing() as book:
        _open_again(book, number, plan, undone)
        for each in told:
            if (each.step.number, each.step.whole) in old:
                book.steps.tick(number, scope, each.step.number, each.step.whole, done=False)
            book.steps.tick(
                number, scope, each.step.number, each.step.whole, done=each.done,
                typed=each.typed, reading=each.volt, unit="V" if each.volt is not None else "",
                refusal=each.refusal, seen=seen,
            )  # fmt: skip
    refused = next((each for each in told if each.refusal), None)
    after = f"step-{refused.step.number}" if refused else "now"
    return goto(f"/calls/{number}/dead?hands={scope}&saved={check[-1]}#{after}")


def after_of(plan: WorkPlan, undone: Sequence[Step]) -> set[tuple[int, str]]:
    """Number and text of all steps of a plan that come after these."""
    first = min(step.number for step in undone)
    return {(step.number, step.whole) for step in plan.steps if step.number > first}


def _open_again(book: UnitOfWork, number: int, plan: WorkPlan, undone: Sequence[Step]) -> None:
    """Take back what rests on steps that are taken back: all that comes after them in the plan.

    A reading was taken with the device open and the lock on that no longer stand.
    """
    if not undone:
        return
    titles = " · ".join(dict.fromkeys(step.text for step in undone))
    book.undo.note("call", number, titles)
    after = after_of(plan, undone)
    for row in book.steps.now(number, plan.scope):
        if (row.number, row.text) in after and (row.done or row.typed):
            book.steps.tick(number, plan.scope, row.number, row.text, done=False)


class _Told(NamedTuple):
    """What was said of one step."""

    step: Step
    typed: str
    volt: float | None
    refusal: str
    done: bool


def told_of(step: Step, said: str, done: str) -> _Told:
    """What was said of a step. done: "true" or "false", as the form sends it."""
    if not asks_volts(step):
        return _Told(step, "", None, "", done=done == "true")
    if said == ALL and all_below(step):
        return _Told(step, str(all_below(step)), None, "", done=True)
    volt, refusal = _volt(said, direct=any(each.current == "DC" for each in step.readings))
    return _Told(step, said, volt, refusal, done=done == "true" and volt is not None)


@router.post("/calls/{number}/dead/runs-on", include_in_schema=False)
def keep_running(
    number: int,
    here: Here,
    hands: Annotated[str, Form(max_length=40)] = "cabinet",
    seen: Annotated[Literal["true", "false"], Form()] = "true",
) -> Response:
    """Keep that the unit runs on with the thermostat off, or that it stops after all."""
    with here.writing() as book:
        book.steps.tick(number, RUNS_ON, 0, RUNS_ON, done=seen == "true")
    return goto(f"/calls/{number}/dead?hands={hands}#now")


@router.post("/calls/{number}/dead/power-on", include_in_schema=False)
def keep_power_on(
    number: int, here: Here, hands: Annotated[str, Form(max_length=40)] = "cabinet"
) -> Response:
    """Keep that the power is on again: everything ticked before counts no more."""
    with here.writing() as book:
        power_came_on(book, number)
    return goto(f"/calls/{number}/dead?hands={hands}#now")


@router.post("/calls/{number}/dead/again", include_in_schema=False)
def keep_again(
    number: int, here: Here, hands: Annotated[str, Form(max_length=40)] = "cabinet"
) -> Response:
    """Keep that the readings begin anew, with the locks still on."""
    with here.writing() as book:
        read_again(book, number, hands)
    return goto(f"/calls/{number}/dead?hands={hands}#now")


@router.post("/calls/{number}/dead/choose", include_in_schema=False)
def choose_step(
    number: int, here: Here, row: Annotated[int, Form()], other: Annotated[int, Form()]
) -> Response:
    """Of two answers at one step let `row` stand and not `other`.

    Raises BadRecord for two that do not belong to this call.
    """
    with here.writing() as book:
        chosen, left = book.steps.get(row), book.steps.get(other)
        if {chosen.call_id, left.call_id} != {number}:
            raise BadRecord(what=mark("These two do not belong to this call."), value=str(row))
        book.steps.stand(row if chosen.beside else other)
        if not left.beside:  # it was the other that stood aside: write the chosen one anew
            _again(book, chosen)
        scope = chosen.zone_of_work
    return goto(f"/calls/{number}/dead?hands={scope}#now")


def _again(book: UnitOfWork, row: records.Step) -> None:
    book.steps.tick(
        row.call_id, row.zone_of_work, row.number, row.text, done=row.done, typed=row.typed,
        reading=row.reading, unit=row.unit, refusal=row.refusal,
    )  # fmt: skip


def _told_of(job: Job, scope: str, checks: Sequence[str], *, runs_on: bool) -> WorkPlan:
    """The plan that these steps are of: the one that holds now, else the other one of its scope.

    What was read along a plan was read, also where readings of before, sent late, have changed it.
    """
    now = isolation(job, scope, runs_on=runs_on).plan
    others = (plan_of(job, scope, runs_on=each) for each in (False, True))
    known = ((plan, {step_id(scope, step) for step in plan.steps}) for plan in (now, *others))
    return next((plan for plan, ids in known if ids.issuperset(checks)), now)


def _step(plan: WorkPlan, check: str) -> Step:
    """The step of an id. Raises BadRecord where the plan has no such step any more."""
    found = next((step for step in plan.steps if step_id(plan.scope, step) == check), None)
    if found is None:
        raise BadRecord(
            what=mark("The plan has changed since this page was made; nothing was ticked."),
            value=check,
            next_step=mark(
                "look at the page again: the unit, or the fault that was found, is another"
            ),
        )
    return found


def _volt(typed: str, *, direct: bool) -> tuple[float | None, str]:
    """The volts that were typed, and why they cannot be read; both empty for none taken."""
    if not typed:
        return None, ""
    try:
        return parse_reading(typed, "V", direct=direct), ""
    except BadInput as error:
        return None, reason_of(error)


class _Kept(NamedTuple):
    """The rows that this page is made of."""

    steps: list[records.Step]
    beside: list[records.Step]
    proofs: list[records.Reading]
    starts: list[records.Step]


def _kept(book: UnitOfWork, number: int) -> _Kept:
    return _Kept(
        book.steps.standing(number),
        book.steps.beside(number),
        book.proofs.standing(number),
        book.steps.now(number, START_UP),
    )


def begun(steps: Sequence[records.Step]) -> str:
    """The scope that was worked on last, "" before the first step."""
    known = [row for row in steps if row.zone_of_work in SCOPES]
    return max(known, key=lambda row: row.id).zone_of_work if known else ""


def _meant(job: Job) -> str:
    """The smallest place of work that holds the part the call is about."""
    return scope_touching(job.unit, job.part) if job.part else "cabinet"


def _touched(job: Job) -> str:
    return job.unit.part(job.part).title if job.part else ""


def places_of(number: int, meant: str, touches: str) -> list[Place]:
    """Where the hands may go, `meant` first. touches: what it holds that the call is about."""
    return [
        Place(
            path=f"/calls/{number}/dead?hands={scope}#now",
            name=SHORT[scope],
            what=WHAT[scope],
            touches=touches if scope == meant else "",
        )
        for scope in sorted(SCOPES, key=lambda each: each != meant)
    ]


class _Query(NamedTuple):
    """What the address asks to see."""

    hands: str
    stage: int | None
    saved: str
    picture: Literal["", Kind]
    runs_on: bool
    asking: bool


def _view(
    job: Job, plan: WorkPlan, rows: list[records.Step], lines: list[StepLine], shown: _Query
) -> MakeDead:
    scope, cards = shown.hands, cards_of(plan, lines)
    card = now_of(cards)
    now = (
        next((each for each in card.lines if each.state in ("next", "not so")), None)
        if card
        else None
    )
    opened = _opened(plan, rows, shown.stage)
    call: Call = "off" if shown.stage is not None or _thermostat_off(lines) else "cool"
    path = f"/calls/{job.number}/dead?hands={scope}"
    names = [device.title for device in plan.devices if device.device in opened]
    leads = (now.red, now.black) if now and shown.stage is None else ("", "")
    view = MakeDead.model_validate(
        {
            **job.head(mark("Lock out"), "power"),
            "hands": scope,
            "asking": shown.asking,
            "places": places_of(job.number, _meant(job), _touched(job)),
            "scopes": [
                (f"/calls/{job.number}/dead?hands={key}", SHORT[key], key == scope)
                for key in SCOPES
            ],
            "runs_on": shown.runs_on,
            "refused": [(each.what, each.add) for each in plan.refusals],
            "isolation": isolation_json(job, scope, runs_on=shown.runs_on),
            "waiting": job.answer is None,
            "cautions": list(plan.cautions),
            "begun": bool(rows),
            "steps": lines,
            "cards": cards,
            "card": card,
            "undo": last_done(cards),
            "now": now,
            "stamp": None,
            "proof": proof_of(lines),
            "opened": names,
            "stages": _stages(plan, path, shown.stage),
            "live": live_words(job, opened, call),
            "earlier": _earlier(plan, rows),
            "drawing": _drawing(path, shown, names, call),
            "pictured": shown.stage is not None or bool(shown.picture),
            "say": _say(lines, shown.saved, card),
        }
    )
    view.about(job.unit).draw(
        "picture", lambda: svg_when_open(job, shown.picture or "ladder", opened, call, leads)
    )
    return view


def _thermostat_off(lines: list[StepLine]) -> bool:
    return any(each.kind == "stop" and each.state == "done" for each in lines)


def _opened(plan: WorkPlan, rows: list[records.Step], stage: int | None) -> list[str]:
    """The devices that were ticked open, or the first `stage` of the order."""
    return (
        opened_by(plan, rows) if stage is None else [each.device for each in plan.devices[:stage]]
    )


def _stages(plan: WorkPlan, path: str, stage: int | None) -> list[Way]:
    """The stages that one can look at: as ticked, nothing open, then one device after another."""
    found: list[Way] = [(path, mark("As ticked"), stage is None)]
    found.append((f"{path}&stage=0#picture", mark("Nothing open"), stage == 0))
    for at, device in enumerate(plan.devices, start=1):
        found.append(
            (f"{path}&stage={at}#picture", joined(". ", (str(at), device.title)), stage == at)
        )
    return found


def _earlier(plan: WorkPlan, rows: list[records.Step]) -> list[str]:
    known = {(step.number, step.whole) for step in plan.steps}
    return [row.text for row in rows if row.done and (row.number, row.text) not in known]


def _drawing(path: str, shown: _Query, opened: list[str], call: Call) -> Drawing:
    stage = "" if shown.stage is None else f"&stage={shown.stage}"
    names: tuple[tuple[Kind, str], ...] = (
        ("ladder", mark("Ladder")),
        ("panel", mark("In the cabinet")),
    )
    thermostat = mark("thermostat off") if call == "off" else mark("thermostat calling")
    what = (
        say("{devices} open", devices=list_words(opened, "and")) if opened else mark("nothing open")
    )
    return Drawing(
        kind=shown.picture or "ladder",
        caption=say(
            "Live by the solved circuit with {what}, {thermostat}. A meter decides, not this.",
            what=what,
            thermostat=thermostat,
        ),
        ways=[
            (f"{path}{stage}&picture={each}#picture", name, each == (shown.picture or "ladder"))
            for each, name in names
        ],
    )


def _say(lines: list[StepLine], saved: str, card: DeadCard | None) -> Heard | None:
    line = next((each for each in lines if each.id == saved), None)
    if line is None:
        return None
    told = line.wrong or line.said or say("Saved: step {number}.", number=line.number)
    goes_on = card if line.state == "done" else None
    then = say("Next: {check}", check=sentence(goes_on.title)) if goes_on else ""
    return Heard(text=told, then=then, good=not line.wrong and not line.said)
