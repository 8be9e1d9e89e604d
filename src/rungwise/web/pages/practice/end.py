"""The end of a practice call: the fault revealed, the score, and each check looked back on."""

from __future__ import annotations

import hashlib

from rungwise.diagnosis import Belief, CheckCard
from rungwise.errors import BadRecord
from rungwise.evaluation import Done, Lesson, Reviewed, Truth, lesson_of, on_live_parts
from rungwise.quantity import quantity_told
from rungwise.services import RESULTS, DiagnosisService
from rungwise.unit import unit_of_parameter
from rungwise.web.pages.practice.assembly import line_of, named_of, shown, tally_of, titles_of
from rungwise.web.pages.practice.context import PracticeContext
from rungwise.web.pages.practice.view import (
    OwnWay,
    PointLine,
    PracticeScore,
    PracticeStep,
    ToolStep,
    ToolWay,
)
from rungwise.wording import mark, say

_lessons = RESULTS.shelf("lessons of practice")


def lesson(desk: DiagnosisService, call: PracticeContext, *, found: bool) -> Lesson:
    """The call looked back on; worked out once, in a second or two."""
    wrong = len(list(call.wrong()))
    text = hashlib.sha256(call.held.unit_text.encode()).hexdigest()
    practice = call.practice
    done = Done(call.made, wrong, len(call.helps), found)

    def make() -> Lesson:
        start = Belief.start(desk.model(call.unit))
        return lesson_of(start, call.hidden.truth, call.hidden.take, done)

    return _lessons.get((text, practice.fault, practice.seed, done), make)


def score_view(desk: DiagnosisService, call: PracticeContext) -> PracticeScore:
    """The page at the end. Raises BadRecord while the fault is hidden still."""
    practice = call.practice
    if practice.score is None:
        raise BadRecord(
            what=mark("This practice call has not ended; what it hides is not told yet."),
            value=str(call.number),
            next_step=mark("go back to it and name the part, or give it up"),
        )
    told = lesson(desk, call, found=bool(practice.right))
    truth, titles = call.hidden.truth, titles_of(call.unit)
    needless = sum(each.needless_live for each in told.steps)
    return PracticeScore(
        title=say("Practice, the end: {unit_title}", unit_title=call.unit_title),
        number=call.number,
        line=line_of(call),
        score=practice.score,
        found=bool(practice.right),
        points=[PointLine(why=each.why, points=each.points) for each in told.points],
        recounted=told.score,
        fault=truth.suspect.title,
        to_do=str(truth.suspect.to_do),
        behind=truth.suspect.behind,
        severity=_severity(truth),
        followed=sorted(titles[each] for each in call.hidden.followed()),
        open_bits=told.open_bits,
        own=OwnWay(**tally_of(call).model_dump(), needless_live=needless),
        steps=[_step(each) for each in told.steps],
        tool=_tool(desk, call, told),
        named=named_of(call),
    ).about(call.unit)


def _step(each: Reviewed) -> PracticeStep:
    best = each.best
    return PracticeStep(
        title=each.card.title,
        text=shown(each.card, each.found),
        won_bits=each.won_bits,
        hoped_bits=each.hoped_bits,
        best=best.title if best else "",
        best_bits=each.best_bits,
        was_best=best is not None and best.id == each.card.id,
        needless_live=each.needless_live,
    )


def _tool(desk: DiagnosisService, call: PracticeContext, told: Lesson) -> ToolWay:
    table = desk.table(call.unit)
    cards: dict[str, CheckCard] = {card.id: card for card in table.checks}
    titles = {each.id: each.title for each in table.suspects}
    tool = told.tool
    return ToolWay(
        checks=tool.checks,
        minutes=tool.minutes,
        live=sum(on_live_parts(cards[each.check]) for each in tool.steps),
        answer=titles.get(tool.answer_suspect, mark("none of these")),
        probability=tool.probability,
        steps=[
            ToolStep(title=cards[each.check].title, text=shown(cards[each.check], each.found))
            for each in tool.steps
        ],
    )


def _severity(truth: Truth) -> list[str]:
    """How bad it was: each number that the fault changed, where it is one that can be measured."""
    found = []
    for edit in truth.suspect.edits:
        block, name = edit.key
        known = {each.name: each for each in truth.plan.blocks[block].kind.parameters}
        parameter = known.get(name)
        if parameter is not None and not parameter.hidden and unit_of_parameter(parameter):
            bad, good = float(truth.values[edit.key][0]), float(truth.plan.defaults[edit.key])
            now, meant = (quantity_told(each, parameter.unit) for each in (bad, good))
            found.append(
                say(
                    "{it}: {now} instead of {meant}",
                    it=parameter.actual or parameter.what,
                    now=now,
                    meant=meant,
                )
            )
    return found
