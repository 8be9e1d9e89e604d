"""What a heat pump can be asked for, and what its circuit then does.

Terminals by demand: thermostat tables as technicians' pages print them (common practice, no
source); O stays closed between two calls (seen on trade pages).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from rungwise.circuit import (
    Change,
    Condition,
    Plan,
    Solution,
    loads_of,
    sequence,
    solve,
)
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.complaint import chips_named, group_of
from rungwise.errors import UnknownName
from rungwise.files import Document
from rungwise.isolation import isolate
from rungwise.parts.cold_switch import sensor_ohm
from rungwise.unit import ARRANGEMENTS, Unit, arrangement, unit_from

WIRE = """
[[wires]]
from = "thermostat.{0}"
to = "board.{0}"
name = "stat_{0}"
colour = "orange"
awg = 18
length_m = 10
joints = ["screw", "screw"]
carries = "{0}"
"""


@cache
def split(kind: str, wired: str) -> Unit:
    """A split system under another thermostat, with these wires beside R, Y and G."""
    text = 'arrangement = "two_pole_plain"\n'
    text += '[parts.board]\nkind = "terminal_board_stages"\n'
    text += f'[parts.thermostat]\nkind = "{kind}"\n'
    text += "".join(WIRE.format(each) for each in wired.split())
    return unit_from(Document(text, file="trial"), name="trial")


CALLS = {
    "off": ("", "O"),
    "fan": ("G", "O"),
    "cool": ("Y Y2 G", "O"),
    "cool1": ("Y G", "O"),
    "heat": ("Y G", "B"),
    "heat+aux": ("Y G W2", "B"),
    "emergency heat": ("G W2 E", "B"),
}


@pytest.mark.parametrize("valve", ["O", "B"])
@pytest.mark.parametrize("call", CALLS)
def test_a_heat_pump_thermostat_energizes_what_its_call_asks_for(valve: str, call: str) -> None:
    unit = split(f"thermostat_heat_pump_{valve.lower()}", f"C Y2 {valve} W2 E")
    always, when = CALLS[call]
    expected = {*always.split(), *([valve] if when == valve else [])}
    solution = solve(Plan(unit), Condition(call, call))
    closed = {
        end
        for end in ("Y", "Y2", "G", valve, "W2", "E")
        if abs(solution.volt("thermostat.R", f"thermostat.{end}")[0]) < 1.0
    }
    assert closed == expected


@pytest.mark.parametrize(
    ("kind", "wired", "call", "bare"),
    [
        ("thermostat_heat_pump_o", "C O W2", "cool1", "thermostat.Y2"),
        ("thermostat_heat_pump_o", "C O", "heat+aux", "thermostat.W2"),
        ("thermostat_heat_pump_o", "C O", "emergency heat", "thermostat.W2 and thermostat.E"),
        ("thermostat_heat_pump_b", "C", "heat", "thermostat.B"),
        ("thermostat_stages", "C", "heat", "thermostat.W"),
    ],
)
def test_a_demand_without_its_wire_is_refused_in_circuit_words(
    kind: str, wired: str, call: str, bare: str
) -> None:
    unit = split(kind, wired)
    assert call not in unit.demands
    with pytest.raises(UnknownName, match=f"no wire is on {bare}"):
        unit.demand(call)


def test_emergency_heat_needs_no_wire_of_its_own_where_auxiliary_heat_has_one() -> None:
    assert "emergency heat" in split("thermostat_heat_pump_o", "C O W2").demands


# --- arrangements with a timed defrost -----------------------------------------------------------

TIMED = {"O": "heat_pump_o_timed", "B": "heat_pump_b_timed"}
FROST = Condition("defrost", "heat", ambient_c=0.0, defrosts=True)


def asked(name: str, call: str, ambient_c: float = 2.0) -> Solution:
    return solve(plan(name), Condition(call, call, ambient_c=ambient_c))


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


@cache
def frosted(name: str) -> Solution:
    return solve(plan(name), FROST)


def volt(solution: Solution, a: str, b: str) -> float:
    return float(np.abs(solution.volt(a, b))[0])


def running(solution: Solution) -> set[str]:
    return {each.part for each in loads_of(solution) if each.does}


ELEMENTS = {"element_1", "element_2"}
RUNS = {
    "off": set[str](),
    "cool": {"compressor", "fan", "blower"},
    "heat": {"compressor", "fan", "blower"},
    "heat+aux": {"compressor", "fan", "blower", *ELEMENTS},
    "emergency heat": {"blower", *ELEMENTS},
}


@pytest.mark.parametrize("name", TIMED.values())
@pytest.mark.parametrize("call", RUNS)
def test_each_call_runs_what_the_trade_says(name: str, call: str) -> None:
    """Common practice, no source: emergency heat leaves the outdoor unit out."""
    assert running(asked(name, call)) == RUNS[call]


@pytest.mark.parametrize(("valve", "name"), TIMED.items())
@pytest.mark.parametrize("call", ["cool", "heat", "heat+aux"])
def test_the_valve_has_24_volts_in_the_one_season_alone(valve: str, name: str, call: str) -> None:
    """O in cooling, B in heating, 24 V ±10% at the coil (common practice, no source)."""
    solution = asked(name, call)
    there = volt(solution, "reversing_valve.1", "reversing_valve.2")
    if (call != "cool") == (valve == "B"):
        assert 21.6 <= there <= 28.0
    else:
        assert there < 1.0


@pytest.mark.parametrize("name", TIMED.values())
def test_heat_is_taken_from_the_cold_air_and_given_to_the_rooms(name: str) -> None:
    """Either coil's temperature lies on its own side of its air, by 3 to 20 K (estimate)."""
    solution = asked(name, "heat", ambient_c=2.0)
    outdoor, rooms = 7.0, 24.0  # the compressor's own day is 5 K over the condition's
    assert 3.0 < outdoor - solution.state(("compressor", "evaporating_c"))[0] < 20.0
    assert 3.0 < solution.state(("compressor", "condensing_c"))[0] - rooms < 20.0


@pytest.mark.parametrize(("valve", "name"), TIMED.items())
def test_a_defrost_stops_the_fan_turns_the_valve_to_cooling_and_calls_the_strips(
    valve: str, name: str
) -> None:
    """Supplier pages: valve to cooling (energized with O, dropped with B), fan off, W2 out."""
    solution = frosted(name)
    assert running(solution) == {"compressor", "blower", *ELEMENTS}
    assert (solution.state(("reversing_valve", "shifted"))[0] > 0) == (valve == "O")
    assert volt(solution, "defrost_board.OF1", "defrost_board.OF2") == pytest.approx(240, rel=0.05)
    assert 21.6 <= volt(solution, "defrost_board.W2", "defrost_board.C") <= 28.0


def test_a_defrost_needs_a_cold_coil_and_a_call() -> None:
    summer = solve(plan(TIMED["O"]), Condition("warm", "heat", ambient_c=27.0, defrosts=True))
    idle = solve(plan(TIMED["O"]), Condition("idle", "off", ambient_c=0.0, defrosts=True))
    for solution in (summer, idle):
        assert solution.state(("defrost_board", "defrosting"))[0] == 0.0


def test_the_minutes_of_a_cold_coil_are_kept_while_the_compressor_rests() -> None:
    """90 minutes by the jumper, counted while the coil is cold and the unit runs (supplier pages).

    Half an hour, five minutes of rest and an hour more: the defrost begins at 95 minutes.
    """
    story = sequence(
        plan(TIMED["O"]),
        Condition("cold", "heat", ambient_c=0.0),
        horizon_s=6500.0,
        changes=[Change(1800.0, demand="off"), Change(2100.0, demand="heat")],
    )
    began, ended = (each.time_s for each in story.of("defrost_board"))
    assert began == pytest.approx(5700.0, abs=2.0)
    assert ended - began == pytest.approx(360.0, abs=2.0)


def test_a_coil_seen_warm_begins_the_minutes_anew() -> None:
    """Where the sensor opens first the count is lost (supplier pages)."""
    story = sequence(
        plan(TIMED["O"]),
        Condition("cold", "heat", ambient_c=0.0),
        horizon_s=6500.0,
        changes=[Change(1800.0, ambient_c=10.0), Change(2100.0, ambient_c=0.0)],
    )
    assert not list(story.of("defrost_board"))


def test_the_transformer_carries_24_volt_amperes_on_a_call_for_cooling() -> None:
    """Contactor 7, valve 7 to 10, board 3, thermostat 2 and relay 3: 24 VA of 40 (±20%).

    Worked out from usual parts (from memory); the valve takes 0.3 to 0.45 A.
    """
    solution = asked(TIMED["O"], "cool")
    link = plan(TIMED["O"]).link_by_key[("reversing_valve", "coil")]
    assert 0.3 <= float(np.abs(solution.link_amp(link))[0]) <= 0.45
    (pair,) = (each for each in plan(TIMED["O"]).pairs if each.block == "transformer")
    amp = float(np.abs(solution.pair_amp(pair)[1])[0])
    assert amp * volt(solution, "transformer.R", "transformer.C") == pytest.approx(24.0, rel=0.2)


@pytest.mark.parametrize("name", TIMED.values())
def test_the_thermostat_is_looked_at_for_heat_as_for_cooling(name: str) -> None:
    cards = {check.card.id: check.card for check in checks_of(arrangement(name))}
    assert "HEAT" in cards["look-thermostat-setting"].title
    only_cools = {check.card.id: check.card for check in checks_of(arrangement("two_pole_plain"))}
    assert "HEAT" not in only_cools["look-thermostat-setting"].title


def test_a_forced_defrost_is_read_at_valve_fan_and_w2() -> None:
    ids = {check.card.id for check in checks_of(arrangement(TIMED["O"]))}
    assert {
        "look-defrost-fan",
        "look-defrost-reversing_valve-line",
        "defrost-volts-reversing_valve-1-2",
        "defrost-volts-defrost_board-W2-C",
        "defrost-drop-defrost_board-OF1-OF2",
        "chilled-ohms-defrost_thermostat-1-2",
    } <= ids


# --- the others: what differs from the timed one -------------------------------------------------


def test_an_outdoor_thermostat_holds_the_second_bank_off_in_mild_weather_alone() -> None:
    """It closes below 15 to 40 °F (common practice, no source); emergency heat goes past it."""
    name = "heat_pump_outdoor_stat"
    assert running(asked(name, "heat+aux", 2.0)) & ELEMENTS == {"element_1"}
    assert running(asked(name, "heat+aux", -8.0)) & ELEMENTS == ELEMENTS
    assert running(asked(name, "emergency heat", 2.0)) == {"blower", *ELEMENTS}
    assert running(frosted(name)) & ELEMENTS == {"element_1"}, "a defrost calls the first bank only"


def test_a_demand_board_defrosts_by_its_coil_sensor() -> None:
    """A broken or shorted coil sensor never defrosts (common practice, no source)."""
    name = "heat_pump_o_demand"
    assert running(frosted(name)) == {"compressor", "blower", *ELEMENTS}
    for fault in ("open", "shorted"):
        broken = solve(plan(name), FROST, {("coil_sensor", fault): np.array([1.0])})
        assert broken.state(("defrost_board", "defrosting"))[0] == 0.0


@pytest.mark.parametrize(
    ("fahrenheit", "kilohm"), [(100, 5.75), (77, 10.0), (50, 20.0), (30, 34.4), (0, 85.3)]
)
def test_a_sensor_reads_what_its_table_says(fahrenheit: float, kilohm: float) -> None:
    """A supplier's table of a 10 kΩ sensor; 10 kΩ at 77 °F lies between two of its lines (±2%)."""
    celsius = np.asarray((fahrenheit - 32.0) / 1.8)
    assert float(sensor_ohm(celsius)) == pytest.approx(1000.0 * kilohm, rel=0.02)


def test_a_crankcase_heater_is_on_exactly_while_the_contactor_is_out() -> None:
    name = "heat_pump_auxiliary_heater"
    for call in RUNS:
        on = running(asked(name, call))
        assert ("heater" in on) == ("compressor" not in on), call


def test_an_electronic_outdoor_fan_stands_on_line_volts_and_follows_the_boards_signal() -> None:
    name = "heat_pump_electronic_fan"
    off = asked(name, "off")
    assert volt(off, "fan.L", "fan.N") == pytest.approx(240.0, rel=0.05)
    assert "fan" not in running(off)
    assert "fan" in running(asked(name, "heat"))
    assert "fan" not in running(frosted(name))


STARTS = Condition("heat", "heat", ambient_c=2.0, horizon="start")
"""Before a fan that stands has let the low-pressure switch open."""


@pytest.mark.parametrize("name", ["heat_pump_o_timed", "heat_pump_outdoor_stat"])
def test_ngspice_finds_the_same_volts_in_cooling_and_in_a_defrost(name: str) -> None:
    """Another program on the same netlist, within 0.1% or 1 mV, as for every arrangement."""
    for solution in (asked(name, "cool", 27.0), frosted(name)):
        (found,) = run_many(netlists(solution))
        theirs = np.array([found.volts[node] for node in names_of(plan(name)).node])
        assert np.allclose(solution.volts[:-1, 0], theirs, rtol=1e-3, atol=1e-3)


HEAT_PUMPS = [name for name in ARRANGEMENTS if name.startswith("heat_pump")]


@pytest.mark.parametrize("name", HEAT_PUMPS)
def test_240_volts_end_at_the_disconnect_and_24_volts_come_from_indoors(name: str) -> None:
    """R stands at the board with or without a call, as long as the air handler is on."""
    told = isolate(arrangement(name), scope="cabinet")
    assert told.refusals == ()
    assert [each.device for each in told.devices if each.relied_on] == ["disconnect"]
    from_indoors = [each for each in told.stays_live if each.kind == "control" and each.within]
    assert "defrost_board.R" in {end for each in from_indoors for end in each.terminals}


def test_everything_is_made_dead_by_both_breakers() -> None:
    told = isolate(arrangement(TIMED["O"]), scope="everything")
    assert told.refusals == ()
    assert {"outdoor_breaker", "indoor_breaker"} <= {each.device for each in told.devices}


@pytest.mark.parametrize("fault", ["dead", "no_w2", "fan_open", "fan_welded", "w2_welded"])
def test_each_fault_of_the_board_shows_at_its_own_terminals(fault: str) -> None:
    """What its fault changes in a defrost or on a call for heat, out of the solution."""
    name = TIMED["O"]
    given = {("defrost_board", fault): np.array([1.0])}
    melts, heats = (solve(plan(name), each, given) for each in (FROST, STARTS))
    fan = [volt(each, "defrost_board.OF1", "defrost_board.OF2") > 100.0 for each in (melts, heats)]
    strips = [bool(running(each) & ELEMENTS) for each in (melts, heats)]
    good = ([True, False], [True, False])
    expected = {
        "dead": ([False, False], [False, False]),
        "no_w2": (good[0], [False, False]),
        "fan_open": ([True, True], good[1]),
        "fan_welded": ([False, False], good[1]),
        "w2_welded": (good[0], [True, True]),
    }
    assert (fan, strips) == expected[fault]


@pytest.mark.parametrize(
    ("chip", "likelier", "than"),
    [
        ("no_heat", ("reversing_valve_cooling", "coil_open"), ("contactor_2p", "coil_open")),
        (
            "no_heat",
            ("thermostat_heat_pump_o", "valve_wrong"),
            ("thermostat_heat_pump_o", "no_aux"),
        ),
        ("iced_outdoors", ("defrost_thermostat", "never_closes"), ("capacitor", "herm_weak")),
        ("iced_outdoors", ("defrost_board_o", "dead"), ("defrost_board_o", "no_w2")),
    ],
)
def test_what_customers_say_in_winter_points_where_the_trade_points(
    chip: str, likelier: tuple[str, str], than: tuple[str, str]
) -> None:
    """Common practice, from experience, no source."""
    (told,) = chips_named([chip])
    ratios = [getattr(group_of(told, *each), "ratio", 1.0) for each in (likelier, than)]
    assert ratios[0] > ratios[1]
