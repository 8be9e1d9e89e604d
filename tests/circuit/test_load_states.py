"""One judge says what a load does, for every command."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import COLD_STANDBY, STANDBY, Condition
from rungwise.circuit.cooling import moved_air
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.situations import AT_REST, FREEZING, Situation
from rungwise.circuit.states_of_loads import load_states, loads_of, usual_states
from rungwise.diagnosis.visual_checks import turns
from rungwise.parts.load import HEATS_SHARE, HUM_SHARE, RUNNING_SLIP, Does, heater_does, motor_does
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@pytest.mark.parametrize("watt", [0.0, 14.2, 20.9, 21.1, 70.0])
def test_a_heater_is_judged_alike_by_every_command(watt: float) -> None:
    """14.2 W of 70 keeps no oil warm; it once heated in one module and was off in the other."""
    plan = Plan(arrangement("one_pole_heater"))
    usual = solve(plan, STANDBY).element_watt(("heater", "element"))
    starved = {("heater", "made_ratio"): usual / max(watt, 1e-3)}
    (heater,) = (x for x in loads_of(solve(plan, STANDBY, starved)) if x.part == "heater")
    told = load_states(plan, [Situation(AT_REST, STANDBY)], starved)
    assert heater.watt == pytest.approx(watt, rel=0.01, abs=0.01)
    assert heater.does is (Does.HEATS if heater.watt > HEATS_SHARE * 70.0 else Does.OFF)
    assert told.code[0, told.loads.index("heater"), 0] == heater.does


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_one_variant_reads_as_the_batch_does(name: str) -> None:
    plan = Plan(arrangement(name))
    for each in usual_states(plan):
        if each.condition == COLD_STANDBY.name:
            told = load_states(plan, [Situation(FREEZING, COLD_STANDBY)])
            at = told.loads.index(each.part)
            assert told.code[0, at, 0] == each.does
            assert told.amount[0, at, 0] == each.watt


def test_a_motor_runs_by_its_slip_and_hums_by_its_amps() -> None:
    slip = np.array([0.05, RUNNING_SLIP + 0.01, 1.0, 1.0, 1.95])
    amp = np.array([5.0, 5.0, HUM_SHARE * 10.0, HUM_SHARE * 10.0 - 0.01, 5.0])
    codes = motor_does(slip, amp, np.asarray(10.0))
    assert [Does(code) for code in codes] == [
        Does.RUNS, Does.HUMS, Does.HUMS, Does.OFF, Does.BACKWARDS,
    ]  # fmt: skip


def test_a_heater_at_its_limit_is_off() -> None:
    assert heater_does(np.asarray(HEATS_SHARE * 70.0), np.asarray(70.0)) == Does.OFF


def test_one_judge_says_that_a_motor_on_its_lowest_tap_turns_on_a_low_line() -> None:
    """There it takes less than 0.3 of its rated watts, at which a heater is called off."""
    low = {("service", "leg_volt"): np.asarray(95.0)}
    found = solve(Plan(arrangement("air_handler_taps")), Condition("fan", "fan"), low)
    blower = next(each for each in loads_of(found) if each.part == "blower")
    assert blower.watt < HEATS_SHARE * found.batch.number(("blower", "watt"))
    assert blower.does is Does.RUNS
    assert turns(found, "blower") == 1.0
    assert moved_air(found.batch, ("blower",)) == 1.0
