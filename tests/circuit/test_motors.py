"""Motors in a whole unit: they run, hum or stay off as the trade knows them to."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STARTING, Condition
from rungwise.circuit.machine_fit import HOT_OVER_COLD
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.parts import KINDS
from rungwise.parts.element import FloatArray
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
    """Looked at before a pressure switch stops it all."""
    key, at_once = ("capacitor", section), {("compressor", "run_s"): np.asarray(1.0)}
    return solve(plan, condition, at_once | {key: SHARES * plan.defaults[key]}, SHARES.size)


def locked_amp(plan: Plan, motor: str, share: float, volt: float) -> float:
    """Amps at standstill with a share of the microfarads: the two windings on their own.

    A weak capacitor gives less of the main winding's reactive amps back: more than on the plate.
    """
    number = {name: float(value) for (part, name), value in plan.defaults.items() if part == motor}
    rotor = number["rotor_ohm"] + 1j * number["rotor_leak_ohm"]
    both = 1j * number["magnetising_ohm"] * rotor / (rotor + 1j * number["magnetising_ohm"])
    main = HOT_OVER_COLD * number["main_ohm"] + 1j * number["main_leak_ohm"] + both
    aux = HOT_OVER_COLD * number["aux_ohm"] + 1j * number["aux_leak_ohm"]
    aux += number["turns_ratio"] ** 2 * both
    aux -= 1j / (plan.omega_rad_per_s * 1e-6 * share * number["run_uf"])
    return volt * abs(1 / main + 1 / aux)


def test_a_healthy_unit_runs_below_its_plate(plan: Plan) -> None:
    """RLA and FLA are ceilings: 55 to 90% and 70 to 100% of them (common practice, no source)."""
    solved = solve(plan, CALLING)
    for motor, poles, low, high in (("compressor", 2, 0.55, 0.9), ("fan", 6, 0.7, 1.0)):
        assert low < amp(solved, motor)[0] / plan.defaults[motor, "rated_a"] < high
        rpm = 7200 / poles * (1 - solved.state((motor, "slip"))[0])
        assert rpm == pytest.approx(float(plan.defaults[motor, "rated_rpm"]), rel=0.03)
        assert solved.state((motor, "tripped"))[0] == 0


def test_at_its_rated_load_and_volts_a_motor_draws_its_plate(plan: Plan) -> None:
    """Or the share of it that such motors really draw, within 5%."""
    rated = {(motor, "load_ratio"): np.asarray(1.0) for motor in ("compressor", "fan")}
    solved = solve(plan, CALLING, rated | {("service", "leg_volt"): np.asarray(116.0)})
    for motor in ("compressor", "fan"):
        plate = plan.defaults[motor, "plate_share"] * plan.defaults[motor, "rated_a"]
        assert amp(solved, motor)[0] == pytest.approx(plate, rel=0.05)


def test_a_good_compressor_at_70_percent_of_rla_is_ordinary(plan: Plan) -> None:
    """Issue 10: a mild day's load lies within the spread of good ones, and so does RLA's own."""
    kind = KINDS["compressor"].parameter("load_ratio")
    loads = kind.default * np.exp(np.array([-1.0, 0.0, 1.0]) * kind.untold)
    drawn = amp(solve(plan, CALLING, {("compressor", "load_ratio"): loads}, 3), "compressor")
    low, middle, high = drawn / plan.defaults["compressor", "rated_a"]
    assert low < 0.65 < middle < 0.8 < high


@pytest.mark.parametrize(
    ("section", "motor"), [("herm_uf", "compressor"), ("fan_uf", "fan")], ids=["HERM", "FAN"]
)
def test_a_weak_capacitor_slows_nothing_until_it_stalls_the_start(
    plan: Plan, section: str, motor: str
) -> None:
    """Mildly weak it runs; too weak it hums at locked-rotor amps, and then the overload opens."""
    start, later = weak(plan, section, STARTING), weak(plan, section, CALLING)
    slip = start.state((motor, "slip"))
    assert (slip[:3] < 0.12).all()
    assert (slip[-2:] == 1.0).all()
    stalled = slip == 1.0
    volts = np.abs(start.volt(f"{motor}.C", f"{motor}.R"))
    locked = [
        locked_amp(plan, motor, share, volt)
        for share, volt in zip(SHARES[stalled], volts[stalled], strict=True)
    ]
    assert amp(start, motor)[stalled] == pytest.approx(locked, rel=0.005)
    assert later.state((motor, "tripped")).tolist() == stalled.astype(float).tolist()
    assert (amp(later, motor)[stalled] < 1e-3).all()


def test_a_weak_capacitor_raises_the_amps_of_a_compressor_that_still_runs(plan: Plan) -> None:
    solved = weak(plan, "herm_uf", STARTING)
    running = solved.state(("compressor", "slip")) < 0.2
    assert running.sum() >= 3
    assert (np.diff(amp(solved, "compressor")[running]) > 0).all()


def test_low_volts_stall_the_compressor_before_they_drop_the_contactor(plan: Plan) -> None:
    """One that asks for as much at standstill as the spread of good ones allows."""
    shares = np.array([1.0, 0.9, 0.7, 0.5])
    usual = KINDS["compressor"].parameter("start_load_ratio")
    values = {
        ("service", "leg_volt"): 120.0 * shares,
        ("compressor", "start_load_ratio"): np.asarray(usual.default * np.exp(usual.untold)),
    }
    solved = solve(plan, STARTING, values, shares.size)
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


def test_a_compressor_that_needs_its_start_kit_stands_without_it() -> None:
    """A start relay that never closes leaves most such compressors standing; with it each starts.

    Low volts leave all of them standing.
    """
    plan = Plan(arrangement("hard_start_delay"))
    ratio = KINDS["compressor"].parameter("start_load_ratio").untold
    needed = plan.defaults["compressor", "start_load_ratio"] * np.exp([-ratio, 0.0, ratio])
    never = np.array([0.0, 1.0])
    for leg, least in ((120.0, 2), (104.0, 3)):
        values = {
            ("compressor", "start_load_ratio"): np.tile(needed, 2),
            ("start_relay", "never_in"): np.repeat(never, 3),
            ("service", "leg_volt"): np.asarray(leg),
        }
        slip = solve(plan, STARTING, values, 6).state(("compressor", "slip"))
        assert (slip[:3] < 0.1).all()
        assert (slip[3:] == 1.0).sum() >= least


def test_a_dragging_fan_turns_slower_and_draws_more(plan: Plan) -> None:
    """Dry bearings: up to 2.5 times the load, until the rotor stands."""
    load = plan.defaults["fan", "load_ratio"] * np.array([1.0, 1.4, 1.8])
    solved = solve(plan, STARTING, {("fan", "load_ratio"): load}, 3)
    assert (np.diff(amp(solved, "fan")) > 0).all()
    assert (np.diff(solved.state(("fan", "slip"))) > 0).all()
