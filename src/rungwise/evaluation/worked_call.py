"""One simulated call, worked to a verdict by one way of choosing checks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any, Protocol

from rungwise.diagnosis import (
    LOOKING,
    Advice,
    Belief,
    CheckCard,
    PriceList,
    half_splitting,
    most_likely_first,
    next_check,
    start_looks,
    verdict,
)
from rungwise.evaluation.truth import Truth
from rungwise.faults import repair_steps
from rungwise.unit import Unit

MOST_CHECKS = 40


class Take(Protocol):
    """Makes a check and gives its outcome."""

    def __call__(self, check: str, time: int = 0, /) -> float | str:
        """The outcome of a check that was made `time` times before."""
        ...


Choose = Callable[[Belief, Advice], str | None]
"""The next check's id by some policy, None when it has none left."""


POLICIES: Mapping[str, Choose] = {
    "rungwise": lambda _, advice: None if advice.check is None else advice.check.id,
    "half-splitting": lambda belief, _: half_splitting(belief),
    "most-likely-first": lambda belief, _: most_likely_first(belief),
}
"""All stop by the same rule; they differ only in the check that they choose."""


@dataclass(frozen=True, slots=True)
class Step:
    """One check of a call. found: a number (inf for OL) or a choice. best: likeliest repair then.

    probability: of that repair.
    """

    check: str
    found: float | str
    best: str
    probability: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a call ended, and what it took after the free symptoms.

    truth, truth_kind, severity: the true fault's id, its sort, and its parameters as drawn.
    contactor_at_fault: whether the fault is in the contactor. line_volt: supply, V.
    verdict: "found", "undecided" or "none_of_these". answer: its best repair, "" for none of
    these. minutes: working time with changes of condition. priced_minutes: the same with the
    price of danger. live: how many of the checks were made on live parts. noticed: whether the
    fault, in the degree drawn, is one that somebody would call for. contactors: those of the unit.
    """

    policy: str
    call: int
    arrangement: str
    truth: str
    truth_kind: str
    truth_repair: str
    severity: str
    line_volt: float
    contactor_at_fault: bool
    verdict: str
    answer: str
    answer_suspect: str
    probability: float
    checks: int
    minutes: float
    priced_minutes: float
    live: int
    steps: tuple[Step, ...]
    noticed: bool = True
    contactors: tuple[str, ...] = ()

    @property
    def culprit_first(self) -> bool:
        """Whether the verdict's best repair puts the true fault right."""
        return self.answer == self.truth_repair

    @property
    def contactor_condemned(self) -> bool:
        """Whether a contactor that had nothing would have been replaced."""
        steps = repair_steps(self.answer)
        replaced = {each.block for each in steps if each.act == "replace"}
        return not self.contactor_at_fault and not replaced.isdisjoint(self.contactors)

    def as_json(self) -> dict[str, Any]:
        """Everything as plain data; OL for infinite readings."""
        told = asdict(self)
        del told["contactors"]  # of the unit, not of the call
        for step in told["steps"]:
            step["found"] = "OL" if step["found"] == float("inf") else step["found"]
        scored = {
            "culprit_first": self.culprit_first,
            "contactor_condemned": self.contactor_condemned,
        }
        return told | scored


def work_call(
    start: Belief, truth: Truth, take: Take, policy: str, call: int, arrangement: str
) -> Outcome:
    """Work one call from the free symptoms to the verdict, at most `MOST_CHECKS` checks.

    start: belief before anything is known. take: makes a check on the true unit.
    """
    prices, choose = PriceList(), POLICIES[policy]
    belief = after_the_customer(start, truth.plan.unit, take)
    steps: list[Step] = []
    while len(steps) < MOST_CHECKS:
        advice = next_check(belief, prices)
        check = None if advice.stop else choose(belief, advice)
        if check is None:
            break
        found = take(check, sum(step.check == check for step in steps))
        belief = belief.observe(check, found)
        steps.append(Step(check, found, *belief.best_repair()))
    return _outcome(belief, truth, tuple(steps), policy, call, arrangement)


def free_symptoms(unit: Unit, cards: Iterable[CheckCard]) -> tuple[str, ...]:
    """What the customer tells: what fans, compressors and blowers do, and whether it stops."""
    return tuple(card.id for card in start_looks(unit, cards))


def after_the_customer(belief: Belief, unit: Unit, take: Take) -> Belief:
    """What is believed once the free symptoms are told."""
    for symptom in free_symptoms(unit, belief.table.checks):
        belief = belief.observe(symptom, take(symptom))
    return belief


def _outcome(
    belief: Belief,
    truth: Truth,
    steps: tuple[Step, ...],
    policy: str,
    call: int,
    arrangement: str,
) -> Outcome:
    end = verdict(belief)
    cards = [belief.table.check(step.check) for step in steps]
    dangerless = PriceList(minutes_per_risk=0.0)
    contactors = truth.plan.unit.roles.contactors
    return Outcome(
        policy=policy,
        call=call,
        arrangement=arrangement,
        truth=truth.suspect.id,
        truth_kind=truth.kind,
        truth_repair=truth.suspect.repair,
        severity=truth.severity,
        line_volt=truth.line_volt,
        contactor_at_fault=not truth.faulty_blocks.isdisjoint(contactors),
        verdict=end.kind,
        answer=end.answer.repair if end.answer else "",
        answer_suspect=end.answer.suspect.id if end.answer else "",
        probability=end.probability,
        checks=len(steps),
        minutes=minutes_at(cards, dangerless),
        priced_minutes=minutes_at(cards, PriceList()),
        live=sum(card.live for card in cards),
        steps=steps,
        contactors=contactors,
    )


def minutes_at(cards: Iterable[CheckCard], prices: PriceList) -> float:
    """What checks cost one after the other; symptoms cost nothing, and looks set no condition."""
    minutes, last = 0.0, None
    for card in cards:
        minutes += prices.price(card, last)
        last = card if card.condition != LOOKING else last
    return minutes
