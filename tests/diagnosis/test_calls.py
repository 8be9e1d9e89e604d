"""Calls on drawn units worked to the end: the right culprit, few checks, honest probabilities."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from tests.diagnosis import control_circuit as circuit

from rungwise.diagnosis import Belief, next_check, verdict

CALLS = 60


@dataclass(frozen=True)
class Worked:
    """One call at its end."""

    fault: str
    right: str
    belief: Belief


@cache
def worked() -> tuple[Worked, ...]:
    """Units drawn apart from the table's particles, each check chosen by the tool."""
    rng = np.random.default_rng(5)
    calls = []
    for _ in range(CALLS):
        call = circuit.Call.draw(rng)
        belief = circuit.start()
        while (check := next_check(belief).check) is not None:
            belief = belief.observe(check.id, call.read(check.id))
        calls.append(Worked(call.fault, circuit.suspect_card(call.fault).repair, belief))
    return tuple(calls)


def test_the_culprit_is_found() -> None:
    wrong = [call.fault for call in worked() if call.belief.best_repair()[0] != call.right]
    assert len(wrong) <= 0.05 * CALLS, wrong


def test_every_call_comes_to_a_verdict_in_few_checks() -> None:
    assert all(verdict(call.belief).kind == "found" for call in worked())
    assert np.mean([len(call.belief.readings) for call in worked()]) < 5.0


def test_a_good_contactor_is_not_condemned() -> None:
    condemned = [
        call.fault
        for call in worked()
        if call.belief.best_repair()[0] == "new_contactor" and call.right != "new_contactor"
    ]
    assert condemned == []


def test_probabilities_after_a_few_random_checks_are_honest() -> None:
    """What is believed with a probability about p is true in about a share p of calls.

    The mean of p (1 - p) over calls is the variance of the count; four of its roots are allowed.
    """
    rng = np.random.default_rng(8)
    believed, true = [], []
    for _ in range(300):
        call = circuit.Call.draw(rng)
        belief = circuit.start()
        for card in rng.permutation(np.array(circuit.CHECKS, dtype=object))[:3]:
            belief = belief.observe(card.id, call.read(card.id))
        repair, chance = belief.best_repair()
        believed.append(chance)
        true.append(repair == circuit.suspect_card(call.fault).repair)
    spread = np.sqrt(sum(p * (1.0 - p) for p in believed))
    assert abs(sum(true) - sum(believed)) < 4.0 * spread
