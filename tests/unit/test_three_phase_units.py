"""Three-phase rooftop units do what the trade says of them: healthy, a leg lost, swapped, low.

The expected readings are common practice where no figure stands beside them (no source); leg-to-leg
volts with a leg lost are those of a star of equal loads: 208, 104 and 104 V of 208Y/120 V.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from tests.circuit.balance import kirchhoff_residual, power_residual

from rungwise.circuit.condition import CALLING, COLD_STANDBY, STANDBY, STARTING, Condition
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.circuit.states_of_loads import loads_of
from rungwise.diagnosis.visual_checks import turns
from rungwise.drawing import ladder, panel
from rungwise.errors import BadUnitFile
from rungwise.faults import SuspectSet
from rungwise.isolation import isolate
from rungwise.replacement import Verdict, fit, read_candidates
from rungwise.replacement.nec.unbalance import unbalance
from rungwise.replacement.plate import plate_of
from rungwise.unit.unit_file import arrangement, read_unit

ROOFTOPS = ("rooftop_208", "rooftop_460", "rooftop_high_leg", "rooftop_400_50hz")
EVERY = (*ROOFTOPS, "split_230_50hz")
PAIRS = (("L1", "L2"), ("L2", "L3"), ("L3", "L1"))


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


def settled(
    name: str, condition: Condition = CALLING, values: Mapping[Key, float] | None = None
) -> Solution:
    drawn = {key: np.atleast_1d(number) for key, number in (values or {}).items()}
    return solve(plan(name), condition, drawn)


def does(solution: Solution) -> dict[str, str]:
    return {each.part: each.does.words for each in loads_of(solution)}


def volt(solution: Solution, a: str, b: str) -> float:
    return float(np.abs(solution.volt(a, b))[0])


def legs(solution: Solution, part: str = "contactor", side: str = "L") -> list[float]:
    ends = [(f"{part}.{side}{a[1]}", f"{part}.{side}{b[1]}") for a, b in PAIRS]
    return [volt(solution, *each) for each in ends]


def to_ground(solution: Solution) -> list[float]:
    return [volt(solution, f"contactor.L{n}", "@earth") for n in (1, 2, 3)]


def amps(solution: Solution, part: str = "compressor") -> list[float]:
    motor = solution.plan.motors[part]
    return [float(np.abs(solution.element_amp((part, lead)))[0]) for lead in motor.leads]


@pytest.mark.parametrize("name", ROOFTOPS)
def test_a_call_runs_everything_on_even_legs(name: str) -> None:
    call = settled(name)
    assert set(does(call).values()) == {"runs", "is off"}
    assert does(call)["heater"] == "is off"
    assert unbalance(legs(call)) < 0.02
    drawn = amps(call)
    assert max(drawn) < 1.1 * min(drawn)
    plate = arrangement(name).part("compressor").number("rated_a")
    assert 0.6 * plate < max(drawn) < plate
    assert 23.0 < volt(call, "board.R", "board.C") < 29.0


@pytest.mark.parametrize("name", ROOFTOPS)
def test_thermostat_off_nothing_turns_and_the_heater_heats_on_a_cold_day(name: str) -> None:
    assert set(does(settled(name, STANDBY)).values()) == {"is off"}
    assert does(settled(name, COLD_STANDBY))["heater"] == "heats"


def test_single_phase_loads_put_an_amp_more_on_their_two_legs_at_the_disconnect() -> None:
    call = settled("rooftop_208")
    through = [float(np.abs(call.element_amp(("disconnect", f"pole{n}")))[0]) for n in (1, 2, 3)]
    assert 0.7 < min(through[:2]) - through[2] < 3.0
    assert max(amps(call)) - min(amps(call)) < 0.2


def test_a_high_leg_is_healthy_at_208_v_to_ground_and_240_v_to_each_other() -> None:
    """√3/2 of 240 V: 207.85 V."""
    rest = settled("rooftop_high_leg", STANDBY)
    assert to_ground(rest) == pytest.approx([120.0, 207.85, 120.0], abs=0.3)
    assert legs(rest) == pytest.approx([240.0] * 3, abs=0.3)


@pytest.mark.parametrize("leg", [1, 2])
def test_a_lost_leg_under_the_transformer_looks_alive_to_ground_and_leaves_all_dark(
    leg: int,
) -> None:
    """Transformer and heater feed the dead leg from the other: 120 V to ground, none across."""
    call = settled("rooftop_208", CALLING, {("disconnect", f"open{leg}"): 1.0})
    assert set(does(call).values()) == {"is off"}
    assert legs(call)[0] < 1.0
    assert to_ground(call)[leg - 1] == pytest.approx(120.0, abs=1.0)
    assert volt(call, "board.R", "board.C") < 1.0


def test_a_lost_third_leg_reads_half_and_the_phase_monitor_keeps_the_compressor_off() -> None:
    call = settled("rooftop_208", STARTING, {("disconnect", "open3"): 1.0})
    assert does(call)["compressor"] == "is off"
    whole, *halves = legs(call)
    assert halves == pytest.approx([whole / 2] * 2, rel=0.02)
    assert to_ground(call)[2] == pytest.approx(60.0, abs=2.0)
    assert volt(call, "phase_monitor.com", "phase_monitor.no") > 20.0
    assert volt(call, "board.Y", "board.C") > 20.0


def test_the_dip_of_two_compressors_that_start_at_once_leaves_the_phase_monitor_in() -> None:
    """A monitor waits some seconds on low volts; one that has not closed stays out on them."""
    start = settled("rooftop_two_compressors", STARTING, {("service", "leg_volt"): 114.0})
    assert not any(np.any(turned) for turned in start.chatter.values())
    assert does(start)["compressor_2"] == "runs"
    low = settled("rooftop_208", STARTING, {("service", "leg_volt"): 98.0})
    assert low.state(("phase_monitor", "good"))[0] == 0.0


def test_what_runs_in_the_building_pulls_a_lost_leg_to_either_of_the_others() -> None:
    """On a delta without a neutral: halfway with even loads, and by their ohms otherwise."""
    unit_off = STANDBY.opened("breaker")
    dead = []
    for skew in (1.0, 0.4, 2.5):
        lost = {("service", "l1_lost"): 1.0, ("service", "apart_skew"): skew}
        dead.append(volt(settled("rooftop_corner", unit_off, lost), "service.L1", "service.L2"))
    assert dead[0] == pytest.approx(120.0, rel=0.03)
    assert dead[1] < 0.6 * dead[0] < 1.4 * dead[0] < dead[2]


def test_a_burnt_pole_lets_the_compressor_growl_at_0_866_of_its_locked_amps() -> None:
    start = settled("rooftop_208", STARTING, {("contactor", "open3"): 1.0})
    assert does(start)["compressor"] == "hums"
    two, third = amps(start)[:2], amps(start)[2]
    locked = 110.0 * volt(start, "compressor.T1", "compressor.T2") / 230.0
    assert two == pytest.approx([np.sqrt(3) / 2 * locked] * 2, rel=0.02)
    assert third == pytest.approx(0.0, abs=0.01)
    call = settled("rooftop_208", CALLING, {("contactor", "open3"): 1.0})
    assert call.state(("compressor", "tripped"))[0] == 1.0
    assert does(call)["blower"] == "runs"


def test_a_compressor_that_runs_already_goes_on_with_a_leg_less_at_nearly_twice_its_amps() -> None:
    """1.6 to 2.0 times near full load; the dead lead keeps 60 to 94% of the volts."""
    values = {
        ("contactor", "open3"): np.atleast_1d(1.0),
        ("compressor", "trip_ratio"): np.atleast_1d(3.0),
    }
    before = settled("rooftop_208")
    alone = solve(plan("rooftop_208"), STARTING, values, earlier=before)
    assert does(alone)["compressor"] == "runs"
    assert 1.6 < amps(alone)[0] / amps(before)[0] < 2.1
    whole = volt(alone, "compressor.T1", "compressor.T2")
    shares = [volt(alone, f"compressor.T{n}", "compressor.T3") / whole for n in (1, 2)]
    assert 0.6 < min(shares) < max(shares) < 0.97


def test_swapped_legs_are_kept_out_by_the_monitor_and_turn_the_blower_backwards() -> None:
    call = settled("rooftop_208", CALLING, {("service", "legs_turned"): 1.0})
    assert does(call)["compressor"] == "is off"
    assert does(call)["blower"] == "runs backwards"
    assert turns(call, "blower")[0] == 1.0, "to the eye it turns"


def test_a_scroll_that_turns_backwards_draws_clearly_fewer_amps_and_builds_no_pressure() -> None:
    turned = {("service", "legs_turned"): 1.0, ("phase_monitor", "welded"): 1.0}
    call = settled("rooftop_208", CALLING, turned)
    assert does(call)["compressor"] == "runs backwards"
    assert max(amps(call)) < 0.75 * min(amps(settled("rooftop_208")))
    assert call.state(("compressor", "condensing_c"))[0] == pytest.approx(46.0)


def test_two_compressor_leads_swapped_turn_it_backwards_though_the_monitor_is_satisfied() -> None:
    unit = arrangement("rooftop_208")
    suspects = SuspectSet(unit)
    (swapped,) = [each for each in suspects if each.id == "compressor.swapped_t1_t2"]
    values = {k: np.atleast_1d(v) for k, v in suspects.typical(swapped).items()}
    call = solve(suspects.plan, CALLING, values)
    assert does(call)["compressor"] == "runs backwards"
    assert does(call)["blower"] == "runs"


def test_a_low_leg_draws_amps_uneven_by_six_to_eleven_times_its_own_unbalance() -> None:
    sag = settled("rooftop_208", STARTING, {("service", "l2_sag"): 0.04})
    ratio = unbalance(amps(sag)) / unbalance(legs(sag, "compressor", "T"))
    assert 5.0 < ratio < 11.0


def test_an_unbalance_beyond_its_dial_opens_the_phase_monitor() -> None:
    even, low = (settled("rooftop_208", CALLING, {("service", "l2_sag"): share})
                 for share in (0.03, 0.2))  # fmt: skip
    assert does(even)["compressor"] == "runs"
    assert does(low)["compressor"] == "is off"


def test_a_monitor_that_waits_stays_in_while_a_motor_stands_on_one_weak_leg() -> None:
    """Its own amps leave the legs uneven by five or six percent on a soft open delta."""
    weak, dial = {("contactor", "contact1_ohm"): 3.0}, {("phase_monitor", "unbalance"): 0.045}
    kept = settled("rooftop_open_delta", STARTING, weak | dial)
    assert does(kept)["compressor"] == "hums"
    at_once = weak | dial | {("phase_monitor", "rides_out"): 0.0}
    start = settled("rooftop_open_delta", STARTING, at_once)
    assert does(start)["compressor"] == "is off"


def test_a_safety_that_opens_is_locked_out_though_it_closes_again() -> None:
    """Coil 300 Ω over the chain: some 22 V or more on it, 1 to 2.5 V left for the contactor."""
    tripped = settled("rooftop_208", CALLING.opened("high_pressure"))
    assert tripped.state(("lockout", "locked"))[0] == 1.0
    assert volt(tripped, "lockout.coil1", "lockout.coil2") > 21.0
    assert 1.0 < volt(tripped, "contactor.coil1", "contactor.coil2") < 2.5
    closed = solve(plan("rooftop_208"), CALLING, {}, earlier=tripped)
    assert does(closed)["compressor"] == "is off"
    assert does(closed)["blower"] == "runs"
    again = solve(plan("rooftop_208"), CALLING, {}, earlier=settled("rooftop_208", STANDBY))
    assert does(again)["compressor"] == "runs"


def test_a_plain_relay_in_its_place_locks_less_surely_at_sagged_volts() -> None:
    """154 Ω: 19.8 V and 4.2 V at a good supply (worked out by hand, no source)."""
    values = {("lockout", "coil_ohm"): 154.0, ("lockout", "coil_henry"): 0.36}
    plain = settled("rooftop_208", CALLING.opened("high_pressure"), values)
    usual = settled("rooftop_208", CALLING.opened("high_pressure"))
    ends = ("lockout.coil1", "lockout.coil2")
    assert volt(plain, *ends) < volt(usual, *ends) - 1.0
    sagged = {**values, ("service", "leg_volt"): 84.0}
    assert (
        settled("rooftop_208", CALLING.opened("high_pressure"), sagged).state(
            ("lockout", "locked")
        )[0]
        == 0.0
    )


def test_a_blown_control_fuse_leaves_all_dark_with_good_legs() -> None:
    call = settled("rooftop_460", CALLING, {("control_fuses", "open1"): 1.0})
    assert set(does(call).values()) == {"is off"}
    assert min(legs(call)) > 470.0
    assert volt(call, "control_fuses.line1", "control_fuses.load1") > 400.0


def test_400_v_three_phase_has_230_v_to_neutral_for_fan_heater_and_transformer() -> None:
    call = settled("rooftop_400_50hz")
    assert volt(call, "fan.C", "fan.R") == pytest.approx(230.0, rel=0.02)
    assert volt(call, "contactor.L1", "contactor.L2") == pytest.approx(400.0, rel=0.02)
    assert volt(call, "neutral.N", "@earth") < 3.0


def test_a_lost_neutral_ahead_of_the_panel_shifts_what_lies_between_line_and_neutral() -> None:
    """Loads of a star share the volts by their ohms; motors on three lines do not feel it."""
    lost = {("service", "neutral_lost"): 1.0, ("service", "house_l1_ohm"): 12.0}
    rest = settled("rooftop_400_50hz", STANDBY, lost)
    to_neutral = [volt(rest, f"contactor.L{n}", "neutral.N") for n in (1, 2, 3)]
    assert max(to_neutral) - min(to_neutral) > 40.0
    assert legs(rest) == pytest.approx([398.4] * 3, abs=2.0)


def test_an_overload_relay_takes_the_blower_off_until_a_hand_resets_it() -> None:
    dragging = {("blower", "load_ratio"): 1.6, ("blower", "trip_ratio"): 3.0}
    call = settled("rooftop_400_50hz", CALLING, dragging)
    assert call.state(("overload", "tripped"))[0] == 1.0
    assert does(call)["blower"] == "is off"
    # Without indoor air the suction pressure falls, the switch opens and the unit is locked out.
    assert call.state(("lockout", "locked"))[0] == 1.0
    assert volt(call, "overload.95", "overload.96") > 20.0
    again = solve(plan("rooftop_400_50hz"), CALLING, {}, earlier=call)
    assert does(again)["blower"] == "is off"


def test_a_50_hz_unit_with_neutral_runs_and_its_neutral_stays_near_ground() -> None:
    call = settled("split_230_50hz")
    assert {does(call)[part] for part in ("compressor", "fan", "blower")} == {"runs"}
    assert volt(call, "contactor.L1", "@earth") == pytest.approx(230.0, abs=5.0)
    assert volt(call, "contactor.L2", "@earth") < 3.0


def test_with_the_neutral_off_both_ends_of_a_50_hz_unit_read_live_to_earth() -> None:
    call = settled("split_230_50hz", CALLING, {("disconnect", "open2"): 1.0})
    assert does(call)["compressor"] == "is off"
    line, neutral = (volt(call, f"contactor.{end}", "@earth") for end in ("L1", "L2"))
    assert min(line, neutral) > 200.0
    assert volt(call, "contactor.L1", "contactor.L2") < 5.0


@pytest.mark.parametrize("name", EVERY)
def test_the_laws_hold(name: str) -> None:
    call = settled(name)
    assert kirchhoff_residual(call)[0] < 1e-6
    assert power_residual(call)[0] < 1e-6


@pytest.mark.parametrize("name", ROOFTOPS)
def test_one_disconnect_makes_the_whole_cabinet_dead(name: str) -> None:
    made = isolate(arrangement(name))
    assert made.refusals == ()
    told = " ".join(each.text for each in made.cautions)
    assert "wires contradict" not in told
    read = repr(made.steps)
    for part in ("contactor", "blower_contactor", "control_fuses", "phase_monitor", "blower",
                 "fan_capacitor", "transformer", "heater"):  # fmt: skip
        assert f"'{part}." in read, part


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("scope", ["cabinet", "disconnect", "everything"])
def test_each_is_made_dead_in_every_scope(name: str, scope: str) -> None:
    made = isolate(arrangement(name), scope=scope)
    assert made.refusals == ()
    assert made.steps


def test_every_wire_is_drawn_in_both_pictures() -> None:
    """Of one: a cabinet of this size takes its time; the others differ in volts and colors."""
    told = ladder(arrangement("rooftop_208")).svg
    assert "208 V, three phases" in told
    assert "not drawn" not in told + panel(arrangement("rooftop_208")).svg


@pytest.mark.parametrize("name", EVERY)
def test_its_own_plate_breaks_no_rule(name: str) -> None:
    assert plate_of(arrangement(name)).stands


@pytest.mark.parametrize("name", ["rooftop_208", "rooftop_high_leg"])
def test_ngspice_finds_the_same_volts_with_faults_of_the_new_kinds(name: str) -> None:
    """Within 0.1% or 1 mV, as for every arrangement."""
    suspects = SuspectSet(arrangement(name))
    own = ("service", "compressor", "phase_monitor", "lockout", "control_fuses")
    chosen = [each for each in suspects if each.block in own and ">" not in each.id][::2]
    assert len(chosen) > 15
    values = {key: drawn.copy() for key, drawn in suspects.particles(chosen, 1).items()}
    solved = solve(suspects.plan, STARTING, values, len(chosen))
    found = run_many(netlists(solved))
    for node, ours in zip(names_of(suspects.plan).node, solved.volts[:-1], strict=True):
        theirs = np.array([each.volts[node] for each in found])
        assert np.allclose(ours, theirs, rtol=1e-3, atol=1e-3), node


CANDIDATES = """
[[candidates]]
name = "three poles"
for = "contactor"
kind = "contactor_3p"
coil_volt = 24
fla_a = 40
lra_a = 240
resistive_a = 50
[[candidates]]
name = "two poles"
for = "contactor"
kind = "contactor_2p"
coil_volt = 24
fla_a = 40
lra_a = 240
resistive_a = 50
[[candidates]]
name = "line-volts coil"
for = "contactor"
kind = "contactor_3p"
coil_volt = 240
fla_a = 40
lra_a = 240
resistive_a = 50
[[candidates]]
name = "made for 460 V"
for = "compressor"
kind = "compressor_3ph"
rated_volt = 460
rated_a = 7.8
locked_a = 52
[[candidates]]
name = "larger fuse"
for = "control_fuses"
kind = "fuse_block_2p"
fuse_a = 3
"""


def test_only_the_contactor_with_three_poles_and_a_24_v_coil_serves(tmp_path: Path) -> None:
    file = tmp_path / "van.toml"
    file.write_text(CANDIDATES, encoding="utf-8")
    unit = arrangement("rooftop_208")
    found = {each.candidate.name: each for each in fit(unit, read_candidates(file, unit))}
    assert found["three poles"].verdict is Verdict.SERVES
    for name in ("two poles", "line-volts coil", "made for 460 V", "larger fuse"):
        assert found[name].verdict is Verdict.NOT, name
    two = " ".join(reason.text for reason in found["two poles"].reasons)
    assert "finds no terminal" in two


@pytest.mark.parametrize(
    ("base", "line", "told"),
    [
        ("two_pole_plain", "phases = 3", "a phase too many"),
        ("rooftop_208", "phases = 1", "phases too few"),
        ("rooftop_208", "volt = 460", "460 V"),
        ("two_pole_plain", "volt = 460", "460 V"),
        ("rooftop_460", "hz = 50", "50 Hz"),
        ("rooftop_460", "herm_uf = 45", "no part for it"),
    ],
)
def test_a_plate_of_another_supply_is_refused_in_circuit_words(
    tmp_path: Path, base: str, line: str, told: str
) -> None:
    file = tmp_path / "unit.toml"
    file.write_text(f'arrangement = "{base}"\n[nameplate]\n{line}\n', encoding="utf-8")
    with pytest.raises(BadUnitFile, match=told):
        read_unit(file)


@pytest.mark.parametrize(
    ("plate", "mca", "device"),
    [
        ("rla_a = 16.1\nfan_fla_a = 1.0", 26.3, 40),
        ("rla_a = 17.9\nfan_fla_a = 1.5", 29.1, 45),
    ],
)
def test_the_circuit_of_a_plate_is_the_one_that_makers_print(
    tmp_path: Path, plate: str, mca: float, device: int
) -> None:
    """Two rows of makers' labels, 208/230-3: RLA + fan + 5.2 A blower -> MCA, device; ±0.1 A."""
    file = tmp_path / "unit.toml"
    text = f'arrangement = "rooftop_208"\n[nameplate]\n{plate}\n[parts.heater]\nwatt = 10\n'
    file.write_text(text, encoding="utf-8")
    found = plate_of(read_unit(file))
    assert found.mca_a == pytest.approx(mca, abs=0.1)
    assert found.device.size_a == device
