"""The lock-out of a call as a phone takes it along.

Every plan with its cards, as they are drawn with signal, and each reading's rule as numbers: what
a reading says is judged by the very rule that the server judges it by.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from types import SimpleNamespace
from typing import Any

from rungwise import records
from rungwise.circuit import Call
from rungwise.isolation import SCOPES, Step, WorkPlan, scope_touching
from rungwise.services import RESULTS, RUNNING_RULE, elsewhere, running_on
from rungwise.unit import Unit
from rungwise.web.job import Job
from rungwise.web.pages.along.slots import ms_of, slot
from rungwise.web.pages.make_dead.cards import DeadCard, cards_of
from rungwise.web.pages.make_dead.evidence import what_of
from rungwise.web.pages.make_dead.live_picture import live_words
from rungwise.web.pages.make_dead.reading import MEASURED, ReadingRule, rule_of
from rungwise.web.pages.make_dead.rounds import READ, counting
from rungwise.web.pages.make_dead.route import begun, places_of
from rungwise.web.pages.make_dead.stamp import live_since, power_since
from rungwise.web.pages.make_dead.steps import (
    NOT_AFTER,
    NOT_BEFORE,
    StepLine,
    rows_of,
    runs_on,
    step_id,
    step_lines,
)
from rungwise.web.pages.proof.results import cards_of as cards_of_proof
from rungwise.web.results import plan_of
from rungwise.web.templating import Piece
from rungwise.wording import mark, told

TODAY = dt.date.min
"""No row is written on a carried card, so its day is never told."""

UNREAD = mark("cannot be read on this phone")
STANDS = ("verified", "in part", "run out", "power on")


def lockout(piece: Piece, job: Job) -> dict[str, Any]:
    """Plans of every place of work, usual and of a unit that runs on, and when it is which."""
    unit, parts = job.unit, [part.name for part in job.unit.parts]
    plans = {}
    for key, plan in _plans(job):
        plans[key] = plan_carried(piece, job.number, plan, runs=key.endswith(RUNNING))
        plans[key]["live"] = list(_live(piece, job, plan))
    return {
        "plans": plans,
        "scopeOf": {part: scope_touching(unit, part) for part in parts},
        "titles": {part.name: told(part.title) for part in unit.parts},
        "asked": dict(_asked(piece, job)),
        "runningOn": running_suspects(unit),
        "live": [card.id for card in cards_of_proof(unit).values() if card.live],
        "limits": RUNNING_RULE,
        "words": {
            "unread": told(UNREAD),
            "notBefore": told(NOT_BEFORE),
            "notAfter": told(NOT_AFTER),
            "powered": told(power_since(slot("clock"))),
        },
    }


def lockout_state(
    job: Job,
    steps: Sequence[records.Step],
    proofs: Sequence[records.Reading],
    starts: Sequence[records.Step],
) -> dict[str, Any]:
    """What counts of each plan when the call is taken along, by the ids of its steps.

    proofs: readings of the test. starts: ticks of the first start.
    """
    seen = runs_on(steps)
    cards = job.at.by_id | cards_of_proof(job.unit)
    live = live_since([*job.held.standing, *proofs], cards, starts)
    return {
        "runsOn": seen,
        "live": ms_of(live.at) if live else 0.0,
        "begun": begun(steps),
        "plans": {key: list(_standing(plan, steps)) for key, plan in _plans(job)},
    }


RUNNING = " on"
"""Behind the scope of a plan for a unit that runs on with the thermostat off."""


def _plans(job: Job) -> Iterator[tuple[str, WorkPlan]]:
    for scope in SCOPES:
        for runs in ("", RUNNING):
            yield f"{scope}{runs}", plan_of(job, scope, runs_on=bool(runs))


def _live(piece: Piece, job: Job, plan: WorkPlan) -> Iterator[list[str]]:
    """What stays live once so many devices are open: thermostat calling, and off."""
    for count in range(len(plan.devices) + 1):
        opened = [each.device for each in plan.devices[:count]]
        calls: tuple[Call, ...] = ("cool", "off")
        told_of = [_View(number=job.number, live=live_words(job, opened, each)) for each in calls]
        yield [piece("along_dead_live.html", view=each) for each in told_of]


@RESULTS.shelf("suspects that run on").per_unit
def running_suspects(unit: Unit) -> list[str]:
    """Suspects with which an outdoor motor runs without a call."""
    from rungwise.faults import SuspectSet  # noqa: PLC0415  # for this alone

    ids = [each.id for each in SuspectSet(unit)]
    found: list[str] = elsewhere(running_on, unit, ids)
    return found


def plan_carried(
    piece: Piece, number: int, plan: WorkPlan, *, runs: bool = False
) -> dict[str, Any]:
    """One plan: its steps with their rules, its cards, and the stamps it may come to."""
    lines = step_lines(plan, (), (), TODAY)
    cards = cards_of(plan, lines)
    view = _View(number=number, hands=plan.scope, runs_on=runs)
    if plan.refusals:
        refused = [(each.what, each.add) for each in plan.refusals]
        return {"refused": piece("along_dead.html", view=_View(number=number, refused=refused))}
    return {
        "scope": plan.scope,
        "minutes": plan.stands_for_minutes,
        "steps": [_step(plan, step, line) for step, line in zip(plan.steps, lines, strict=True)],
        "cards": [_card(piece, view, plan, each) for each in cards],
        "stamps": {each: _stamp(piece, view, cards, each) for each in STANDS},
    }


UNDO = SimpleNamespace(title=slot("undo"), lines=[SimpleNamespace(id=slot("undone"))])
"""Where the phone names the card that was done last."""


class _View(SimpleNamespace):
    """A page's view, as far as its cards look at it."""

    def __init__(self, **told: Any) -> None:
        nothing = {"refused": [], "asking": False, "stamp": None, "card": None, "undo": None}
        super().__init__(**{**nothing, "version": slot("version"), **told})

    def with_(self, **told: Any) -> _View:
        return _View(**{**vars(self), **told})


def _asked(piece: Piece, job: Job) -> Iterator[tuple[str, str]]:
    """What will you touch: by the scope that is offered first, "" where no part is known."""
    for meant in ("", *SCOPES):
        first = meant or "cabinet"
        places = places_of(job.number, first, slot("part") if meant else "")
        count = len(cards_of(plan := plan_of(job, first), step_lines(plan, (), (), TODAY)))
        view = _View(number=job.number, asking=True, places=places, cards=[None] * count)
        yield meant, piece("along_dead.html", view=view)


def _step(plan: WorkPlan, step: Step, line: StepLine) -> dict[str, Any]:
    found: dict[str, Any] = {"id": line.id, "number": step.number, "kind": step.kind}
    found["again"] = step.kind in READ
    if not step.readings:
        return found
    at_once = line.model_copy(update={"at_once": True})
    return {
        **found,
        "measured": step.kind in MEASURED,
        "rule": _rule(rule_of(plan, step)),
        "all": told(line.all_below),
        "what": told(what_of(line)),
        "whatAtOnce": told(what_of(at_once)),
        "points": list(line.what),
    }


def _rule(rule: ReadingRule) -> dict[str, Any]:
    high = None if math.isinf(rule.high) else rule.high
    return {"low": rule.low, "high": high, "closed": rule.closed, "tau": rule.tau_s}


def _card(piece: Piece, view: _View, plan: WorkPlan, card: DeadCard) -> dict[str, Any]:
    """A card as it is when it is next, and by its step as it is once that one is not so."""
    card.same = slot("same") if card.kind == "prove meter" else ""
    shown = view.with_(card=card, undo=UNDO)
    rules = {step_id(plan.scope, each): rule_of(plan, each) for each in plan.steps if each.readings}
    wrong = {}
    for line in card.lines:
        if line.id in rules:
            said = rules[line.id].otherwise(slot("volts"), slot("seconds"))
            bad = line.model_copy(update={"state": "not so", "said": said})
            lines = [bad if each is line else each for each in card.lines]
            one = card.model_copy(update={"lines": lines, "wrong": bad, "same": ""})
            wrong[line.id] = piece("along_dead.html", view=shown.with_(card=one))
    return {
        "title": told(card.title),
        "lines": [each.id for each in card.lines],
        "next": piece("along_dead.html", view=shown),
        "wrong": wrong,
    }


def _stamp(piece: Piece, view: _View, cards: Sequence[DeadCard], stands: str) -> str:
    stamp = SimpleNamespace(
        stands=stands, at=slot("at"), until=slot("until"), until_s=0.0, taken=slot("taken"),
        asked=slot("asked"), why=slot("why"),
    )  # fmt: skip
    proof = SimpleNamespace(open=[slot("open")])
    return piece(
        "along_dead.html", view=view.with_(stamp=stamp, proof=proof, cards=cards, undo=UNDO)
    )


def _standing(plan: WorkPlan, steps: Sequence[records.Step]) -> Iterator[dict[str, Any]]:
    """Rows that count of a plan, oldest first."""
    ids = {(step.number, step.whole): step_id(plan.scope, step) for step in plan.steps}
    held = counting(plan, rows_of(steps, plan.scope), steps)
    for row in sorted(held, key=lambda each: each.id):
        if (row.number, row.text) in ids:
            yield {
                "id": ids[row.number, row.text],
                "typed": row.typed,
                "volt": row.reading,
                "done": row.done,
                "refused": bool(row.refusal),
                "at": ms_of(row.at),
            }
