"""One call in the other world, worked as the program itself would work it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from rungwise.diagnosis import (
    Belief,
    Check,
    PriceList,
    SuspectCard,
    is_stop,
    next_check,
    verdict,
)
from rungwise.evaluation.asking import ask_of, blocks_touched
from rungwise.evaluation.result_file import plain
from rungwise.evaluation.worked_call import free_symptoms
from rungwise.faults import HEALTHY, repair_steps
from rungwise.other_world import Case, OtherTechnician
from rungwise.unit import Unit

MOST_CHECKS = 25

UNDECIDED = ("undecided",)
"""Kinds of verdict that claim nothing."""


@dataclass(frozen=True, slots=True)
class OtherStep:
    """One check. found: number (inf for OL), choice, or None where it could not be taken."""

    check: str
    found: float | str | None
    best: str
    probability: float


Tell = Callable[[str], None]


@dataclass(slots=True)
class _Working:
    """A call on its way: what is believed, what was taken, what cannot be taken."""

    unit: Unit
    checks: Mapping[str, Check]
    technician: OtherTechnician
    belief: Belief
    steps: list[OtherStep]
    allowed: set[str]

    def take(self, name: str, *, told: bool = False) -> None:
        """Make one check and believe what it says."""
        ask = ask_of(self.unit, self.checks[name])
        found = None if ask is None else self.technician.take(name, ask, told=told)
        if found is None:
            self.allowed.discard(name)
        else:
            self.belief = self.belief.observe(name, found)
        if not told:
            best, probability = self.belief.best_repair()
            self.steps.append(OtherStep(name, found, best, float(probability)))

    def finish(self) -> bool:
        """Go on until the program says stop. False when it has not within the most checks."""
        prices = PriceList()
        while len(self.steps) < MOST_CHECKS:
            advice = next_check(self.belief, prices, allowed=self.allowed)
            if advice.stop or advice.check is None:
                return True
            self.take(advice.check.id)
        return False


def work_other_call(
    unit: Unit, checks: Mapping[str, Check], start: Belief, case: Case, seed: int
) -> dict[str, Any]:
    """Work a call to its verdict and say how it ended, as plain data for a line of results."""
    working = _Working(unit, checks, OtherTechnician(case.visit, seed), start, [], set())
    working.allowed = {
        card.id
        for card in start.table.checks
        if card.id in checks and ask_of(unit, checks[card.id]) is not None
    }
    for symptom in _told_by_customer(unit, case, checks):
        if symptom in working.allowed:
            working.take(symptom, told=True)
    stopped = working.finish()
    return {**_told(case), **_ended(working, case, stopped=stopped)}


HEATING_LOOKS = ("turns_on_heat", "warm_air")


def _told_by_customer(unit: Unit, case: Case, checks: Mapping[str, Check]) -> tuple[str, ...]:
    """What the customer tells of the season's call, and what never stops."""
    cards = {name: check.card for name, check in checks.items()}
    told = free_symptoms(unit, cards.values())
    if case.visit.house.season == "heat":
        told = tuple(name for name, card in cards.items() if card.thing in HEATING_LOOKS)
        runs_on = "keeps running" in case.truth.symptoms
        told += tuple(name for name, card in cards.items() if runs_on and is_stop(unit, card))
    stays = [n for n, card in cards.items() if card.thing == "idle" and not is_stop(unit, card)]
    return (*told, *stays) if "blower keeps running" in case.truth.symptoms else told


def _told(case: Case) -> dict[str, Any]:
    truth = case.truth
    return {
        "class": truth.kind,
        "truth": truth.name,
        "right": sorted(truth.right),
        "faulty": sorted(truth.faulty),
        "opened": sorted(truth.opened),
        "symptoms": sorted(truth.symptoms),
        "said": sorted(truth.said),
        "redrawn": truth.redrawn,
        "season": case.visit.house.season,
    }


def _ended(working: _Working, case: Case, *, stopped: bool) -> dict[str, Any]:
    end = verdict(working.belief, allowed=working.allowed)
    suspect = end.answer.suspect if end.answer else None
    repair = end.answer.repair if end.answer else ""
    return {
        "verdict": end.kind,
        "answer": repair,
        "suspect": suspect.id if suspect else "",
        "known": bool(suspect is None or suspect.known),
        "probability": round(float(end.probability), 5),
        "none_of_these": round(float(working.belief.none_of_these), 5),
        "claimed": end.kind not in UNDECIDED,
        "right_first": _is_right(case, repair),
        "nothing_first": _says_nothing(end.kind, suspect),
        "behind_asked": _behind_asked(working, case),
        "direct": suspect is not None and _read_directly(working, suspect),
        "stopped": stopped,
        "checks": len(working.steps),
        "live": sum(working.belief.table.check(step.check).live for step in working.steps),
        "steps": [
            [s.check, plain(s.found), s.best, round(s.probability, 4)] for s in working.steps
        ],
    }


def _is_right(case: Case, repair: str) -> bool:
    """Whether what is to be done touches only what is wrong; of a pair, each half must."""
    if not repair:
        return False
    works, truth = repair_steps(repair), case.truth
    right = [truth.is_right(work.block, work.act) for work in works]
    allowed = [it or work.block in truth.faulty for it, work in zip(right, works, strict=True)]
    return all(allowed) and any(right)


def _says_nothing(kind: str, suspect: SuspectCard | None) -> bool:
    """Whether the verdict is that nothing is wrong in the circuit now."""
    return kind == "nothing_wrong_now" or (suspect is not None and suspect.id == HEALTHY)


def _read_directly(working: _Working, suspect: SuspectCard) -> bool:
    """Whether a reading that shows such a fault was taken on the accused part or wire itself."""
    return any(
        suspect.part in blocks_touched(working.unit, working.checks[step.check])
        and (not suspect.shown_by or working.checks[step.check].card.quantity in suspect.shown_by)
        for step in working.steps
        if step.found is not None
    )


def _behind_asked(working: _Working, case: Case) -> bool:
    """Whether a check on what stands behind was made: on a right block, or its look."""
    right = {work.block for kept in case.truth.right for work in repair_steps(kept)}
    for step in working.steps:
        check = working.checks[step.check]
        if check.card.thing in case.truth.causes or blocks_touched(working.unit, check) & right:
            return True
    return False
