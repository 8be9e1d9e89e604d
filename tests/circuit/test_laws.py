"""Laws that every solution obeys: Kirchhoff, the balance of power, reciprocity, linearity."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.circuit.balance import kirchhoff_residual, power_residual
from tests.circuit.side_by_side import made_dead, suspect_set, typical_values

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.condition import CALLING, STANDBY, STARTING, Condition
from rungwise.circuit.factors import Factors
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS

BALANCE = 1e-9
CONDITIONS = {
    "standby": STANDBY,
    "starting": STARTING,
    "calling": CALLING,
    "fan": Condition("fan", "fan"),
    "cold": Condition("cold", "off", ambient_c=-5.0),
}
SPECIMENS = 3


@cache
def solution(name: str, condition: str) -> Solution:
    """Every suspect on three specimens with tolerances, at three severities."""
    suspects = suspect_set(name)
    values = suspects.particles(suspects.suspects, SPECIMENS, seed=5)
    asked = made_dead(suspects.unit) if condition == "dead" else CONDITIONS[condition]
    return solve(suspects.plan, asked, values, SPECIMENS * len(suspects))


@pytest.mark.parametrize("condition", [*CONDITIONS, "dead"])
@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_amps_and_power_balance_for_every_suspect(name: str, condition: str) -> None:
    """Issue 2: to 1e-9 relative, in every solution."""
    solved = solution(name, condition)
    assert kirchhoff_residual(solved).max() < BALANCE
    assert power_residual(solved).max() < BALANCE


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_balances_notice_a_volt_too_much(name: str) -> None:
    """One point behind milliohms moved by a microvolt is no longer a solution.

    It is on the panel's bus, whose joints have no fault: a terminal farther on may lie between a
    bad joint and a pitted contact, where a millivolt is hardly any power.
    The power balance is second order in the volts (a network's volts are those of stationary
    power), so it takes a millivolt there.
    """
    solved = solution(name, "calling")
    assert kirchhoff_residual(moved_at_the_bus(solved, 1e-6)).min() > BALANCE
    assert power_residual(moved_at_the_bus(solved, 1e-3)).min() > BALANCE


def moved_at_the_bus(solved: Solution, by_volt: float) -> Solution:
    volts = solved.volts.copy()
    volts[solved.plan.index["outdoor_breaker.line2"]] += by_volt
    return Solution(solved.plan, solved.condition, solved.batch, volts, solved.chatter)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_no_part_but_the_service_gives_power(name: str) -> None:
    """Every two-terminal element, transformer and motor takes in watts or none."""
    solved = solution(name, "calling")
    for link in solved.plan.links:
        if link.block != "service":
            assert solved.element_watt(link.key).min() > -1e-6
    for pair in solved.plan.pairs:
        volts, amps = solved.pair_volt(pair), solved.pair_amp(pair)
        watts = (volts[0] * amps[0].conj() + volts[1] * amps[1].conj()).real
        assert watts.min() > -1e-6


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_dead_unit_is_reciprocal_to_an_ohmmeter(name: str) -> None:
    """Volts at one pair of points for amps into another are the same the other way round."""
    suspects = suspect_set(name)
    plan, size = suspects.plan, len(suspects)
    dead = solve(plan, made_dead(suspects.unit), typical_values(suspects), size)
    factors = Factors(plan.order, Assembly.of(dead.batch, "dc").entries, plan.nodes)
    one = (plan.index["compressor.C"], plan.index["compressor.S"])
    other = (plan.index["contactor.T1"], plan.index["fan.S"])
    there = np.broadcast_to(factors.port_volts([one, other], 0)[1], (size,))
    back = np.broadcast_to(factors.port_volts([one, other], 1)[0], (size,))
    # A port's volts are the difference of two nodes' that may stand at megavolts.
    level = np.abs(factors.port_volts([(one[0], -1)], 0)[0]).max()
    assert there == pytest.approx(back, rel=1e-9, abs=1e-14 * float(level))


def test_the_networks_answer_in_proportion_to_the_supply() -> None:
    """With nothing switching, 5% more volts at the service are 5% more everywhere."""
    plan = suspect_set("one_pole_heater").plan
    legs = plan.defaults[("service", "leg_volt")] * np.array([1.0, 1.05])
    solved = solve(plan, STANDBY, {("service", "leg_volt"): legs}, 2)
    assert solved.volts[:, 1] == pytest.approx(1.05 * solved.volts[:, 0], rel=1e-9)
