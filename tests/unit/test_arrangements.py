"""The shipped arrangements do what the trade says of them, each figure from the solution.

Check values are common practice with no source (design/trade.md §5) unless said otherwise.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STANDBY, STARTING, Condition
from rungwise.circuit.meter import LOW_Z_VOLTS, VOLTS, Leads, loaded_volts
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.parts.element import EARTH, FloatArray
from rungwise.parts.kind import Draw
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

A, B, C, D = FIRST_ARRANGEMENTS
COLD = Condition("cold", "off", ambient_c=0.0)
COLD_CALLING = Condition("cold and calling", "cool", ambient_c=0.0)
HOT = Condition("hot", "off", ambient_c=35.0)


@cache
def plan(name: str = A) -> Plan:
    return Plan(arrangement(name))


@cache
def solved(name: str, condition_name: str) -> Solution:
    conditions = {c.name: c for c in (CALLING, STARTING, STANDBY, COLD, COLD_CALLING, HOT)}
    return solve(plan(name), conditions[condition_name])


def volt(solution: Solution, a: str, b: str = EARTH) -> float:
    return float(np.abs(solution.volt(a, b))[0])


def heater_watt(solution: Solution) -> float:
    return float(solution.element_watt(("heater", "element"))[0])


def dead(unit: Unit) -> Condition:
    opened = [part.name for part in unit.parts if unit.kind_of(part.name).isolates]
    return Condition("dead", "off").opened(*opened)


# --- live ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
@pytest.mark.parametrize("condition", ["calling", "standby"])
def test_240_volts_between_the_legs_and_120_to_earth_when_live(name: str, condition: str) -> None:
    solution = solved(name, condition)
    assert volt(solution, "contactor.L1", "contactor.L2") == pytest.approx(240.0, rel=0.02)
    for line in ("contactor.L1", "contactor.L2"):
        assert volt(solution, line) == pytest.approx(120.0, rel=0.02)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_24_to_28_volts_on_the_coil_during_a_call_and_none_without(name: str) -> None:
    """About 27 V at the coil when calling; nothing without a call."""
    assert 24.0 <= volt(solved(name, "calling"), "contactor.coil1", "contactor.coil2") <= 28.0
    assert volt(solved(name, "standby"), "contactor.coil1", "contactor.coil2") < 0.1


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_good_coil_reads_9_to_20_ohms_with_its_lead_off(name: str) -> None:
    unit = plan(name).unit
    lead = frozenset({("y_coil", "end")})
    batch = solve(plan(name), dead(unit).without_leads(lead)).batch
    ohm = Leads(batch, "dc").impedance_ohm("contactor.coil1", "contactor.coil2")
    assert 9.0 <= float(ohm.real[0]) <= 20.0


def test_a_coil_read_with_its_leads_on_reads_what_lies_beside_it_too() -> None:
    """Through Y, the thermostat is open, but C and the fuse are there: still the coil alone.

    With the call left on, the transformer's secondary lies across it.
    """
    unit = plan(A).unit
    off = solve(plan(A), dead(unit)).batch
    calling = solve(plan(A), replace(dead(unit), demand="cool")).batch
    ohms = [
        float(Leads(each, "dc").impedance_ohm("contactor.coil1", "contactor.coil2").real[0])
        for each in (off, calling)
    ]
    assert ohms[0] == pytest.approx(13.0, rel=0.01)
    assert ohms[1] < 3.0


def test_the_bar_of_a_one_pole_contactor_stays_at_120_volts_with_the_contactor_open() -> None:
    solution = solved(A, "standby")
    assert volt(solution, "contactor.T2") == pytest.approx(120.0, rel=0.02)


def test_t1_stands_near_120_volts_too_through_the_windings_from_the_bar() -> None:
    solution = solved(A, "standby")
    assert volt(solution, "contactor.T1") == pytest.approx(120.0, rel=0.02)
    assert volt(solution, "contactor.T1", "contactor.T2") < 2.0


def test_both_load_terminals_of_a_two_pole_contactor_are_dead_when_it_is_open() -> None:
    for terminal in ("contactor.T1", "contactor.T2"):
        assert volt(solved(B, "standby"), terminal) < 0.1


# --- the crankcase heater ------------------------------------------------------------------------


@pytest.mark.parametrize("name", [A, C])
def test_the_heater_across_the_open_pole_heats_when_off_and_not_when_running(name: str) -> None:
    """About 70 W through the windings and the bar; the closed pole takes its volts away."""
    assert heater_watt(solved(name, "standby")) == pytest.approx(70.0, rel=0.03)
    assert heater_watt(solved(name, "calling")) < 0.001


def test_a_two_pole_contactor_swapped_in_takes_the_heaters_way_back() -> None:
    """The trap of every contactor swap: the unit cools, and the heater never heats again."""
    unit = arrangement(A)
    swapped = replace(
        unit,
        parts=tuple(
            replace(part, kind="contactor_2p") if part.name == "contactor" else part
            for part in unit.parts
        ),
    )
    two_pole = Plan(swapped)
    assert heater_watt(solve(two_pole, STANDBY)) < 0.001
    running = solve(two_pole, CALLING)
    assert heater_watt(running) < 0.001
    assert running.state(("compressor", "slip"))[0] < 0.1


def test_the_heaters_current_returns_through_the_motors_windings() -> None:
    """Nearly all of it through the compressor's; with that open the fan's carry less; else none."""
    solution = solved(A, "standby")
    heater = float(np.abs(solution.element_amp(("heater", "element")))[0])
    assert float(np.abs(solution.element_amp(("comp_c", "path")))[0]) == pytest.approx(
        heater, rel=0.05
    )
    no_compressor = {("compressor", "c_open"): np.asarray(1.0)}
    assert 40.0 < heater_watt(solve(plan(A), STANDBY, no_compressor)) < 65.0
    no_motor = no_compressor | {("fan", "c_open"): np.asarray(1.0)}
    assert heater_watt(solve(plan(A), STANDBY, no_motor)) < 0.001


@pytest.mark.parametrize(
    ("condition", "watt"),
    [("cold", 70.0), ("cold and calling", 70.0), ("hot", 0.0), ("standby", 0.0), ("calling", 0.0)],
)
def test_the_heater_across_the_line_obeys_its_thermostat_and_not_the_contactor(
    condition: str, watt: float
) -> None:
    """It closes below 15 °C; calling and standby are at 27 °C."""
    assert heater_watt(solved(D, condition)) == pytest.approx(watt, rel=0.05, abs=0.01)


# --- running -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_motors_draw_less_than_their_nameplates_amps(name: str) -> None:
    """RLA and FLA are ceilings: 55 to 85 and 70 to 105% are usual (common practice, no source)."""
    solution = solved(name, "calling")
    for motor, amp in (("compressor", 16.0), ("fan", 1.3), ("blower", 5.0)):
        found = float(np.abs(solution.element_amp((motor, "common")))[0])
        assert 0.55 * amp <= found <= 1.0 * amp, motor


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_microfarads_under_load_come_out_of_amps_and_volts(name: str) -> None:
    """C = 10⁶·I/(2πf·V) from the start lead's amps and the capacitor's volts: 45 µF."""
    solution = solved(name, "calling")
    amp = float(np.abs(solution.element_amp(("comp_s", "path")))[0])
    across = volt(solution, "capacitor.HERM", "capacitor.C")
    assert 1e6 * amp / (2 * np.pi * 60 * across) == pytest.approx(45.0, rel=0.01)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_closed_contact_drops_less_than_a_fifth_of_a_volt(name: str) -> None:
    assert volt(solved(name, "calling"), "contactor.L1", "contactor.T1") < 0.2


def test_the_windings_add_up_between_the_compressors_leads() -> None:
    """R(CR) + R(CS) = R(RS): identity of a tapped winding; 0.7 and 2.2 Ω of the default."""
    unit = plan(A).unit
    leads = frozenset({("comp_r", "end"), ("comp_c", "end"), ("comp_s", "end")})
    meter = Leads(solve(plan(A), dead(unit).without_leads(leads)).batch, "dc")

    def ohm(a: str, b: str) -> float:
        return float(meter.impedance_ohm(f"compressor.{a}", f"compressor.{b}").real[0])

    assert ohm("C", "R") == pytest.approx(0.7, abs=0.03)
    assert ohm("C", "S") == pytest.approx(2.2, abs=0.03)
    assert ohm("R", "S") == pytest.approx(ohm("C", "R") + ohm("C", "S"), abs=0.03)


# --- dead ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_nothing_is_left_after_isolation(name: str) -> None:
    """Every terminal behind a device: 0 V to ground on a low-impedance meter, a ghost at most."""
    unit = plan(name).unit
    solution = solve(plan(name), dead(unit))
    meter = Leads(solution.batch, "ac")
    fed = {f"{part.name}.{t}" for part in unit.parts if part.place in ("outdoor", "indoor")
           for t in unit.kind_of(part.name).terminals} - {"service_switch.line1"}  # fmt: skip
    for node in sorted(fed):
        seen, found = meter.impedance_ohm(node, EARTH), solution.volt(node, EARTH)
        assert loaded_volts(found, seen, LOW_Z_VOLTS.burden_ohm)[0] < 0.05, node
        assert loaded_volts(found, seen, VOLTS.burden_ohm)[0] < 5.0, node


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_outdoor_disconnect_alone_leaves_24_volts_on_the_coil_leads(name: str) -> None:
    """Two sources reach the outdoor cabinet."""
    solution = solve(plan(name), CALLING.opened("disconnect"))
    assert volt(solution, "contactor.coil1", "contactor.coil2") > 20.0
    assert volt(solution, "contactor.L1", "contactor.L2") < 1.0


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_indoor_breaker_alone_leaves_240_volts_on_the_line_side(name: str) -> None:
    solution = solve(plan(name), CALLING.opened("indoor_breaker"))
    assert volt(solution, "contactor.coil1", "contactor.coil2") < 0.1
    assert volt(solution, "contactor.L1", "contactor.L2") == pytest.approx(240.0, rel=0.02)


def test_one_dead_leg_reads_nothing_line_to_line_and_120_volts_to_earth() -> None:
    """The heater and the windings carry the live leg over to the dead one."""
    lost = solve(plan(A), STANDBY, {("outdoor_breaker", "open1"): np.asarray(1.0)})
    assert volt(lost, "contactor.L1", "contactor.L2") < 5.0
    assert volt(lost, "contactor.L1") > 110.0
    assert volt(lost, "contactor.L2") > 110.0


# --- every fault shows ---------------------------------------------------------------------------

MEASURABLE_VOLT, MEASURABLE_AMP = 0.2, 0.02
SHOWING = (CALLING, STARTING, STANDBY, COLD)

UNSEEN_WIRES = {
    "c_bond.high_resistance", "c_bond.another_power", "c_bond.rubbed", "c_board.rubbed",
    "c_relay.rubbed", "y_stat+g_stat.another_leak",
}  # fmt: skip
"""Wire modes that change nothing to measure in an arrangement that has the wire.

C touching the cabinet near where it is bonded to it anyway, and the bond itself, which carries
nothing: none of these has a weight as a suspect.  And a leak from Y to G: a call feeds both.
"""

UNSEEN = UNSEEN_WIRES | {
    "compressor.overload_weak", "compressor.other_leak", "fan.other_leak", "blower.other_leak",
    "contactor.hums",
}  # fmt: skip
"""And what shows in no volts and amps at the usual load: an overload that opens too early shows
on a hot day alone, a leak of a megohm to a megohmmeter alone, and a contactor that is in and hums
is heard."""


def drawn(draw: Draw, good: float, *, worst: bool) -> float:
    """The parameter at the worst or the middle severity of its draw."""
    severity = draw.high if worst else math.sqrt(draw.low * draw.high)
    return good * severity if draw.how == "scale" else severity


@cache
def shows(name: str) -> dict[str, bool]:
    """Per mode of an arrangement, whether it moves anything measurable.

    Parts at middle severity; wires and conductor pairs at their worst, because a joint of half an
    ohm in a control wire moves less than any meter tells.
    """
    found = plan(name)
    modes = [(block, mode) for block, b in found.blocks.items() for mode in b.kind.modes]
    values: dict[Key, FloatArray] = {}
    for at, (block, mode) in enumerate(modes, start=1):
        for draw in mode.edits:
            key = (block, draw.parameter)
            good = float(found.defaults[key])
            column = values.setdefault(key, np.full(len(modes) + 1, good))
            worst = found.blocks[block].kind.name in {"wire", "cable_pair"}
            column[at] = drawn(draw, good, worst=worst)
    moved = np.zeros(len(modes) + 1, bool)
    for condition in SHOWING:
        moved |= differs_from_first(solve(found, condition, values, len(modes) + 1))
    return {f"{block}.{mode.name}": bool(moved[k]) for k, (block, mode) in enumerate(modes, 1)}


def differs_from_first(solution: Solution) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which variants differ measurably from the first, which is healthy, in volts or amps."""
    volts = np.abs(solution.volts - solution.volts[:, :1]).max(axis=0) > MEASURABLE_VOLT
    for link in solution.plan.links:
        amp = np.abs(solution.link_amp(link))
        volts |= np.abs(amp - amp[0]) > MEASURABLE_AMP
    return np.asarray(volts)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_fault_mode_changes_something_to_measure(name: str) -> None:
    unseen = {mode for mode, seen in shows(name).items() if not seen}
    assert unseen <= UNSEEN


def test_what_is_listed_as_unseen_is_unseen_somewhere() -> None:
    unseen = {mode for name in FIRST_ARRANGEMENTS for mode, seen in shows(name).items() if not seen}
    assert unseen == UNSEEN
