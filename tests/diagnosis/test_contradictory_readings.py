"""Readings that contradict each other are answered all the same: who took them needs the advice."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.tables import solved
from tests.wide import WIDE

from rungwise.diagnosis import Belief, CheckCard, FaultTable, next_check, verdict
from rungwise.diagnosis.value_of_information import Outlook
from rungwise.unit.unit_file import arrangement

NUMBERS = (0.0, 0.4, 13.0, 27.0, 118.0, 240.0, math.inf)
"""Plausible each for itself, in whatever unit the check has."""


@pytest.fixture(scope="module")
def table() -> FaultTable:
    return solved(arrangement("two_pole_plain"), particles=2)


def at_random(card: CheckCard, luck: np.random.Generator) -> float | str:
    """An outcome that the check can have, whatever the unit may be."""
    return str(luck.choice(card.choices)) if card.choices else float(luck.choice(NUMBERS))


@pytest.mark.parametrize("seed", range(12 if WIDE else 5))
def test_advice_and_verdict_come_whatever_was_read(table: FaultTable, seed: int) -> None:
    luck = np.random.default_rng(seed)
    belief = Belief.start(table)
    taken: set[str] = set()
    for at in luck.choice(len(table.checks), size=14, replace=False):
        card = table.checks[at]
        belief = belief.observe(card.id, at_random(card, luck))
        taken.add(card.id)
        told, advice = verdict(belief), next_check(belief)
        assert 0.0 <= told.probability <= 1.0
        assert advice.check is None or advice.check.id in {card.id for card in table.checks}
        assert math.isfinite(float(Outlook.of(belief).entropy_bits[0]))
        assert all(math.isfinite(each.bits) for each in advice.candidates)


def test_what_fits_nothing_known_is_told_as_such(table: FaultTable) -> None:
    """Every second number is absurd: no fault explains them, and no part is condemned."""
    belief = Belief.start(table)
    numbers = [card for card in table.checks if card.form == "number" and card.unit == "V"]
    for at, card in enumerate(numbers[:8]):
        belief = belief.observe(card.id, 61.3 if at % 2 else 173.9)
    told = verdict(belief)
    assert told.answer is None or told.kind != "found" or told.doubtful


def test_two_looks_that_deny_each_other_say_nothing_and_a_third_decides(table: FaultTable) -> None:
    """An eye slips as often the first time as the second (two takes of one likelihood)."""
    plain = Belief.start(table).observe("look-fan", "not turning")
    seen = plain.observe("look-thermostat-setting", "calls")
    denied = seen.observe("look-thermostat-setting", "does not call")
    assert denied.by_suspect() == pytest.approx(plain.by_suspect())
    third = denied.observe("look-thermostat-setting", "does not call")
    once = plain.observe("look-thermostat-setting", "does not call")
    assert third.by_suspect() == pytest.approx(once.by_suspect())


def test_a_look_taken_twice_is_not_undone_by_one_that_denies_it(table: FaultTable) -> None:
    first = Belief.start(table).observe("look-thermostat-setting", "calls")
    twice = first.observe("look-thermostat-setting", "calls")
    denied = twice.observe("look-thermostat-setting", "does not call")
    assert denied.by_suspect() == pytest.approx(first.by_suspect())
