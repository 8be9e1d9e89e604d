"""Walk-in coolers: the suction starts and stops the unit, the valve of the box asks for it.

What each part does is common practice, no source, where no figure stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from rungwise.circuit import (
    CALLING,
    STANDBY,
    Change,
    Condition,
    Plan,
    Solution,
    forced_defrost,
    loads_of,
    sequence,
    solve,
)
from rungwise.circuit.netlist import Key
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.circuit.states_of_loads import usual_states
from rungwise.diagnosis import checks_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.isolation import isolate
from rungwise.parts import refrigeration as heat
from rungwise.unit import arrangement

COOLER = "walk_in_cooler"
UNIT = {"compressor", "fan"}
FANS = {"box_fan", "box_fan_2"}


@cache
def plan(name: str = COOLER) -> Plan:
    return Plan(arrangement(name))


def settled(
    condition: Condition = CALLING,
    values: Mapping[Key, float] | None = None,
    earlier: Solution | None = None,
    name: str = COOLER,
) -> Solution:
    drawn = {key: np.atleast_1d(number) for key, number in (values or {}).items()}
    return solve(plan(name), condition, drawn, earlier=earlier)


def turning(solution: Solution) -> set[str]:
    return {each.part for each in loads_of(solution) if each.does.words == "runs"}


def volt(solution: Solution, a: str, b: str) -> float:
    return float(np.abs(solution.volt(a, b))[0])


def defrost() -> Condition:
    found = forced_defrost(arrangement(COOLER))
    assert found is not None
    return found


def test_it_runs_while_the_box_calls_and_stands_pumped_down_when_it_is_cold() -> None:
    assert turning(settled()) == UNIT | FANS
    cold = settled(STANDBY)
    assert turning(cold) == FANS
    assert volt(cold, "pressure_control.1", "pressure_control.2") > 200.0


def test_in_a_defrost_by_air_the_valve_is_shut_and_the_fans_run_on() -> None:
    solution = settled(defrost())
    assert turning(solution) == FANS
    assert volt(solution, "solenoid.1", "solenoid.2") < 5.0


@pytest.mark.parametrize(
    ("fault", "valve_volts", "control_volts"),
    [
        ({("solenoid", "coil_open"): 1.0}, 240.0, 240.0),
        ({("solenoid", "stuck_shut"): 1.0}, 240.0, 240.0),
        ({("pressure_control", "held_open"): 1.0}, 240.0, 240.0),
        ({("defrost_timer", "cooling_burnt"): 1.0}, 0.0, 240.0),
        ({("defrost_timer", "stuck_in"): 1.0}, 0.0, 240.0),
        ({("thermostat", "held_open"): 1.0}, 0.0, 240.0),
        ({("high_pressure", "held_open"): 1.0}, 240.0, 0.0),
    ],
)
def test_what_stops_the_unit_is_told_by_volts_at_the_valve_and_across_the_control(
    fault: Mapping[Key, float], valve_volts: float, control_volts: float
) -> None:
    solution = settled(values=fault)
    assert turning(solution) == FANS
    assert volt(solution, "solenoid.1", "solenoid.2") == pytest.approx(valve_volts, abs=10.0)
    across = volt(solution, "pressure_control.1", "pressure_control.2")
    assert across == pytest.approx(control_volts, abs=10.0)


@pytest.mark.parametrize(
    "fault", [("solenoid", "stuck_open"), ("pressure_control", "stuck")]
)  # fmt: skip
def test_without_a_pump_down_it_runs_on_in_a_cold_box(fault: Key) -> None:
    broken = {fault: 1.0}
    assert turning(settled(STANDBY, broken, settled(values=broken))) >= UNIT


@pytest.mark.parametrize(
    "cause",
    [
        {("compressor", "charge"): 0.2},
        {("box_fan", "seized"): 1.0, ("box_fan_2", "seized"): 1.0},
        {("compressor", "indoor_blocked"): 0.97},
    ],
)
def test_little_charge_no_air_and_ice_open_the_control_while_the_valve_is_open(
    cause: Mapping[Key, float],
) -> None:
    solution = settled(values={**cause, ("compressor", "run_s"): 3000.0})
    assert not turning(solution) & UNIT
    assert float(solution.state(("pressure_control", "fallen"))[0]) == 1.0
    assert float(solution.state(("solenoid", "lifted"))[0]) == 1.0


def test_its_story_starts_by_the_rise_and_ends_by_the_pump_down() -> None:
    story = sequence(plan(), CALLING, horizon_s=1500.0, changes=[Change(1200.0, demand="off")])
    when = {moment.what.split(",")[0]: moment.time_s for moment in story}
    assert 2.0 <= when["low-pressure control closes on the rise"] <= 20.0
    assert 10.0 <= when["low-pressure control opens"] - 1200.0 <= 60.0
    assert when["compressor stops"] > when["low-pressure control opens"]


def test_a_defrost_ends_after_its_backup_time_and_cooling_comes_back() -> None:
    story = sequence(
        plan(), CALLING, horizon_s=3600.0,
        changes=[Change(300.0, defrosts=True), Change(302.0, defrosts=False)],
    )  # fmt: skip
    told = [(moment.time_s, moment.what) for moment in story if moment.part == "defrost_timer"]
    begins, ends = (next(at for at, what in told if what.endswith(each))
                    for each in ("begins a defrost", "ends the defrost"))  # fmt: skip
    assert ends - begins == pytest.approx(1800.0, abs=5.0)
    assert story.at(3600.0).state("compressor", "slip") < heat.STILL_AIR + 0.3


def test_box_and_unit_hang_on_breakers_of_their_own_and_both_are_opened() -> None:
    opened = {each.device for each in isolate(arrangement(COOLER), scope="everything").devices}
    assert {"outdoor_breaker", "box_breaker"} <= opened
    box = {each.device for each in isolate(arrangement(COOLER), scope="indoor").devices}
    assert "box_breaker" in box


@pytest.mark.parametrize("scope", ["cabinet", "disconnect", "indoor", "everything"])
def test_every_place_of_it_can_be_made_dead(scope: str) -> None:
    made = isolate(arrangement(COOLER), scope=scope)
    assert made.refusals == ()
    assert made.steps


def test_no_label_lies_on_another_in_its_pictures() -> None:
    unit = arrangement(COOLER)
    pictures = [ladder(unit), *(panel(unit, place=each) for each in ("outdoor", "indoor"))]
    assert [overlaps(each.labels) for each in pictures] == [()] * 3


def test_its_checks_read_valve_control_and_timer() -> None:
    ids = {check.card.id for check in checks_of(arrangement(COOLER))}
    assert {"volts-solenoid-1-2", "volts-defrost_timer-4-N", "ohms-coil-solenoid"} <= ids
    assert any(each.endswith("pressure_control-1-2") for each in ids)


@pytest.mark.parametrize("condition", [CALLING, STANDBY])
def test_node_volts_agree_with_ngspice(condition: Condition) -> None:
    solution = settled(condition)
    (found,) = run_many(netlists(solution))
    for node, ours in zip(names_of(plan()).node, solution.volts[:-1], strict=True):
        assert np.allclose(ours[0], found.volts[node], rtol=1e-3, atol=1e-3), node


# --- the freezer -------------------------------------------------------------------------------

FREEZER = "walk_in_freezer"


def in_defrost(values: Mapping[Key, float] | None = None) -> Solution:
    return settled(defrost(), values, name=FREEZER)


def test_a_freezer_works_far_colder_than_a_cooler_on_fewer_amps() -> None:
    """Evaporating 5 to 12 K under the air of its box, which is usual for either."""
    found = {}
    for name, box_c in ((COOLER, 2.0), (FREEZER, -18.0)):
        solution = settled(name=name)
        evaporating = float(solution.state(("compressor", "evaporating_c"))[0])
        assert 5.0 < box_c - evaporating < 12.0
        found[name] = float(np.abs(solution.element_amp(("compressor", "common")))[0])
    assert found[FREEZER] < found[COOLER]


def test_in_its_defrost_the_heater_works_and_fans_and_unit_stand() -> None:
    solution = in_defrost()
    assert turning(solution) == set()
    # 2000 W at 240 V is 28.8 Ω
    amps = float(np.abs(solution.element_amp(("defrost_heater", "element")))[0])
    assert amps == pytest.approx(volt(solution, "box_line.1", "box_return.1") / 28.8, rel=0.01)


@pytest.mark.parametrize(
    "fault",
    [
        ("defrost_heater", "open"),
        ("heater_limit", "held_open"),
        ("defrost_timer", "heat_burnt"),
        ("defrost_timer", "motor_open"),
    ],
)
def test_what_breaks_its_defrost_leaves_the_heater_cold(fault: Key) -> None:
    solution = in_defrost({fault: 1.0})
    assert np.abs(solution.element_amp(("defrost_heater", "element")))[0] < 0.1


def test_an_open_fan_delay_stops_the_fans_and_nothing_else_at_first() -> None:
    solution = settled(values={("coil_stat", "fan_open"): 1.0}, name=FREEZER)
    assert not turning(solution) & FANS
    assert volt(solution, "coil_stat.com", "coil_stat.fan") > 200.0


def test_its_coil_thermostat_ends_the_defrost_and_the_fans_wait_for_the_cold() -> None:
    changes = [Change(300.0, defrosts=True), Change(302.0, defrosts=False)]
    told = {
        broken: [
            (moment.time_s, moment.what)
            for moment in sequence(
                plan(FREEZER), CALLING, {("coil_stat", "term_open"): np.array([broken])},
                horizon_s=3600.0, changes=changes,
            )
        ]
        for broken in (0.0, 1.0)
    }  # fmt: skip

    def at(broken: float, words: str) -> float:
        return next(time_s for time_s, what in told[broken] if words in what and time_s > 300.5)

    assert at(0.0, "ends the defrost") - 300.0 == pytest.approx(720.0, abs=10.0)
    assert at(1.0, "ends the defrost") - 300.0 == pytest.approx(1800.0, abs=10.0)
    fans = at(0.0, "evaporator fan motor 1 starts") - at(0.0, "ends the defrost")
    assert 180.0 <= fans <= 600.0


@pytest.mark.parametrize("scope", ["cabinet", "indoor", "everything"])
def test_every_place_of_the_freezer_can_be_made_dead(scope: str) -> None:
    assert isolate(arrangement(FREEZER), scope=scope).refusals == ()


def test_pictures_of_the_freezer_are_free_of_overlaps() -> None:
    unit = arrangement(FREEZER)
    pictures = [ladder(unit), *(panel(unit, place=each) for each in ("outdoor", "indoor"))]
    assert [overlaps(each.labels) for each in pictures] == [()] * 3


def test_heater_and_limit_of_the_freezer_are_read_in_a_defrost() -> None:
    ids = {check.card.id for check in checks_of(arrangement(FREEZER))}
    assert {"defrost-amps-defrost_limit", "defrost-drop-heater_limit-1-2",
            "defrost-volts-defrost_timer-3-N"} <= ids  # fmt: skip


def test_node_volts_of_the_freezer_in_defrost_agree_with_ngspice() -> None:
    solution = in_defrost()
    (found,) = run_many(netlists(solution))
    for node, ours in zip(names_of(plan(FREEZER)).node, solution.volts[:-1], strict=True):
        assert np.allclose(ours[0], found.volts[node], rtol=1e-3, atol=1e-3), node


def test_what_a_freezer_does_in_a_defrost_is_told_with_its_usual_states() -> None:
    told = {(each.condition, each.part): each.does.words for each in usual_states(plan(FREEZER))}
    assert told["in a defrost", "defrost_heater"] == "heats"
    assert told["calling", "defrost_heater"] == "is off"
