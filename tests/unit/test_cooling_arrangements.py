"""Single-phase cooling units do what the trade says of them, each figure from the solution.

Healthy readings, behavior and time are the trade's own figures, common practice, no source, unless
said otherwise; what follows from a rating (ohms, amps) is worked out beside the check.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from itertools import pairwise, product

import numpy as np
import pytest
from tests.drawing.test_ladder import clashes
from tests.wide import some

from rungwise.circuit.condition import CALLING, COLD_STANDBY, STANDBY, STARTING, Condition
from rungwise.circuit.event_sequence import Change, sequence
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.states_of_loads import loads_of
from rungwise.circuit.timeline import Timeline
from rungwise.diagnosis.checks import checks_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.errors import BadUnitFile
from rungwise.faults import SuspectSet
from rungwise.files import Document
from rungwise.isolation import isolate
from rungwise.parts import COIL_OVER_VOLT, Does
from rungwise.rewiring.caution import cautions
from rungwise.rewiring.wires_file import wires_from
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement, unit_from

HEATER = "two_pole_heater_line_side"
TWO = "two_disconnects"
BOARD = "time_delay_board"
AUXILIARY = "two_pole_heater_auxiliary"
PTC = "one_pole_ptc_start"
PUMP = "condensate_pump"
CYCLING = "fan_cycling"
LINE = "line_volt_coil"
NAMES = (HEATER, TWO, BOARD, AUXILIARY, PTC, PUMP, CYCLING, LINE)

GHOST_V = 50.0
"""What open contacts may leave on a dead conductor, no meter's load on it."""


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


@cache
def solved(name: str, condition: str = "calling") -> Solution:
    named = {each.name: each for each in (CALLING, STANDBY, COLD_STANDBY)}
    return solve(plan(name), named[condition])


def with_fault(name: str, suspect: str, condition: Condition, severity: float = 0.5) -> Solution:
    suspects = SuspectSet(arrangement(name))
    values = suspects.typical(suspects.suspect(suspect), severity)
    return solve(plan(name), condition, {k: np.atleast_1d(v) for k, v in values.items()})


def changed(text: str) -> Unit:
    return unit_from(Document(text, file="changed"), name="changed")


def volt(solution: Solution, a: str, b: str = "@earth") -> float:
    return float(np.abs(solution.volt(a, b))[0])


def amp(solution: Solution, block: str, element: str) -> float:
    return float(np.abs(solution.element_amp((block, element)))[0])


def watt(solution: Solution) -> float:
    return float(solution.element_watt(("heater", "element"))[0])


def does(solution: Solution) -> Mapping[str, str]:
    return {each.part: each.does.words for each in loads_of(solution)}


# --- every one of them ---------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_on_a_call_for_cooling_every_motor_runs_and_without_one_none(name: str) -> None:
    motors = ("blower", "compressor", "fan")
    assert [does(solved(name))[each] for each in motors] == ["runs"] * 3
    assert [does(solved(name, "standby"))[each] for each in motors] == ["is off"] * 3


@pytest.mark.parametrize(
    ("name", "scope"),
    [
        *((name, "everything") for name in NAMES),
        *product(some(NAMES, TWO, LINE), ("cabinet", "disconnect", "indoor")),
    ],
)
def test_every_place_of_it_can_be_made_dead(name: str, scope: str) -> None:
    made = isolate(arrangement(name), scope=scope)
    assert made.refusals == ()
    assert made.steps


@pytest.mark.parametrize("name", some(NAMES, TWO, LINE))
def test_no_label_lies_on_another_in_its_pictures(name: str) -> None:
    unit = arrangement(name)
    assert clashes(ladder(unit)) == []
    cabinets = [panel(unit, place=each) for each in ("outdoor", "indoor", "disconnect")]
    assert [overlaps(each.labels) for each in cabinets] == [()] * 3


# --- two poles, the heater across the line -------------------------------------------------------


def test_a_heater_across_the_line_takes_its_watts_cold_and_standing_with_both_load_sides_dead() -> (
    None
):
    """70 W at 240 V: 240²/70 = 823 Ω and 0.29 A, within what the supply differs from 240 V."""
    cold = solved(HEATER, COLD_STANDBY.name)
    assert does(cold)["heater"] == "heats"
    assert watt(cold) == pytest.approx(70.0, rel=0.04)
    assert amp(cold, "heater", "element") == pytest.approx(240.0 / 823.0, rel=0.02)
    assert volt(cold, "contactor.L1", "contactor.L2") == pytest.approx(240.0, rel=0.02)
    assert max(volt(cold, "contactor.T1"), volt(cold, "contactor.T2")) < GHOST_V


def test_its_thermostat_open_takes_the_whole_line_and_closed_none() -> None:
    warm, cold = solved(HEATER, "standby"), solved(HEATER, COLD_STANDBY.name)
    assert watt(warm) < 0.01
    assert volt(warm, "heater_stat.1", "heater_stat.2") == pytest.approx(240.0, rel=0.02)
    assert volt(cold, "heater_stat.1", "heater_stat.2") < 0.1


def test_a_heater_hard_to_earth_opens_the_breaker_with_nothing_running() -> None:
    cold = with_fault(HEATER, "heater.earthed", COLD_STANDBY, severity=0.0)
    assert volt(cold, "contactor.L1", "contactor.L2") < 1.0
    assert set(does(cold).values()) == {"is off"}


def test_one_heater_lead_behind_a_two_pole_contactor_leaves_it_cold_for_good() -> None:
    """With one pole the windings bring the other leg there; with two nothing does."""
    moved = changed(f'arrangement = "{HEATER}"\n[[wires]]\nname = "heater_return"\n'
                    'to = "contactor.T2"\nfrom = "heater.2"\n')  # fmt: skip
    assert does(solve(Plan(moved), COLD_STANDBY))["heater"] == "is off"
    one_pole = changed('arrangement = "heater_line_side"\n[[wires]]\nname = "heater_return"\n'
                       'to = "contactor.T2"\nfrom = "heater.2"\n')  # fmt: skip
    assert does(solve(Plan(one_pole), COLD_STANDBY))["heater"] == "heats"


# --- two poles, the heater through the auxiliary contact -----------------------------------------


def test_a_heater_through_21_22_heats_while_the_contactor_is_out_and_only_then() -> None:
    """0.29 A out, 0 in, whatever the weather; 0 V across the closed contact, 240 V across it in."""
    out, on = solved(AUXILIARY, "standby"), solved(AUXILIARY)
    assert amp(out, "heater", "element") == pytest.approx(240.0 / 823.0, rel=0.02)
    assert volt(out, "contactor.21", "contactor.22") < 0.1
    assert watt(on) < 0.01
    assert volt(on, "contactor.21", "contactor.22") == pytest.approx(240.0, rel=0.03)


@pytest.mark.parametrize("fault", ["opens_burnt", "block_off"])
def test_an_open_21_22_shows_the_line_across_itself_with_the_plunger_out(fault: str) -> None:
    found = with_fault(AUXILIARY, f"contactor.{fault}", STANDBY)
    assert does(found)["heater"] == "is off"
    assert volt(found, "contactor.21", "contactor.22") == pytest.approx(240.0, rel=0.02)


def test_a_welded_21_22_only_heats_on_while_it_runs() -> None:
    found = does(with_fault(AUXILIARY, "contactor.opens_welded", CALLING))
    assert (found["heater"], found["compressor"]) == ("heats", "runs")


# --- two disconnects in series -------------------------------------------------------------------


def test_each_closed_pole_of_two_disconnects_reads_millivolts_under_load() -> None:
    """Under 50 mV at load each."""
    for device in ("disconnect", "unit_switch"):
        for pole in (1, 2):
            drop = volt(solved(TWO), f"{device}.line{pole}", f"{device}.load{pole}")
            assert 0.0 < drop < 0.050


@pytest.mark.parametrize("device", ["disconnect", "unit_switch"])
def test_one_open_pole_of_either_shows_the_whole_line_across_itself_on_a_call(device: str) -> None:
    """And 120 V to ground on both of its ends: only leg to leg, then across, tells which."""
    found = with_fault(TWO, f"{device}.pole1_open", CALLING)
    assert does(found)["compressor"] == "is off"
    assert volt(found, f"{device}.line1", f"{device}.load1") == pytest.approx(240.0, rel=0.03)
    assert volt(found, f"{device}.load1") == pytest.approx(120.0, rel=0.03)
    other = "unit_switch" if device == "disconnect" else "disconnect"
    assert volt(found, f"{other}.line1", f"{other}.load1") < 0.001


def test_the_switch_in_the_unit_leaves_its_line_side_live_until_the_wall_is_open() -> None:
    own = solve(plan(TWO), STANDBY.opened("unit_switch"))
    assert volt(own, "unit_switch.load1", "unit_switch.load2") < GHOST_V
    assert volt(own, "unit_switch.line1", "unit_switch.line2") == pytest.approx(240.0, rel=0.02)
    made = isolate(arrangement(TWO))
    assert {"unit_switch", "disconnect"} <= {each.device for each in made.devices}
    assert {"unit_switch.line1", "unit_switch.line2"} <= set(made.points)
    read = {(r.red, r.black) for step in made.steps for r in step.readings if r.expects == "dead"}
    assert ("unit_switch.line1", "unit_switch.line2") in read


# --- time-delay board ----------------------------------------------------------------------------


def starts(story: Timeline) -> list[float]:
    """Seconds at which the compressor starts."""
    return [each.time_s for each in story.of("compressor") if each.does is Does.RUNS]


def test_a_rested_board_passes_the_call_within_5_seconds_and_waits_5_minutes_after_a_stop() -> None:
    """Off for more than its time: contactor at 0-5 s; else at the rest of its 300 s."""
    off, on = Change(600.0, demand="off"), Change(660.0, demand="cool")
    story = sequence(plan(BOARD), CALLING, horizon_s=1200.0, changes=[off, on])
    first, again = starts(story)
    assert first < 5.0
    assert again == pytest.approx(600.0 + 300.0, abs=2.0)


def test_a_board_that_had_no_power_waits_before_it_lets_anything_start() -> None:
    cut = Change(600.0, positions={"indoor_breaker": 0})
    back = Change(630.0, positions={"indoor_breaker": 1})
    story = sequence(plan(BOARD), CALLING, horizon_s=1200.0, changes=[cut, back])
    assert starts(story)[1] == pytest.approx(630.0 + 300.0, abs=2.0)


def test_a_board_tries_as_often_as_it_may_and_then_locks_until_the_call_goes() -> None:
    """An outdoor fan that does not turn opens the high-pressure switch at each try."""
    stalled = {("fan", "seized"): np.array([1.0])}
    off, on = Change(3600.0, demand="off"), Change(4200.0, demand="cool")
    story = sequence(plan(BOARD), CALLING, stalled, horizon_s=4260.0, changes=[off, on])
    tries = starts(story)
    assert len([each for each in tries if each < 3600.0]) == 3
    assert all(later - each > 300.0 for each, later in pairwise(tries))
    assert tries[3] == pytest.approx(4200.0, abs=2.0)


def test_a_dead_board_has_y_and_r_and_nothing_at_cc_whatever_the_wait() -> None:
    dead, good = with_fault(BOARD, "delay_board.dead", CALLING), solved(BOARD)
    for terminal in ("R", "Y"):
        assert 24.0 <= volt(dead, f"delay_board.{terminal}", "delay_board.C") <= 28.0
    assert volt(dead, "delay_board.CC", "delay_board.C") < 0.1
    drop = volt(good, "delay_board.Y", "delay_board.CC")
    assert 0.0 < drop < 1.0  # within a volt of Y while it passes the call


def test_a_board_without_its_c_never_times_and_the_unit_stays_silent() -> None:
    cut = solve(plan(BOARD), CALLING.without_leads(frozenset({("c_delay", "end")})))
    assert does(cut)["compressor"] == "is off"


def test_r_stands_in_the_cabinet_without_a_call_and_is_told_to_stay_live() -> None:
    assert volt(solved(BOARD, "standby"), "delay_board.R", "delay_board.C") > 24.0
    made = isolate(arrangement(BOARD))
    assert any("30 V with or without a call" in each.text for each in made.cautions)
    told = [each for each in made.stays_live if each.within]
    assert ["delay_board.R" in each.terminals for each in told if each.kind == "control"] == [True]


# --- PTC start assist ----------------------------------------------------------------------------


def test_a_hot_ptc_passes_5_to_15_milliamps_at_300_to_400_volts() -> None:
    running = solved(PTC)
    assert 0.005 <= amp(running, "start_assist", "body") <= 0.015
    assert 300.0 <= volt(running, "capacitor.HERM", "capacitor.C") <= 400.0


def test_a_ptc_helps_a_cold_start_and_again_only_after_3_to_5_minutes() -> None:
    """At least 3 min off before it works again (a compressor maker's policy sheet)."""
    again = {}
    for minutes in (1, 2.9, 5):
        off, on = Change(600.0, demand="off"), Change(600.0 + 60 * minutes, demand="cool")
        story = sequence(plan(PTC), CALLING, horizon_s=930.0, changes=[off, on])
        again[minutes] = [each.does for each in story.of("compressor") if each.does is not None]
    assert again[1][:1] == again[5][:1] == [Does.RUNS]
    assert {minutes: does[2] for minutes, does in again.items()} == {
        1: Does.HUMS, 2.9: Does.HUMS, 5: Does.RUNS,
    }  # fmt: skip


@pytest.mark.parametrize("fault", ["open", "still_hot"])
def test_without_its_ptc_the_compressor_hums_and_its_overload_opens(fault: str) -> None:
    assert does(with_fault(PTC, f"start_assist.{fault}", STARTING))["compressor"] == "hums"
    assert does(with_fault(PTC, f"start_assist.{fault}", CALLING))["compressor"] == "is off"


def test_nobody_counts_on_a_ptc_to_empty_the_run_capacitor() -> None:
    plain, helped = isolate(arrangement("one_pole_heater")), isolate(arrangement(PTC))
    held = [[(c.peak_v, c.own_bleed_ohm) for c in made.charges] for made in (plain, helped)]
    assert held[0] == held[1]


# --- condensate pump -----------------------------------------------------------------------------


@pytest.mark.parametrize("fault", ["pump.dead", "pump.slimed", "outlet.out"])
def test_what_stops_the_pump_stops_the_outdoor_unit_and_leaves_the_blower_on(fault: str) -> None:
    """24 to 28 V across its tripped switch, none across a closed one."""
    found = with_fault(PUMP, fault, CALLING)
    told = does(found)
    assert (told["compressor"], told["fan"], told["blower"]) == ("is off", "is off", "runs")
    assert 24.0 <= volt(found, "pump.com", "pump.nc") <= 28.0
    assert volt(solved(PUMP), "pump.com", "pump.nc") < 0.1


def test_an_outlet_that_trips_stops_the_unit_only_once_the_tank_is_full() -> None:
    trips, back = Change(600.0, positions={"outlet": 0}), Change(2400.0, positions={"outlet": 1})
    story = sequence(plan(PUMP), CALLING, horizon_s=2700.0, changes=[trips, back])
    moved = {each.does: each.time_s for each in story.of("compressor") if each.does is not None}
    assert moved[Does.OFF] == pytest.approx(600.0 + 1200.0, abs=2.0)
    assert 2400.0 < moved[Does.RUNS] < 2500.0


def test_y_on_no_instead_of_nc_never_lets_a_dry_unit_run() -> None:
    wrong = changed(f'arrangement = "{PUMP}"\n[[wires]]\nname = "y_field"\n'
                    'from = "pump.no"\nto = "y_splice.1"\n')  # fmt: skip
    told = does(solve(Plan(wrong), CALLING))
    assert (told["compressor"], told["blower"]) == ("is off", "runs")
    assert "pump.y_field_on_no" in {each.id for each in SuspectSet(arrangement(PUMP))}


def test_the_cord_of_the_pump_is_a_source_of_its_own() -> None:
    off = solve(plan(PUMP), STANDBY.opened("indoor_breaker"))
    assert volt(off, "pump.L") == pytest.approx(120.0, rel=0.03)
    made = isolate(arrangement(PUMP), scope="indoor")
    assert {"outlet", "service_switch"} <= {each.device for each in made.devices}


# --- fan-cycling pressure switch -----------------------------------------------------------------


@pytest.mark.parametrize(("outdoor_c", "most_s"), [(27.0, 60.0), (8.0, 120.0)])
def test_the_outdoor_fan_stands_for_20_to_120_s_while_the_compressor_runs(
    outdoor_c: float, most_s: float
) -> None:
    """Longer where it is cooler; the pressure rises by the unit's own heat side."""
    day = replace(CALLING, ambient_c=outdoor_c)
    story = sequence(plan(CYCLING), day, horizon_s=300.0)
    (fan,) = [each.time_s for each in story.of("fan") if each.does is Does.RUNS]
    assert 20.0 <= fan <= most_s
    assert starts(story)[0] < 5.0


def test_on_a_cold_day_the_fan_stops_and_comes_again_and_the_compressor_runs_on() -> None:
    story = sequence(plan(CYCLING), replace(CALLING, ambient_c=2.0), horizon_s=900.0)
    told = [each.does for each in story.of("fan") if each.does is not None]
    assert told[:3] == [Does.RUNS, Does.OFF, Does.RUNS]
    assert [each.does for each in story.of("compressor") if each.does is not None] == [Does.RUNS]


def test_a_switch_that_never_closes_has_the_line_across_it_until_the_pressure_stops_the_unit() -> (
    None
):
    first = with_fault(CYCLING, "fan_switch.open", STARTING)
    assert (does(first)["compressor"], does(first)["fan"]) == ("runs", "is off")
    assert volt(first, "fan_switch.1", "fan_switch.2") == pytest.approx(240.0, rel=0.03)
    later = with_fault(CYCLING, "fan_switch.open", CALLING)
    assert later.state(("high_pressure", "opened"))[0] > 0
    assert "start-across-fan_switch-1-2" in {c.card.id for c in checks_of(arrangement(CYCLING))}


# --- a coil on line volts ------------------------------------------------------------------------

COIL = ("contactor.coil1", "contactor.coil2")


def test_a_120_volt_coil_has_25_times_the_ohms_of_a_24_volt_one() -> None:
    """(120/24)² = 25; 180 to 500 Ω by make at 120 V, 700 to 2000 at 240 V."""
    own = plan(LINE).defaults[("contactor", "coil_ohm")]
    assert own == pytest.approx(25.0 * plan(TWO).defaults[("contactor", "coil_ohm")])
    assert 180.0 <= own <= 500.0
    at_240 = changed(f'arrangement = "{LINE}"\n[parts.contactor]\ncoil_volt = 240\n')
    assert 700.0 <= Plan(at_240).defaults[("contactor", "coil_ohm")] <= 2000.0
    assert 85.0 * 1.2 <= volt(solved(LINE), *COIL) <= 110.0 * 1.2  # 85 to 110%, IEC 60947-4-1


def test_a_coil_is_refused_whose_ohms_are_those_of_other_volts() -> None:
    ohm = "[parts.contactor]\ncoil_volt = {}\ncoil_ohm = {}\n"
    changed(f'arrangement = "{LINE}"\n{ohm.format(120, 300)}')
    for volts, ohms in ((24, 300), (120, 13)):
        with pytest.raises(BadUnitFile, match="has other ohms"):
            changed(f'arrangement = "{LINE}"\n{ohm.format(volts, ohms)}')


def test_a_lost_neutral_leaves_120_volts_to_ground_on_both_ends_of_the_coil_and_none_across() -> (
    None
):
    lost = solve(plan(LINE), CALLING.without_leads(frozenset({("coil_neutral", "end")})))
    assert does(lost)["compressor"] == "is off"
    assert [volt(lost, end) for end in COIL] == pytest.approx([120.0, 120.0], rel=0.05)
    assert volt(lost, *COIL) < 1.0


def test_a_24_volt_coil_on_120_volts_burns_and_a_120_volt_coil_on_24_never_moves() -> None:
    """About 3.6 A before its plunger is in, 1.6 A after: 5 times its volts, 25 times its heat."""
    wrong = with_fault(LINE, "contactor.coil_wrong_volts", CALLING)
    assert 1.0 < amp(wrong, "contactor", "coil") < 4.0
    assert volt(wrong, *COIL) > COIL_OVER_VOLT * wrong.batch.number(("contactor", "coil_volt"))
    other = changed('arrangement = "two_pole_plain"\n[parts.contactor]\ncoil_volt = 120\n')
    assert does(solve(Plan(other), CALLING))["compressor"] == "is off"


def test_the_coil_and_its_switches_stay_live_behind_an_open_outdoor_disconnect() -> None:
    open_ = solve(plan(LINE), CALLING.opened("disconnect"))
    assert volt(open_, "contactor.coil1") == pytest.approx(120.0, rel=0.05)
    made = isolate(arrangement(LINE))
    assert {"disconnect", "service_switch"} <= {each.device for each in made.devices}
    assert not [each for each in made.cautions if "Control wires" in each.text]


def test_no_check_of_a_line_volt_coil_is_told_as_a_24_volt_one() -> None:
    cards = [check.card for check in checks_of(arrangement(LINE)) if check.card.live]
    assert not [card.id for card in cards if any("24 V" in each.text for each in card.cautions)]
    coil = next(card for card in cards if card.id == "volts-coil")
    assert coil.cautions[0].signal == "DANGER"


@pytest.mark.parametrize(("name", "told"), [(LINE, "the 120 V of its control circuit"),
                                            (TWO, "the 24 V from indoors")])  # fmt: skip
def test_before_a_wire_moves_the_supply_of_its_control_is_told_by_its_volts(
    name: str, told: str
) -> None:
    record = wires_from(Document('title = "contactor"\npart = "contactor"\n', file="wires"),
                        arrangement(name))  # fmt: skip
    assert told in cautions(arrangement(name), record)[0].text


def test_nothing_in_it_waits_so_that_a_start_comes_at_once() -> None:
    off, on = Change(600.0, demand="off"), Change(610.0, demand="cool")
    story = sequence(plan(LINE), CALLING, horizon_s=640.0, changes=[off, on])
    assert starts(story)[1] - 610.0 < 5.0
