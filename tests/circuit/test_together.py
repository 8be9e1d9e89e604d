"""Conditions solved as one batch give what each gives alone."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STANDBY, STARTING
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.situations import situations_of
from rungwise.circuit.solve_many import Asked, solve_together
from rungwise.circuit.states_of_loads import load_states, states_of
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

VALUES = {
    ("contactor", "coil_ohm"): np.array([11.0, 14.0, 17.0]),
    ("compressor", "seized"): np.array([0.0, 1.0, 0.0]),
    ("capacitor", "fan_open"): np.array([0.0, 0.0, 1.0]),
}
LIFTED = CALLING.without_leads(frozenset({("y_coil", "end")}))
ASKED = (
    Asked(CALLING, {}),
    Asked(STARTING, {("service", "leg_volt"): np.asarray(101.0)}),
    Asked(STANDBY.opened("disconnect"), {}),
    Asked(LIFTED, {}),
    Asked(CALLING, {("capacitor", "fan_open"): np.asarray(0.0)}),
)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_each_condition_is_solved_as_it_is_alone(name: str) -> None:
    """States, chatter and volts; a condition's own values go before those of the variants."""
    plan = Plan(arrangement(name))
    for one, together in zip(ASKED, solve_together(plan, ASKED, VALUES, 3), strict=True):
        alone = solve(plan, one.condition, {**VALUES, **one.values}, 3)
        assert np.allclose(together.volts, alone.volts, rtol=0, atol=1e-7)
        assert together.condition == one.condition
        for key in plan.states:
            assert np.allclose(together.state(key), alone.state(key), atol=1e-9), key
        for key in {*alone.chatter, *together.chatter}:
            nothing = np.zeros(3, bool)
            ours, theirs = (each.chatter.get(key, nothing) for each in (together, alone))
            assert np.array_equal(ours, theirs), key


def test_load_states_of_all_situations_are_those_of_each() -> None:
    unit = arrangement("hard_start_delay")
    plan, situations = Plan(unit), situations_of(unit)
    at_once = load_states(plan, situations, VALUES, 3)
    solved = [solve(plan, each.condition, {**VALUES, **each.values}, 3) for each in situations]
    in_turn = states_of(situations, solved)
    assert (at_once.loads, at_once.harms) == (in_turn.loads, in_turn.harms)
    assert np.array_equal(at_once.code, in_turn.code)
    assert np.array_equal(at_once.harmed, in_turn.harmed)
    assert np.allclose(at_once.amount, in_turn.amount, atol=1e-7)
    assert np.allclose(at_once.harm_amount, in_turn.harm_amount, atol=1e-7)
