"""Motors in a whole unit: they run, hum or stay off as the trade knows them to."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STARTING, Condition
from rungwise.circuit.plan import Key, Plan
from rungwise.circuit.settle import solve
from rungwise.circuit.solution import Solution
from rungwise.unit.element import FloatArray
from rungwise.unit.unit_file import arrangement

SHARES = np.array([1.0, 0.85, 0.7, 0.5, 0.3, 0.1])


@pytest.fixture(scope="module")
def plan() -> Plan:
    return Plan(arrangement("one_pole_heater"))


def amp(solution: Solution, motor: str) -> FloatArray:
    return np.asarray(np.abs(solution.element_amp((motor, "common"))))


def with_fault(plan: Plan, condition: Condition, faults: Mapping[Key, float]) -> Solution:
    return solve(plan, condition, {key: np.asarray(number) for key, number in faults.items()})


def weak(plan: Plan, section: str, condition: Condition) -> Solution:
    key = ("capacitor", section)
    return solve(plan, condition, {key: SHARES * plan.defaults[key]}, SHARES.size)


def test_a_healthy_unit_runs_at_its_rated_amps(plan: Plan) -> None:
    """240 V in place of the rated 230 V: within 5 % of RLA and FLA, at rated speed ± 1 %."""
    solved = solve(plan, CALLING)
    for motor, poles in (("compressor", 2), ("fan", 6)):
        assert amp(solved, motor)[0] == pytest.approx(plan.defaults[motor, "rated_a"], rel=0.05)
        rpm = 7200 / poles * (1 - solved.state((motor, "slip"))[0])
        assert rpm == pytest.approx(float(plan.defaults[motor, "rated_rpm"]), rel=0.01)
        assert solved.state((motor, "tripped"))[0] == 0


@pytest.mark.parametrize(
    ("section", "motor"), [("herm_uf", "compressor"), ("fan_uf", "fan")], ids=["HERM", "FAN"]
)
def test_a_weak_capacitor_slows_nothing_until_it_stalls_the_start(
    plan: Plan, section: str, motor: str
) -> None:
    """Mildly weak it runs; too weak it hums at locked-rotor amps, and then the overload opens."""
    start, later = weak(plan, section, STARTING), weak(plan, section, CALLING)
    slip = start.state((motor, "slip"))
    assert (slip[:2] < 0.12).all()
    assert (slip[-3:] == 1.0).all()
    stalled = slip == 1.0
    locked = float(plan.defaults[motor, "locked_a"])
    assert amp(start, motor)[stalled] == pytest.approx(np.full(stalled.sum(), locked), rel=0.1)
    assert later.state((motor, "tripped")).tolist() == stalled.astype(float).tolist()
    assert (amp(later, motor)[stalled] < 1e-3).all()


def test_a_weak_capacitor_raises_the_amps_of_a_compressor_that_still_runs(plan: Plan) -> None:
    solved = weak(plan, "herm_uf", STARTING)
    running = solved.state(("compressor", "slip")) < 0.2
    assert running.sum() >= 3
    assert (np.diff(amp(solved, "compressor")[running]) > 0).all()


def test_low_volts_stall_the_compressor_before_they_drop_the_contactor(plan: Plan) -> None:
    shares = np.array([1.0, 0.9, 0.7, 0.5])
    legs = {("service", "leg_volt"): 120.0 * shares}
    solved = solve(plan, STARTING, legs, shares.size)
    assert solved.state(("contactor", "attracted")).tolist() == [1, 1, 1, 0]
    slip = solved.state(("compressor", "slip"))
    assert slip[0] < slip[1] < 0.1
    assert slip[2] == 1.0
    assert amp(solved, "compressor")[3] < 1.0


@pytest.mark.parametrize(
    ("fault", "drawn"),
    [("seized", (70, 90)), ("s_open", (70, 90)), ("r_open", (0.5, 20)), ("c_open", (0, 1e-3))],
)
def test_a_compressor_that_cannot_start(plan: Plan, fault: str, drawn: tuple[float, float]) -> None:
    """LRA when seized or without start winding, little without run winding, nothing without C."""
    solved = with_fault(plan, STARTING, {("compressor", fault): 1.0})
    assert solved.state(("compressor", "slip"))[0] == 1.0
    assert drawn[0] <= amp(solved, "compressor")[0] <= drawn[1]
    # What ails the compressor leaves the fan running.
    assert solved.state(("fan", "slip"))[0] < 0.2


def test_a_motor_without_volts_stands_still(plan: Plan) -> None:
    solved = with_fault(plan, CALLING, {("contactor", "coil_open"): 1.0})
    assert solved.state(("compressor", "slip"))[0] == 1.0
    assert solved.state(("fan", "slip"))[0] == 1.0
    assert solved.state(("blower", "slip"))[0] < 0.2


def test_a_delay_whose_volts_fall_away_as_it_passes_them_on_comes_to_rest() -> None:
    """A shorted coil pulls the transformer down, the delay lets go, and all begins again."""
    plan = Plan(arrangement("hard_start_delay"))
    # Between a coil that the fuse answers and one that leaves the delay its 8 V.
    ohms = np.geomspace(0.2, 4.0, 60)
    values = {
        ("contactor", "coil_ohm"): ohms,
        ("contactor", "coil_in_henry"): np.asarray(1e-3),
        ("contactor", "coil_out_henry"): np.asarray(1e-3),
        ("contactor", "coil_weak"): np.asarray(1.0),
    }
    solved = solve(plan, STARTING, values, ohms.size)
    cycles = solved.chatter["delay", "timed_in"]
    assert 0 < cycles.sum() < ohms.size
    assert (solved.state(("delay", "timed_in"))[cycles] == 0).all()
    assert (solved.state(("contactor", "attracted")) == 0).all()
