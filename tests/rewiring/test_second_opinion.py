"""The second opinion can disagree: a comparison that could not fail would prove nothing."""

from __future__ import annotations

from functools import cache

import numpy as np
from tests.rewiring.cabinet import WIRINGS, unit, yardstick

from rungwise.circuit.condition import STARTING
from rungwise.circuit.ngspice import SpiceResult, run_many
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import spice_netlist
from rungwise.rewiring.wirings import Wiring
from wiring_trial.second_opinion import _differences, _openings, _rotors, _solved, opinions


@cache
def case(name: str) -> tuple[Solution, Solution, SpiceResult, SpiceResult]:
    """A wiring in the first seconds of a call: settled, held, and ngspice on both."""
    wiring: Wiring = WIRINGS.get(name, {})
    settled, held = _solved(unit(), wiring, yardstick().situations[0])
    theirs, theirs_held = run_many([spice_netlist(settled), spice_netlist(held)])
    return settled, held, theirs, theirs_held


def test_it_agrees_with_the_unit_itself() -> None:
    (opinion,) = opinions(unit(), [({}, yardstick().situations[0])])
    assert opinion.wrong == ()
    assert opinion.harmed == frozenset()
    assert yardstick().situations[0].condition == STARTING


def test_volts_of_another_wiring_are_noticed() -> None:
    settled, _, theirs, _ = case("meant")
    assert list(_differences(settled, theirs)) == []
    _, _, others, _ = case("start wire off")
    assert len(list(_differences(settled, others))) > 10


def test_a_breaker_that_should_not_have_opened_is_noticed() -> None:
    settled, _, _, _ = case("both legs on one lug")
    _, sound, _, sound_held = case("meant")
    told = list(_openings(settled, sound, sound_held))
    assert told
    assert "outdoor_breaker" in told[0]
    _, held, _, theirs_held = case("both legs on one lug")
    assert list(_openings(settled, held, theirs_held)) == []


def test_a_rotor_at_a_speed_that_its_amps_do_not_hold_is_noticed() -> None:
    settled, _, theirs, _ = case("meant")
    assert list(_rotors(settled, theirs)) == []
    settled.batch.states[("compressor", "slip")] = np.array([0.3])
    try:
        assert any("compressor" in each for each in _rotors(settled, theirs))
    finally:
        case.cache_clear()
