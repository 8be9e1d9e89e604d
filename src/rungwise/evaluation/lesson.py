"""What a practice call teaches: what each check was worth, and what the score is made up of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis import Belief, CheckCard, PriceList, next_check
from rungwise.evaluation.truth import Truth
from rungwise.evaluation.worked_call import (
    Outcome,
    Take,
    after_the_customer,
    minutes_at,
    work_call,
)
from rungwise.wording import mark

FULL = 100.0
POINTS_A_CHECK = 3.0
POINTS_A_MINUTE = 1.0
POINTS_A_WRONG_PART = 15.0
POINTS_A_LIVE_CHECK = 5.0
POINTS_A_HELP = 5.0
POINTS_NOT_FOUND = 50.0
"""The scale is our own: common practice, no source. Only the score hangs on it, no diagnosis."""

LEAST = 1e-9
"""A probability is never told as less."""


@dataclass(frozen=True, slots=True)
class Done:
    """What an apprentice did. checks: in order, symptoms that were told left out.

    wrong_parts: good parts that were named. helps: how often the advice was asked for.
    found: whether all that is at fault was named in the end.
    """

    checks: tuple[str, ...]
    wrong_parts: int
    helps: int
    found: bool


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A check that the apprentice made, beside the best one at that moment.

    found: a number (inf: OL) or a choice. won_bits: log2 of how much likelier the true repair was
    after it than before; below 0 where the reading misled. hoped_bits: information about the
    repair that it was expected to bring. best: what the tool would have done then, None: stop
    measuring and act. best_bits: likewise expected of that. needless_live: made on live parts
    although `best` was not live.
    """

    card: CheckCard
    found: float | str
    won_bits: float
    hoped_bits: float
    best: CheckCard | None
    best_bits: float
    needless_live: bool


@dataclass(frozen=True, slots=True)
class Points:
    """One line of a score: why, and how many points."""

    why: str
    points: float


@dataclass(frozen=True, slots=True)
class Lesson:
    """A practice call looked back on.

    open_bits: -log2 of the true repair's probability once the symptoms were told. steps: the
    apprentice's checks. tool: the same specimen worked by the tool. minutes: of the apprentice.
    """

    open_bits: float
    steps: tuple[Reviewed, ...]
    tool: Outcome
    minutes: float
    points: tuple[Points, ...]

    @property
    def score(self) -> float:
        """0 to 100."""
        return float(min(max(sum(each.points for each in self.points), 0.0), FULL))

    @property
    def live(self) -> int:
        """How many checks were made on live parts."""
        return sum(on_live_parts(each.card) for each in self.steps)


def on_live_parts(card: CheckCard) -> bool:
    """Whether leads or a clamp come near live parts; a look at a running unit is no such risk."""
    return card.live and bool(card.instrument)


def minutes_of(cards: Iterable[CheckCard]) -> float:
    """Working time of checks made one after the other, changes of condition included."""
    return minutes_at(cards, PriceList(minutes_per_risk=0.0))


def lesson_of(start: Belief, truth: Truth, take: Take, done: Done) -> Lesson:
    """Look back on a call. start: belief before anything is known. take: reads the specimen."""
    told = after_the_customer(start, truth.plan.unit, take)
    steps = tuple(_reviewed(told, truth.suspect.repair, done.checks, take))
    tool = work_call(start, truth, take, "rungwise", 0, start.table.digest)
    minutes = minutes_of(each.card for each in steps)
    points = score_of(done, minutes, sum(each.needless_live for each in steps), tool)
    open_bits = -_log2_of(told, truth.suspect.repair)
    return Lesson(open_bits, steps, tool, minutes, points)


def score_of(done: Done, minutes: float, needless_live: int, tool: Outcome) -> tuple[Points, ...]:
    """The lines that the score is made up of; what cost nothing is left out."""
    checks = max(len(done.checks) - tool.checks, 0)
    more = max(minutes - tool.minutes, 0.0)
    lines = [
        Points(mark("checks more than the tool needed"), -POINTS_A_CHECK * checks),
        Points(mark("minutes more than the tool needed"), -POINTS_A_MINUTE * round(more)),
        Points(mark("wrong parts named"), -POINTS_A_WRONG_PART * done.wrong_parts),
        Points(
            mark("live checks where a dead one was better"), -POINTS_A_LIVE_CHECK * needless_live
        ),
        Points(mark("help asked"), -POINTS_A_HELP * done.helps),
        Points(mark("the fault was not named"), 0.0 if done.found else -POINTS_NOT_FOUND),
    ]
    whole = Points(mark("a call worked as the tool works it"), FULL)
    return (whole, *(it for it in lines if it.points))


def _reviewed(belief: Belief, repair: str, checks: Sequence[str], take: Take) -> Iterable[Reviewed]:
    for check in checks:
        advice, card, found = next_check(belief), belief.table.check(check), take(check)
        hoped = {each.check.id: each.bits for each in advice.candidates}
        before, belief = belief, belief.observe(check, found)
        best = advice.check
        yield Reviewed(
            card=card,
            found=found,
            won_bits=_log2_of(belief, repair) - _log2_of(before, repair),
            hoped_bits=hoped.get(check, 0.0),
            best=best,
            best_bits=hoped[best.id] if best else 0.0,
            needless_live=on_live_parts(card) and not (best and on_live_parts(best)),
        )


def _log2_of(belief: Belief, repair: str) -> float:
    return float(np.log2(max(belief.by_repair().get(repair, 0.0), LEAST)))
