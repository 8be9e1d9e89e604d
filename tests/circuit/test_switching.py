"""Contacts follow coils, fuses follow amps, overloads follow heat, until all is at rest."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from rungwise.circuit import operating_point
from rungwise.circuit.condition import CALLING, STANDBY, STARTING, Condition
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.errors import NoSettling
from rungwise.parts.element import FloatArray
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

ATTRACTED, TRIPPED, SLIP = (
    ("contactor", "attracted"),
    ("compressor", "tripped"),
    ("compressor", "slip"),
)
LEGS = np.linspace(60.0, 130.0, 36)


@cache
def plan(name: str = "one_pole_heater") -> Plan:
    return Plan(arrangement(name))


def solved(
    condition: Condition, *edits: tuple[str, str, float | FloatArray], name: str = "one_pole_heater"
) -> Solution:
    values = {(block, parameter): np.asarray(number) for block, parameter, number in edits}
    size = max((value.size for value in values.values()), default=1)
    return solve(plan(name), condition, values, size)


def coil_volt(solution: Solution) -> FloatArray:
    return np.abs(solution.volt("contactor.coil1", "contactor.coil2"))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_at_rest_nothing_is_pulled_blown_tripped_or_turning(name: str) -> None:
    solution = solved(STANDBY, name=name)
    for key, state in plan(name).states.items():
        if state.driver == "rule":
            assert solution.state(key)[0] == state.start, key


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_call_pulls_the_contactor_in_and_all_three_motors_run(name: str) -> None:
    solution = solved(CALLING, name=name)
    assert solution.state(ATTRACTED)[0] == 1.0
    slips = [solution.state((motor, "slip"))[0] for motor in ("compressor", "fan", "blower")]
    assert max(slips) < 0.15
    assert not any(chatter.any() for chatter in solution.chatter.values())


def test_a_coil_pulls_in_from_its_pull_in_volts_on() -> None:
    """75% of 24 V with the plunger out, whatever the supply; a blocked plunger shows the volts."""
    legs, still = ("service", "leg_volt", LEGS), ("blower_relay", "coil_open", 1.0)
    out = solved(STARTING, ("contactor", "blocked", 1.0), legs, still)
    free = solved(STARTING, legs, still)
    assert np.array_equal(free.state(ATTRACTED) > 0, coil_volt(out) >= 18.0)
    assert 0 < free.state(ATTRACTED).sum() < LEGS.size


def test_a_coil_that_is_in_holds_down_to_its_drop_out_volts() -> None:
    running = solved(CALLING, ("service", "leg_volt", np.full(LEGS.size, 120.0)))
    values = {("service", "leg_volt"): LEGS}
    sagged = solve(plan(), CALLING, values, LEGS.size, earlier=running)
    from_rest = solve(plan(), CALLING, values, LEGS.size)
    between = (from_rest.state(ATTRACTED) == 0) & (sagged.state(ATTRACTED) == 1)
    assert between.any()
    assert np.all(coil_volt(sagged)[between] >= 12.0)
    assert np.all(coil_volt(sagged)[sagged.state(ATTRACTED) == 0] < 18.0)


def test_the_plunger_in_lets_the_coil_draw_less() -> None:
    """Inrush volt-amperes are two to three times the sealed ones (common practice)."""
    coil = ("contactor", "coil")
    volt_amps = []
    for blocked in (1.0, 0.0):
        solution = solved(CALLING, ("contactor", "blocked", blocked))
        volt_amps.append(float((coil_volt(solution) * np.abs(solution.element_amp(coil)))[0]))
    assert 2.0 < volt_amps[0] / volt_amps[1] < 3.0


def test_the_first_seconds_and_the_end_of_a_weak_capacitor_differ() -> None:
    weak = ("capacitor", "herm_uf", 20.0)
    start, settled = solved(STARTING, weak), solved(CALLING, weak)
    amps = [float(np.abs(s.element_amp(("compressor", "common")))[0]) for s in (start, settled)]
    assert start.state(SLIP)[0] == settled.state(SLIP)[0] == 1.0
    assert start.state(TRIPPED)[0] == 0.0
    assert settled.state(TRIPPED)[0] == 1.0
    assert amps[0] > 70.0
    assert amps[1] < 0.01


def test_a_motor_that_already_turns_runs_on_where_it_could_not_start() -> None:
    weak = {("capacitor", "herm_uf"): np.asarray(20.0)}
    running = solved(CALLING)
    assert solve(plan(), STARTING, weak, earlier=running).state(SLIP)[0] < 0.1
    assert solve(plan(), STARTING, weak).state(SLIP)[0] == 1.0


def test_a_seized_rotor_stands_even_where_it_turned() -> None:
    seized = {("compressor", "seized"): np.asarray(1.0)}
    assert solve(plan(), STARTING, seized, earlier=solved(CALLING)).state(SLIP)[0] == 1.0


@pytest.mark.parametrize("condition", [STARTING, CALLING], ids=lambda condition: condition.name)
def test_a_short_on_y_blows_the_low_voltage_fuse(condition: Condition) -> None:
    solution = solved(condition, ("y_field+c_field", "shorted", 1.0))
    assert solution.state(("lv_fuse", "blown"))[0] == 1.0
    assert coil_volt(solution)[0] < 0.1


def test_a_blown_fuse_stays_blown_when_the_short_is_gone() -> None:
    shorted = solved(CALLING, ("y_field+c_field", "shorted", 1.0))
    mended = solve(plan(), CALLING, earlier=shorted)
    assert mended.state(("lv_fuse", "blown"))[0] == 1.0
    assert mended.state(ATTRACTED)[0] == 0.0


def test_a_breaker_trips_at_once_on_a_short_to_the_cabinet() -> None:
    """Ten times its rating, 400 A, is what it lets go at without waiting for heat."""
    rubbed = ("whip_l1", "rubbed", 1.0), ("whip_l1", "rub_ohm", 0.02)
    assert solved(STARTING, *rubbed).state(("outdoor_breaker", "tripped"))[0] == 1.0


def test_a_breaker_waits_for_heat_on_a_lesser_short() -> None:
    rubbed = ("whip_l1", "rubbed", 1.0), ("whip_l1", "rub_ohm", 0.5)
    tripped = ("outdoor_breaker", "tripped")
    assert solved(STARTING, *rubbed).state(tripped)[0] == 0.0
    assert solved(CALLING, *rubbed).state(tripped)[0] == 1.0


def test_the_delay_has_run_out_in_both_horizons() -> None:
    """`starting` means the first seconds of cooling, once the delay has passed Y on."""
    for condition in (STARTING, CALLING):
        solution = solved(condition, name="hard_start_delay")
        assert solution.state(("delay", "timed_in"))[0] == 1.0
        assert solution.state(("start_relay", "pulled"))[0] == 1.0


def test_a_coil_that_cannot_hold_is_marked_as_chatter_and_left_open() -> None:
    """A weak service, a bad Y joint and a contactor that lets go at 72% of its volts."""
    solution = solved(
        CALLING,
        ("service", "source_ohm", np.array([0.03, 0.8])),
        ("y_coil", "fault_ohm", 10.0),
        ("contactor", "drop_out_ratio", 0.72),
    )
    assert list(solution.chatter[ATTRACTED]) == [False, True]
    assert list(solution.state(ATTRACTED)) == [1.0, 0.0]


def test_devices_open_by_hand_stay_open() -> None:
    solution = solved(CALLING.opened("indoor_breaker"))
    assert coil_volt(solution)[0] < 0.1
    assert abs(solution.volt("contactor.L1", "contactor.L2")[0]) == pytest.approx(240.0, rel=0.02)


def test_a_lead_taken_off_carries_nothing() -> None:
    off = CALLING.without_leads(frozenset({("comp_s", "start")}))
    solution = solved(off)
    assert abs(solution.element_amp(("comp_s", "path"))[0]) == 0.0
    assert solution.state(SLIP)[0] == 1.0


def test_a_variant_settles_alike_alone_and_among_others() -> None:
    """Variants that come to rest after different numbers of rounds do not disturb each other."""
    edits: list[tuple[Key, float]] = [
        (("contactor", "coil_open"), 1.0),
        (("capacitor", "herm_uf"), 20.0),
        (("fan", "seized"), 1.0),
        (("y_field+c_field", "shorted"), 1.0),
        (("compressor", "insulation_ohm"), 0.5),
        (("service", "leg1_lost"), 1.0),
        (("whip_l1", "fault_ohm"), 8.0),
    ]
    values = {key: np.full(len(edits), float(plan().defaults[key])) for key, _ in edits}
    for at, (key, number) in enumerate(edits):
        values[key][at] = number
    together = solve(plan(), CALLING, values, len(edits))
    for at, (key, number) in enumerate(edits):
        alone = solve(plan(), CALLING, {key: np.asarray(number)})
        assert np.allclose(together.volts[:, at], alone.volts[:, 0], rtol=1e-7, atol=1e-6), key


def test_what_never_rests_is_refused_by_the_names_of_its_parts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(operating_point, "ROUNDS", 2)
    with pytest.raises(NoSettling, match="come to no rest") as caught:
        solved(CALLING)
    assert "contactor" in caught.value.moving
