"""Air handlers and furnaces do what the trade says of them, each figure from the solution.

Healthy readings, behavior per call and what stays live: the trade's own figures, common practice,
no source, unless said otherwise.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from tests.drawing.test_ladder import clashes
from tests.wide import some

from rungwise.circuit.condition import CALLING, HEATING, STANDBY, Condition, call_for_heat
from rungwise.circuit.event_sequence import Change, sequence
from rungwise.circuit.meter import LOW_Z_VOLTS, Leads, loaded_volts
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.states_of_loads import loads_of
from rungwise.diagnosis.checks import checks_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.isolation import isolate
from rungwise.parts import EARTH
from rungwise.replacement import plate_of
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.fit_rules import fit
from rungwise.unit.unit_file import arrangement

RELAY = "air_handler_relay"
BOARD = "air_handler_fan_board"
HEAT_10, HEAT_15 = "air_handler_heat_10kw", "air_handler_heat_15kw"
FLOAT_STAT, FLOAT_BOARD = "air_handler_float_in_thermostat_r", "air_handler_float_ahead_of_board"
TAPS, AIRFLOW = "air_handler_taps", "air_handler_airflow"
LEAK, ZONES = "air_handler_leak_guard", "air_handler_zone_panel"
NAMES = (RELAY, BOARD, HEAT_10, HEAT_15, FLOAT_STAT, FLOAT_BOARD, TAPS, AIRFLOW, LEAK, ZONES)
HEATED = (HEAT_10, HEAT_15)
ELECTRONIC = (TAPS, AIRFLOW)

FAN = Condition("fan", "fan")
LEG_208_V = 104.0
"""Half of 208 V between the legs, which is what an element sees."""


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


@cache
def solved(name: str, condition: str) -> Solution:
    called = call_for_heat(plan(name).unit.demands)
    heat = () if called is None else (replace(called, name="heating"),)
    named = {each.name: each for each in (CALLING, STANDBY, FAN, *heat)}
    return solve(plan(name), named[condition])


@cache
def story(name: str, condition: str) -> tuple[tuple[float, str], ...]:
    asked = solved(name, condition).condition
    told = sequence(plan(name), asked, horizon_s=1200.0, changes=[Change(600.0, demand="off")])
    return tuple((moment.time_s, moment.what) for moment in told.moments)


def when(name: str, condition: str, what: str) -> float:
    """Seconds after the call, or after its end, at which something happens."""
    times = [at for at, told in story(name, condition) if told.startswith(what)]
    assert len(times) == 1, what
    return times[0] - (600.0 if times[0] >= 600.0 else 0.0)


def volt(solution: Solution, a: str, b: str = "@earth") -> float:
    return float(np.abs(solution.volt(a, b))[0])


def amp(solution: Solution, block: str, element: str = "path") -> float:
    return float(np.abs(solution.element_amp((block, element)))[0])


def does(name: str, condition: str) -> dict[str, str]:
    return {each.part: each.does.words for each in loads_of(solved(name, condition))}


# --- every one of them ---------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_on_a_call_for_cooling_everything_runs_and_without_one_nothing(name: str) -> None:
    motors = ("blower", "compressor", "fan")
    assert [does(name, "calling")[each] for each in motors] == ["runs"] * 3
    assert [does(name, "standby")[each] for each in motors] == ["is off"] * 3


@pytest.mark.parametrize(
    ("name", "scope"),
    [
        *((name, "everything") for name in NAMES),
        *product(some(NAMES, RELAY, TAPS), ("cabinet", "indoor")),
    ],
)
def test_every_cabinet_of_it_can_be_made_dead(name: str, scope: str) -> None:
    made = isolate(arrangement(name), scope=scope)
    assert made.refusals == ()
    assert made.steps


@pytest.mark.parametrize("name", some(NAMES, RELAY, TAPS))
def test_no_label_lies_on_another_in_its_pictures(name: str) -> None:
    unit = arrangement(name)
    assert clashes(ladder(unit)) == []
    cabinets = [panel(unit, place=each) for each in ("outdoor", "indoor", "room")]
    assert [overlaps(each.labels) for each in cabinets] == [()] * 3
    assert not [each for each in cabinets if "not drawn" in each.svg]


# --- 240 V, blower relay -------------------------------------------------------------------------


def test_an_air_handler_on_240_volts_has_120_volts_to_ground_on_each_leg_and_no_neutral() -> None:
    at_rest = solved(RELAY, "standby")
    assert volt(at_rest, "unit_breaker.load1", "unit_breaker.load2") == pytest.approx(240, rel=0.02)
    for leg in ("unit_breaker.load1", "unit_breaker.load2"):
        assert volt(at_rest, leg) == pytest.approx(120, rel=0.02)
    assert "neutral" not in arrangement(RELAY).part_by_name


def test_a_relay_in_one_leg_leaves_the_other_leg_on_the_blower_that_stands() -> None:
    """A still blower is not a dead one: 120 V to ground on every lead of it."""
    assert volt(solved(RELAY, "standby"), "blower.C") == pytest.approx(120, rel=0.02)
    assert volt(solved(RELAY, "standby"), "blower.R") == pytest.approx(120, rel=0.02)


def test_the_fan_alone_runs_on_g_and_leaves_the_outdoor_unit_off() -> None:
    told = does(RELAY, "fan")
    assert (told["blower"], told["compressor"], told["fan"]) == ("runs", "is off", "is off")


def test_a_good_blower_takes_60_to_95_percent_of_its_plate() -> None:
    rated = arrangement(RELAY).part("blower").values["rated_a"]
    assert 0.6 * rated <= amp(solved(RELAY, "calling"), "blower", "common") <= 0.95 * rated


def test_the_air_handlers_breaker_takes_the_24_volts_out_of_the_outdoor_unit() -> None:
    """And the outdoor disconnect does not: two sources."""
    off = solve(plan(RELAY), CALLING.opened("unit_breaker"))
    assert volt(off, "contactor.coil1", "contactor.coil2") < 0.1
    assert volt(off, "contactor.L1", "contactor.L2") == pytest.approx(240, rel=0.02)
    still = solve(plan(RELAY), CALLING.opened("disconnect"))
    assert volt(still, "contactor.coil1", "contactor.coil2") > 20.0


def test_the_plate_of_the_outdoor_unit_judges_no_breaker_of_the_air_handler() -> None:
    told = " ".join(each.text for each in plate_of(arrangement(RELAY)).findings)
    assert "outdoor breaker" in told
    assert "air" not in told.replace("air conditioning", "")


# --- fan board -----------------------------------------------------------------------------------


def test_a_fan_board_starts_the_blower_in_7_seconds_and_lets_it_run_on_45_to_90() -> None:
    """Windows seen on makers' sheets."""
    assert when(BOARD, "calling", "fan board starts the blower") <= 7.0
    assert 45.0 <= when(BOARD, "calling", "fan board lets the blower go") <= 90.0


def test_24_volts_at_g_and_no_volts_on_the_blower_are_the_board() -> None:
    broken = {("fan_board", "no_open"): np.asarray(1.0)}
    solution = solve(plan(BOARD), CALLING, broken)
    assert volt(solution, "fan_board.G", "fan_board.C") > 24.0
    assert volt(solution, "blower.R", "blower.C") < 1.0
    assert volt(solution, "fan_board.NO", "fan_board.COM") == pytest.approx(240, rel=0.03)


# --- electric heat -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", HEATED)
def test_on_a_call_for_heat_elements_and_blower_work_and_the_outdoor_unit_rests(name: str) -> None:
    told = does(name, "heating")
    assert [told[each] for each in ("blower", "compressor", "fan")] == ["runs", "is off", "is off"]
    elements = arrangement(name).roles.elements
    assert {told[each] for each in elements} == {"heats"}
    for rest in ("calling", "standby"):
        assert {does(name, rest)[each] for each in elements} == {"is off"}


@pytest.mark.parametrize("name", HEATED)
def test_an_element_takes_its_plates_amps_within_10_percent(name: str) -> None:
    """5 kW at 240 V: 20.833 A (supplier tables print 20.8), less what the run takes."""
    for part in arrangement(name).roles.elements:
        assert amp(solved(name, "heating"), part, "element") == pytest.approx(20.833, rel=0.1)


def test_an_element_for_240_volts_gives_three_quarters_of_its_watts_on_208() -> None:
    """(208/240)^2 = 0.7511 of the watts, by arithmetic, and 10/7.5 kW on makers' plates.

    The share holds whatever the run takes; the amps follow the element's own volts.
    """
    low = {("service", "leg_volt"): np.asarray(LEG_208_V)}
    heating = solved(HEAT_10, "heating").condition
    own = solve(plan(HEAT_10), heating, low)
    on_208, on_240 = (
        float(each.element_watt(("element_1", "element"))[0])
        for each in (own, solved(HEAT_10, "heating"))
    )
    assert on_208 / on_240 == pytest.approx(0.7511, abs=0.001)
    volts = volt(own, "element_1.1", "element_1.2")
    assert amp(own, "element_1", "element") == pytest.approx(volts / 11.52, rel=1e-3)


def test_elements_come_on_one_after_the_other_and_go_off_in_reverse() -> None:
    """H1-20 C40-110 and H30-110 C1-45, as printed on sequencers; the blower first and last."""
    first, second = (f"sequencer of element {n}" for n in (1, 2))
    assert 1.0 <= when(HEAT_10, "heating", f"{first} closes") <= 20.0
    assert 30.0 <= when(HEAT_10, "heating", f"{second} closes") <= 110.0
    assert 1.0 <= when(HEAT_10, "heating", f"{second} opens") <= 45.0
    assert 40.0 <= when(HEAT_10, "heating", f"{first} opens") <= 110.0
    blower = when(HEAT_10, "heating", "indoor blower motor starts and runs")
    assert blower < when(HEAT_10, "heating", f"{second} closes")
    assert when(HEAT_10, "heating", "indoor blower motor stops") > when(
        HEAT_10, "heating", f"{second} opens"
    )


def test_at_rest_both_ends_of_an_element_and_the_blower_read_120_volts_to_ground() -> None:
    """They hang on the other leg: off is not dead."""
    at_rest = solved(HEAT_10, "standby")
    for point in ("element_1.1", "element_1.2", "fan_board.COM"):
        assert volt(at_rest, point) == pytest.approx(120.0, rel=0.02)
    assert volt(at_rest, "element_1.1", "element_1.2") < 1.0


@pytest.mark.parametrize(
    ("fault", "a", "b"),
    [
        (("sequencer_2", "contact_open"), "sequencer_2.M1", "sequencer_2.M2"),
        (("limit_2", "held_open"), "limit_2.1", "limit_2.2"),
        (("element_2", "open"), "element_2.1", "element_2.2"),
        (("link_2", "held_open"), "link_2.1", "link_2.2"),
    ],
)
def test_what_is_open_in_the_way_of_an_element_has_240_volts_across_it(
    fault: tuple[str, str], a: str, b: str
) -> None:
    broken = solve(plan(HEAT_10), solved(HEAT_10, "heating").condition, {fault: np.asarray(1.0)})
    assert volt(broken, a, b) == pytest.approx(240.0, rel=0.05)
    assert amp(broken, "element_2", "element") < 0.01
    assert amp(broken, "element_1", "element") > 18.0


def test_a_welded_sequencer_heats_in_summer_and_never_lets_the_blower_stop() -> None:
    welded = solve(plan(HEAT_10), STANDBY, {("sequencer_1", "welded"): np.asarray(1.0)})
    told = {each.part: each.does.words for each in loads_of(welded)}
    assert (told["element_1"], told["element_2"], told["blower"]) == ("heats", "is off", "runs")


def test_jumping_the_blower_to_the_line_drives_the_first_element_back_through_nc() -> None:
    """COM joined to the line: NC is closed at rest, so that the line reaches the element."""
    unit = arrangement(HEAT_10)
    jumper = replace(
        unit.wire_by_name["blower_r"], name="jumper", start="unit_breaker.load1",
        end="fan_board.COM",
    )  # fmt: skip
    jumped = solve(Plan(replace(unit, wires=(*unit.wires, jumper))), STANDBY)
    assert amp(jumped, "element_1", "element") > 18.0


def test_the_supply_of_10_kw_is_sized_for_a_quarter_more_than_heat_and_blower() -> None:
    """1.25 x (41.7 + 2.5) = 55.2 A: the next breaker is 60 A, and 6 AWG carries it."""
    unit = arrangement(HEAT_10)
    least = 1.25 * (10000.0 / 240.0 + unit.part("blower").values["rated_a"])
    assert least == pytest.approx(55.2, abs=0.1)
    for breaker in ("indoor_breaker", "unit_breaker"):
        assert unit.part(breaker).values["rating_a"] == 60.0
    assert unit.wire_by_name["indoor_l1"].awg == 6


def test_readings_of_heat_are_offered_on_a_call_for_heat_and_not_on_one_for_cooling() -> None:
    cards = {each.card.id: each.card for each in checks_of(arrangement(HEAT_10))}
    wanted = {
        "heat-volts-board-W-C", "heat-volts-sequencer_1-H1-H2", "heat-drop-sequencer_2-M1-M2",
        "heat-drop-limit_1-1-2", "heat-drop-link_1-1-2", "heat-amps-heat_element_1",
        "idle-amps-heat_element_1", "look-blower-heat", "look-warm-air",
    }  # fmt: skip
    assert wanted <= set(cards)
    assert not {"drop-sequencer_1-M1-M2", "volts-board-W-C"} & set(cards)
    assert cards["heat-drop-limit_1-1-2"].setting == "heating"


# --- 15 kW on two supplies -----------------------------------------------------------------------


def test_15_kw_takes_41_7_amps_on_one_supply_and_20_8_on_the_other() -> None:
    """62.5 A in all at 240 V; the air handler's own supply feeds the blower too."""
    heating = solved(HEAT_15, "heating")
    blower = amp(heating, "blower", "common")
    assert amp(heating, "heat_l1") == pytest.approx(20.8, rel=0.1)
    assert amp(heating, "indoor_l1") == pytest.approx(41.7 + blower, rel=0.1)


def test_w_alone_brings_the_first_two_elements_and_w2_the_third() -> None:
    first = {each.part: each.does.words for each in loads_of(solve(plan(HEAT_15), HEATING))}
    assert [first[f"element_{n}"] for n in (1, 2, 3)] == ["heats", "heats", "is off"]
    assert first["blower"] == "runs"


def test_one_supply_off_leaves_the_other_on_its_own_lugs_and_takes_its_heat() -> None:
    """The second off leaves everything else; the first off takes the 24 V, and B stays live."""
    call = solved(HEAT_15, "heating").condition
    second = solve(plan(HEAT_15), call.opened("heat_breaker"))
    assert amp(second, "element_1", "element") > 18.0
    assert amp(second, "element_3", "element") < 0.01
    first = solve(plan(HEAT_15), call.opened("indoor_breaker"))
    assert amp(first, "element_3", "element") < 0.01
    for terminal in ("heat_relay_3.1", "heat_relay_3.3"):
        assert volt(first, terminal) == pytest.approx(120.0, rel=0.02)


def test_legs_of_the_two_supplies_read_nothing_or_240_volts_to_each_other() -> None:
    rest = solved(HEAT_15, "standby")
    assert volt(rest, "unit_breaker.load1", "unit_breaker_b.load1") < 1.0
    assert volt(rest, "unit_breaker.load1", "unit_breaker_b.load2") == pytest.approx(240, rel=0.02)


def test_isolation_of_the_indoor_unit_opens_and_proves_both_supplies() -> None:
    made = isolate(arrangement(HEAT_15), scope="indoor")
    proved = {each.device: each.proved_at_step for each in made.devices}
    assert {"unit_breaker", "unit_breaker_b"} <= {name for name, step in proved.items() if step}


def test_both_legs_are_switched_so_that_an_element_at_rest_has_no_live_end() -> None:
    """Behind two open poles it floats: a low-impedance meter reads nothing."""
    rest = solved(HEAT_15, "standby")
    seen = Leads(rest.batch, "ac").impedance_ohm("element_3.1", EARTH)
    found = loaded_volts(rest.volt("element_3.1", EARTH), seen, LOW_Z_VOLTS.burden_ohm)
    assert float(np.ravel(found)[0]) < 1.0


# --- float ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "blower", "board_v", "thermostat_v"),
    [(RELAY, "runs", 27.0, 27.0), (FLOAT_STAT, "is off", 27.0, 0.0), (FLOAT_BOARD, "is off", 0, 0)],
)
def test_water_stops_what_the_float_is_wired_into(
    name: str, blower: str, board_v: float, thermostat_v: float
) -> None:
    """In Y the blower goes on; in R to the thermostat that is dark; ahead of the board, both."""
    wet = solve(plan(name), CALLING.opened("float_switch"))
    told = {each.part: each.does.words for each in loads_of(wet)}
    assert (told["blower"], told["compressor"]) == (blower, "is off")
    assert volt(wet, "board.R", "board.C") == pytest.approx(board_v, abs=1.0)
    assert volt(wet, "thermostat.R", "board.C") == pytest.approx(thermostat_v, abs=1.0)
    assert 24.0 <= volt(wet, "float_switch.1", "float_switch.2") <= 28.0


# --- blowers with electronics --------------------------------------------------------------------


@pytest.mark.parametrize("name", ELECTRONIC)
def test_line_volts_stand_on_an_electronic_blower_with_and_without_a_call(name: str) -> None:
    """Within 10% of its rated volts: seen on makers' sheets."""
    for condition in ("calling", "standby", "fan"):
        assert volt(solved(name, condition), "blower.L", "blower.N") == pytest.approx(240, rel=0.1)


@pytest.mark.parametrize(
    ("name", "tap", "air"), [(TAPS, "blower.4", 0.6), (AIRFLOW, "blower.Y", 0.5)]
)
def test_its_signals_are_24_volts_on_the_call_that_asks_and_the_highest_wins(
    name: str, tap: str, air: float
) -> None:
    """The fan alone asks for little more than half the air; by the fan laws watts go with its third
    power, and what the electronics lose does not.
    """
    assert 20.0 <= volt(solved(name, "calling"), tap, "blower.C") <= 28.0
    assert volt(solved(name, "fan"), tap, "blower.C") < 1.0
    cooling, fan = (
        float(solved(name, each).element_watt(("blower", "drive"))[0])
        for each in ("calling", "fan")
    )
    assert air**3 < fan / cooling < air


@pytest.mark.parametrize("name", ELECTRONIC)
def test_its_amps_are_those_of_a_power_factor_of_0_55(name: str) -> None:
    """0.5 to 0.6 on makers' sheets: amps = watts / (volts x power factor)."""
    calling = solved(name, "calling")
    watt = float(calling.element_watt(("blower", "drive"))[0])
    own = amp(calling, "blower", "drive")
    assert watt / (own * volt(calling, "blower.L", "blower.N")) == pytest.approx(0.55, abs=0.005)


@pytest.mark.parametrize("name", ELECTRONIC)
def test_an_electronic_blower_ramps_up_after_5_to_20_seconds(name: str) -> None:
    assert 5.0 <= when(name, "calling", "indoor blower motor ramps up") <= 20.0


def test_three_equal_pins_tell_a_bad_module_from_a_bad_motor() -> None:
    """Of a dead module the pins are equal, and each has over 100 kΩ to the shell."""
    ids = {each.card.id for each in checks_of(arrangement(AIRFLOW))}
    assert {"volts-blower-L-N", "volts-blower-Y-C", "ohms-blower-p1-p2", "ohms-blower-p1-p3"} <= ids
    unplugged = solve(plan(AIRFLOW), STANDBY.opened("unit_breaker"), size=3, values={
        ("blower", "module_dead"): np.array([1.0, 0.0, 0.0]),
        ("blower", "winding_open"): np.array([0.0, 1.0, 0.0]),
        ("blower", "winding_earthed"): np.array([0.0, 0.0, 1.0]),
    })  # fmt: skip
    meter = Leads(unplugged.batch, "dc")
    ohm = [meter.impedance_ohm("blower.p1", f"blower.{pin}").real for pin in ("p2", "p3")]
    shell = meter.impedance_ohm("blower.p2", EARTH).real
    assert ohm[0][0] == pytest.approx(ohm[1][0], rel=1e-6)
    assert (ohm[0][0], ohm[0][2]) == (pytest.approx(4.0), pytest.approx(4.0))
    assert ohm[0][1] > 1e5
    assert (shell[0] > 1e5, shell[2] < 1e5) == (True, True)


def test_without_its_24_volts_an_airflow_module_does_nothing() -> None:
    unfed = solve(plan(AIRFLOW), CALLING, {("blower_24v", "path_open"): np.asarray(1.0)})
    assert {e.part: e.does.words for e in loads_of(unfed)}["blower"] == "is off"


# --- leak sensor and mitigation board ------------------------------------------------------------


def alarmed(handle: str, condition: Condition) -> Solution:
    return solve(plan(LEAK), condition, {("leak_sensor", handle): np.asarray(1.0)})


def test_a_content_leak_sensor_lets_y_and_g_through_unchanged() -> None:
    """And its supply reads 4.8 to 5.2 V within the spread of its loop (here 5 V, 10%)."""
    calling = solved(LEAK, "calling")
    for one, other in (("Yin", "Yout"), ("Gin", "Gout")):
        assert volt(calling, f"leak_board.{one}", f"leak_board.{other}") < 0.1
    assert volt(calling, "leak_board.S", "leak_board.SG") == pytest.approx(5.0, rel=0.1)


@pytest.mark.parametrize("handle", ["alarms", "unplugged"])
def test_a_leak_or_a_lost_sensor_cuts_y_and_runs_the_blower_with_the_thermostat_off(
    handle: str,
) -> None:
    for condition in (CALLING, STANDBY):
        told = {e.part: e.does.words for e in loads_of(alarmed(handle, condition))}
        assert (told["blower"], told["compressor"], told["fan"]) == ("runs", "is off", "is off")
    call = alarmed(handle, CALLING)
    assert volt(call, "leak_board.Yin", "leak_board.C") > 24.0
    assert volt(call, "leak_board.Yout", "leak_board.C") < 1.0
    assert volt(alarmed(handle, STANDBY), "leak_board.Gout", "leak_board.C") > 24.0


def test_making_it_dead_says_that_the_protection_goes_with_the_power() -> None:
    made = isolate(arrangement(LEAK), scope="indoor")
    told = [caution.text for step in made.steps for caution in step.cautions]
    assert any("leak protection is off too" in each for each in told)


# --- breaker in the air handler -----------------------------------------------------------------


def test_a_breaker_in_the_air_handler_is_judged_by_the_heat_and_not_by_the_makers_wiring() -> None:
    """30 A trips on 10 kW; 60 A serves, though 14 AWG leads to the blower inside the cabinet."""
    stock = [
        Candidate(f"{amp} A", ("unit_breaker",), "breaker_2p", {"rating_a": float(amp)})
        for amp in (30, 60)
    ]
    told = {each.candidate.name: each.verdict.serves for each in fit(arrangement(HEAT_10), stock)}
    assert told == {"30 A": False, "60 A": True}
