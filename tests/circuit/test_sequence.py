"""A call in the course of time: the truths of the trade about what happens when, and again."""

from __future__ import annotations

from functools import cache
from itertools import takewhile

import numpy as np
import pytest
from tests.circuit.balance import kirchhoff_residual, power_residual

from rungwise.circuit.condition import CALLING, STANDBY, Condition
from rungwise.circuit.event_sequence import Change, sequence
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.timeline import Moment, Timeline
from rungwise.errors import UnknownName
from rungwise.parts.element import FloatArray
from rungwise.parts.load import Does
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@cache
def plan(name: str = "one_pole_heater") -> Plan:
    return Plan(arrangement(name))


def edits(*changed: tuple[str, str, float]) -> dict[Key, FloatArray]:
    return {(block, name): np.asarray(number) for block, name, number in changed}


def told(timeline: Timeline, words: str) -> list[Moment]:
    """The moments whose story has the words in it."""
    return [moment for moment in timeline if words in moment.what]


def only(timeline: Timeline, words: str) -> Moment:
    found = told(timeline, words)
    assert len(found) == 1, timeline.told()
    return found[0]


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_healthy_unit_starts_and_runs_for_the_hour(name: str) -> None:
    timeline = sequence(plan(name), CALLING)
    for motor in ("compressor", "fan", "blower"):
        assert [m.what for m in timeline.of(motor) if "starts and runs" in m.what]
        assert timeline.moments[-1].state(motor, "slip") < 0.15
        assert timeline.moments[-1].state(motor, "tripped") == 0.0
    assert not told(timeline, "opens")
    assert not told(timeline, "trips")


def test_the_thermostat_stands_first_and_the_contactor_before_the_compressor() -> None:
    timeline = sequence(plan(), CALLING)
    times = [only(timeline, words).time_s for words in (
        "set to call for cooling", "contactor pulls in", "compressor starts and runs")]  # fmt: skip
    assert times[0] == 0.0
    assert times[0] < times[1] < times[2] < 1.0


def test_the_compressor_draws_locked_amps_until_it_runs() -> None:
    timeline = sequence(plan(), CALLING)
    locked = only(timeline, "contactor pulls in").amps["compressor"]
    running = only(timeline, "compressor starts and runs").amps["compressor"]
    assert locked == pytest.approx(80.0, rel=0.08)  # the nameplate's LRA, at a sagging supply
    warm = only(timeline, "working pressures").amps["compressor"]
    assert running < warm  # pressures are equal at the start
    assert 0.55 * 16.0 < warm < 0.9 * 16.0  # RLA is a ceiling


def test_the_delay_closes_the_contactor_180_seconds_after_the_call() -> None:
    timeline = sequence(plan("hard_start_delay"), CALLING)
    assert only(timeline, "contactor pulls in").time_s == pytest.approx(180.0, abs=0.1)
    assert timeline.at(179.0).state("contactor", "attracted") == 0.0


def test_the_delay_starts_over_when_the_call_comes_again() -> None:
    again = [Change(600.0, demand="off"), Change(660.0, demand="cool")]
    timeline = sequence(plan("hard_start_delay"), CALLING, changes=again)
    pulls = [m.time_s for m in told(timeline, "contactor pulls in")]
    assert pulls == pytest.approx([180.0, 840.0], abs=0.1)
    assert only(timeline, "contactor drops out").time_s == pytest.approx(600.0, abs=0.1)


def test_a_call_that_ends_before_the_delay_never_starts_the_compressor() -> None:
    timeline = sequence(
        plan("hard_start_delay"), CALLING, changes=[Change(170.0, demand="off")], horizon_s=900.0
    )
    assert not told(timeline, "contactor")


def test_the_start_relay_takes_the_start_capacitor_out_once_the_compressor_runs() -> None:
    timeline = sequence(plan("hard_start_delay"), CALLING)
    starts, picks_up = only(timeline, "compressor starts"), only(timeline, "start relay picks up")
    assert starts.time_s < picks_up.time_s < starts.time_s + 1.0

    def start_capacitor_amp(moment: Moment) -> float:
        return float(np.abs(moment.solution.element_amp(("start_capacitor", "start"))[0]))

    assert start_capacitor_amp(starts) > 10.0
    assert start_capacitor_amp(picks_up) < 0.1


def test_a_start_relay_that_sticks_leaves_the_start_capacitor_in_and_trips_the_overload() -> None:
    timeline = sequence(plan("hard_start_delay"), CALLING, edits(("start_relay", "stuck", 1.0)))
    only(timeline, "start relay picks up, but its contacts do not follow")
    assert told(timeline, "compressor internal overload opens")[0].time_s < 240.0


WEAK = edits(("capacitor", "herm_uf", 0.45 * 45.0))


def test_a_weak_capacitor_hums_trips_and_comes_again_half_an_hour_later() -> None:
    """At 45% of its rated µF: hum within a second, trip in 5 to 20 s, reset after 1800 s."""
    timeline = sequence(plan(), CALLING, WEAK)
    hums = told(timeline, "compressor hums and does not come to speed")
    trips = told(timeline, "compressor internal overload opens")
    resets = told(timeline, "compressor internal overload closes again")
    assert hums[0].time_s < 1.0
    assert len(hums) == len(trips) == 2
    assert 5.0 < trips[0].time_s < 20.0
    assert hums[0].amps["compressor"] > 70.0
    assert [m.time_s for m in resets] == pytest.approx([trips[0].time_s + 1800.0])
    assert 5.0 < trips[1].time_s - resets[0].time_s < 20.0


def test_the_trip_comes_when_the_law_says() -> None:
    """After slow_s/(I²-1) seconds, I the amps of the hum over the trip amps."""
    timeline = sequence(plan(), CALLING, WEAK)
    amp = told(timeline, "compressor hums")[0].amps["compressor"]
    number = plan().defaults
    trip_a = number["compressor", "trip_ratio"] * number["compressor", "rated_a"]
    expected = 75.0 / ((amp / trip_a) ** 2 - 1.0)
    assert told(timeline, "overload opens")[0].time_s == pytest.approx(expected, rel=0.02)


def test_the_fan_runs_on_while_the_compressor_is_tripped() -> None:
    timeline = sequence(plan(), CALLING, WEAK)
    later = timeline.at(600.0)
    assert later.state("compressor", "tripped") == 1.0
    assert later.amps["compressor"] < 0.01
    assert later.amps["fan"] > 1.0


def test_a_hard_start_kit_starts_a_compressor_whose_capacitor_is_weak() -> None:
    timeline = sequence(plan("hard_start_delay"), CALLING, WEAK)
    only(timeline, "compressor starts and runs")
    assert not told(timeline, "overload opens")


def test_heat_adds_up_over_starts_in_a_row() -> None:
    """Three hums of four seconds trip an overload that stands one hum of seven seconds."""
    on_off = [Change(4.0, demand="off"), Change(6.0, demand="cool"), Change(10.0, demand="off"),
              Change(12.0, demand="cool"), Change(16.0, demand="off")]  # fmt: skip
    assert told(sequence(plan(), CALLING, WEAK, changes=on_off), "overload opens")
    once = sequence(plan(), CALLING, WEAK, changes=on_off[:1])
    assert not told(once, "overload opens")


def test_y_shorted_to_c_blows_the_low_voltage_fuse_within_seconds() -> None:
    timeline = sequence(plan(), CALLING, edits(("y_field+c_field", "shorted", 1.0)))
    blows = only(timeline, "low-voltage fuse blows")
    assert blows.time_s < 5.0
    assert not told(timeline, "contactor pulls in")
    assert blows.volts["contactor"] < 1.0


def test_a_shorted_coil_blows_the_low_voltage_fuse() -> None:
    shorted = edits(
        ("contactor", "coil_ohm", 1.4),
        ("contactor", "coil_in_henry", 0.002),
        ("contactor", "coil_out_henry", 0.001),
        ("contactor", "coil_weak", 1.0),
    )
    timeline = sequence(plan(), CALLING, shorted)
    assert only(timeline, "low-voltage fuse blows").time_s < 10.0


@pytest.mark.parametrize("name", ["one_pole_heater", "two_pole_plain"])
@pytest.mark.parametrize("motor", ["compressor", "fan"])
def test_an_earthed_winding_trips_the_breaker(name: str, motor: str) -> None:
    timeline = sequence(plan(name), CALLING, edits((motor, "insulation_ohm", 0.5)))
    assert 0.0 < only(timeline, "outdoor breaker trips").time_s < 30.0
    assert timeline.moments[-1].state("outdoor_breaker", "tripped") == 1.0


def test_a_blocked_plunger_is_told_apart_from_a_coil_without_volts() -> None:
    timeline = sequence(plan(), CALLING, edits(("contactor", "blocked", 1.0)))
    moment = only(timeline, "contactor pulls in, but its contacts do not follow")
    assert 24.0 <= moment.volts["contactor"] <= 28.0
    assert not told(timeline, "compressor")


def test_welded_contacts_keep_the_compressor_running_after_the_call() -> None:
    timeline = sequence(
        plan(), CALLING, edits(("contactor", "welded", 1.0)), changes=[Change(300.0, demand="off")]
    )
    only(timeline, "contactor drops out, but its contacts do not follow")
    assert timeline.moments[-1].amps["compressor"] > 7.0


def test_an_opened_blower_door_stops_all_that_24_volts_hold() -> None:
    door = [Change(60.0, positions={"door_switch": 0}), Change(120.0, positions={"door_switch": 1})]
    timeline = sequence(plan(), CALLING, changes=door)
    assert timeline.at(90.0).volts["contactor"] < 0.1
    assert timeline.at(90.0).amps["compressor"] < 0.5
    assert timeline.at(200.0).amps["compressor"] > 7.0
    assert only(timeline, "blower-compartment door switch opens").time_s == 60.0


def test_the_heater_thermostat_follows_the_weather() -> None:
    cold = Change(600.0, ambient_c=5.0)
    timeline = sequence(plan("heater_line_side"), STANDBY, changes=[cold])
    watts = [
        float(timeline.at(t).solution.element_watt(("heater", "element"))[0]) for t in (1, 601)
    ]
    assert watts[0] < 0.1
    assert watts[1] == pytest.approx(70.0, rel=0.03)


SAGGING = edits(
    ("service", "source_ohm", 0.8),
    ("y_coil", "fault_ohm", 10.0),
    ("contactor", "drop_out_ratio", 0.72),
)
"""A weak service, a bad Y joint, and a contactor that lets go at 72% (IEC allows up to 75%)."""


def test_a_contactor_chatters_when_its_own_inrush_takes_the_volts_that_hold_it() -> None:
    timeline = sequence(plan(), CALLING, SAGGING)
    turns = [m for m in timeline.of("contactor") if "pulls in" in m.what or "drops out" in m.what]
    assert [("pulls in" in m.what) for m in turns[:3]] == [True, False, True]
    assert only(timeline, "contactor chatters").time_s < 1.0
    assert not told(timeline, "compressor starts")


def test_a_chattering_contactor_tries_again_when_something_else_changes() -> None:
    pressure = [Change(300.0, positions={"high_pressure": 0}),
                Change(310.0, positions={"high_pressure": 1})]  # fmt: skip
    timeline = sequence(plan(), CALLING, SAGGING, changes=pressure)
    assert len(told(timeline, "contactor chatters")) == 2


def test_the_same_contactor_holds_on_a_stiff_supply() -> None:
    stiff = {key: number for key, number in SAGGING.items() if key[0] != "service"}
    timeline = sequence(plan(), CALLING, stiff)
    assert not told(timeline, "chatters")
    only(timeline, "compressor starts and runs")


def test_a_delay_whose_volts_collapse_when_it_passes_them_on_starts_over_each_time() -> None:
    """A shorted coil behind a delay: 24 V hold the delay's clock only while the coil is off."""
    shorted = edits(
        ("contactor", "coil_ohm", 0.75),
        ("contactor", "coil_in_henry", 0.0008),
        ("contactor", "coil_out_henry", 0.0003),
        ("contactor", "coil_weak", 1.0),
    )
    timeline = sequence(plan("hard_start_delay"), CALLING, shorted, horizon_s=1200.0)
    passes = [m.time_s for m in told(timeline, "delay passes Y on")]
    assert passes == pytest.approx([180.0, 360.0, 540.0, 720.0, 900.0, 1080.0], abs=1.0)


def test_a_lost_leg_lets_the_blower_relay_chatter_on_volts_through_the_motors() -> None:
    """L1 is dead; the indoor circuit hangs on it, and so on L2 through the compressor's windings.

    With little else on L1, that pulls the relay in, and does not hold it with the blower on it.
    """
    lost = edits(
        ("service", "leg1_lost", 1.0),
        ("service", "house_l1_ohm", 1e6),
        ("service", "house_240_ohm", 1e6),
    )
    timeline = sequence(plan("hard_start_delay"), CALLING, lost, horizon_s=60.0)
    only(timeline, "blower relay chatters")
    assert not told(timeline, "compressor starts")


@pytest.mark.parametrize(
    "edit",
    [
        ("capacitor", "herm_open", 1.0),
        ("capacitor", "fan_uf", 2.0),
        ("compressor", "seized", 1.0),
        ("fan", "c_open", 1.0),
        ("contactor", "coil_open", 1.0),
        ("transformer", "turns_shorted", 1.0),
        ("service", "leg2_lost", 1.0),
        ("service", "leg_volt", 85.0),
        ("whip_l1", "fault_ohm", 5.0),
        ("c_field", "path_open", 1.0),
    ],
    ids=lambda edit: ".".join(edit[:2]),
)
def test_what_the_hour_comes_to_before_any_reset_is_what_the_settled_solution_says(
    edit: tuple[str, str, float],
) -> None:
    """Two ways to the same rest: event by event, and all fast rules at once.

    A rotor's slip to 0.003: in the course of time the load stops a kelvin short of rest.
    """
    settled = solve(plan(), CALLING, edits(edit))
    timeline = sequence(plan(), CALLING, edits(edit), horizon_s=1500.0)
    last = [*takewhile(lambda each: "closes again" not in each.what, timeline)][-1]
    for key, state in plan().states.items():
        # Of a compressor that stands, the settled temperatures are those of the next start.
        if state.driver == "rule" and not key[1].endswith("_c"):
            assert last.state(*key) == pytest.approx(float(settled.state(key)[0]), abs=3e-3), key


def test_every_moment_is_a_solved_circuit() -> None:
    for moment in sequence(plan(), CALLING, WEAK):
        assert kirchhoff_residual(moment.solution)[0] < 1e-9
        assert power_residual(moment.solution)[0] < 1e-9


def test_nothing_happens_after_the_horizon_and_times_never_fall() -> None:
    timeline = sequence(plan(), CALLING, WEAK, horizon_s=100.0)
    times = [moment.time_s for moment in timeline]
    assert times == sorted(times)
    assert times[-1] <= 100.0


def test_the_story_gives_minutes_and_seconds() -> None:
    lines = sequence(plan("hard_start_delay"), CALLING).told()
    assert "  3:00.02  one-pole contactor pulls in" in lines


def test_a_condition_with_no_call_only_rests() -> None:
    timeline = sequence(plan(), Condition("rest", "off"))
    assert [moment.what for moment in timeline] == ["at rest, no call"]


def test_a_change_of_a_part_that_is_not_there_is_refused() -> None:
    with pytest.raises(UnknownName, match="door_switch"):
        sequence(plan(), CALLING, changes=[Change(1.0, positions={"dor_switch": 0})])


def test_a_moment_says_by_value_what_a_motor_or_coil_then_does() -> None:
    story = sequence(plan(), CALLING, horizon_s=10.0, changes=[Change(5.0, demand="off")])
    does = [(each.part, each.does) for each in story if each.does is not None]
    assert does[:2] == [("contactor", Does.PULLED), ("blower_relay", Does.PULLED)]
    assert {part for part, what in does if what is Does.RUNS} == {"compressor", "fan", "blower"}
    assert does[-1][1] is Does.OFF


def test_a_compressor_that_only_hums_has_not_started() -> None:
    """Its words have "speed" in them: it does not come to speed."""
    story = sequence(plan(), CALLING, edits(("compressor", "seized", 1.0)), horizon_s=8.0)
    (hums,) = story.of("compressor")[:1]
    assert "speed" in hums.what
    assert hums.does is Does.HUMS
