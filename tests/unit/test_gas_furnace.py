"""The gas furnace board as the 24 V source: what the trade says of it, each figure solved.

Windows of time, ohms and microamperes are read on suppliers' pages; the rest is common practice, no
source.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.drawing.test_ladder import clashes
from tests.wide import some

from rungwise.circuit import CALLING, HEATING, STANDBY, Change, Condition, Plan, sequence, solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.states_of_loads import loads_of
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.cross_checks import not_judged
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.isolation import isolate
from rungwise.rewiring.shape import Shape
from rungwise.unit import arrangement

NAME = "gas_furnace"
FAN = Condition("fan", "fan")


@cache
def plan() -> Plan:
    return Plan(arrangement(NAME))


def solved(condition: Condition, *faults: tuple[str, str]) -> Solution:
    return solve(plan(), condition, {fault: np.asarray(1.0) for fault in faults})


def volt(solution: Solution, a: str, b: str) -> float:
    return float(np.abs(solution.volt(a, b))[0])


def does(solution: Solution) -> dict[str, str]:
    return {each.part: each.does.words for each in loads_of(solution)}


@cache
def story(demand: str, *faults: tuple[str, str]) -> tuple[tuple[float, str], ...]:
    told = sequence(
        plan(), Condition(demand, demand), {fault: np.asarray(1.0) for fault in faults},
        horizon_s=1500.0, changes=[Change(900.0, demand="off")],
    )  # fmt: skip
    return tuple((moment.time_s, moment.what) for moment in told.moments)


def times(what: str, demand: str, *faults: tuple[str, str]) -> list[float]:
    return [at for at, told in story(demand, *faults) if what in told]


# --- order of a normal call ----------------------------------------------------------------------


def test_heat_goes_from_inducer_to_draft_igniter_gas_flame_and_blower() -> None:
    steps = (
        "starts the inducer", "comes to speed and draws", "heats the igniter",
        "opens the gas valve", "gas burner lights", "sees the flame",
        "starts the blower on the heating speed",
    )  # fmt: skip
    at = [times(each, "heat")[0] for each in steps]
    assert at == sorted(at)
    inducer, _, igniter, gas, flame, proved, blower = at
    assert 15.0 <= igniter - inducer <= 60.0
    assert 15.0 <= gas - igniter <= 45.0
    assert 2.0 <= proved - gas <= 7.0
    assert 30.0 <= blower - flame <= 60.0


def test_at_the_end_of_a_call_the_gas_shuts_at_once_and_the_air_goes_on() -> None:
    shut, purge, air = (
        times(each, "heat")[-1] - 900.0
        for each in ("shuts the gas valve", "stops the inducer", "ends the heating speed")
    )
    assert shut <= 1.0
    assert 5.0 <= purge <= 30.0
    assert 90.0 <= air <= 180.0


def test_cooling_goes_through_the_board_on_its_own_blower_speed() -> None:
    assert times("starts the blower on the cooling speed", "cool")[0] <= 5.0
    assert 45.0 <= times("ends the cooling speed", "cool")[0] - 900.0 <= 90.0
    call = solved(CALLING)
    assert does(call) == {
        "board": "is off", "blower": "runs", "compressor": "runs", "fan": "runs",
    }  # fmt: skip
    assert volt(call, "board.R", "board.C") > 24.0
    assert does(solved(FAN))["compressor"] == "is off"


def test_without_a_flame_it_tries_four_times_shuts_the_gas_each_time_and_locks() -> None:
    no_gas = ("burner", "no_gas")
    opens, shuts = (times(w, "heat", no_gas) for w in ("opens the gas", "shuts the gas valve"))
    assert len(opens) == len(shuts) == 4
    assert max(b - a for a, b in zip(opens, shuts, strict=True)) <= 8.0
    (locks,) = times("locks", "heat", no_gas)
    assert locks > opens[-1]
    assert times("forgets its lock", "heat", no_gas)[0] == pytest.approx(900.0, abs=2.0)


# --- healthy readings ----------------------------------------------------------------------------


def test_a_flame_carries_1_to_6_microamperes_and_the_igniter_is_off_by_then() -> None:
    heat = solved(HEATING)
    micro = 1e6 * float(np.abs(heat.element_amp(("burner", "rod")))[0])
    assert 1.0 <= micro <= 6.0
    assert volt(heat, "burner.I1", "burner.I2") < 1.0
    assert volt(heat, "burner.MV", "burner.C") > 24.0
    assert does(heat) == {
        "board": "heats", "blower": "runs", "compressor": "is off", "fan": "is off",
    }  # fmt: skip


def test_the_heating_tap_turns_the_blower_slower_and_the_tap_not_used_is_live() -> None:
    cool, heat = solved(CALLING), solved(HEATING)
    assert heat.state(("blower", "slip"))[0] > cool.state(("blower", "slip"))[0]
    assert volt(cool, "blower.M", "neutral.N") > 100.0
    assert volt(heat, "blower.R", "neutral.N") > 100.0


# --- no 24 V from the furnace --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fault", "primary", "secondary"),
    [
        (("lv_fuse", "held_open"), True, True),
        (("door_switch", "held_open"), False, False),
        (("transformer", "primary_open"), True, False),
        (("transformer", "secondary_open"), True, False),
    ],
)
def test_no_24_volts_at_the_board_is_fuse_door_or_transformer_by_two_readings(
    fault: tuple[str, str], *, primary: bool, secondary: bool
) -> None:
    call = solved(CALLING, fault)
    assert volt(call, "board.R", "board.C") < 1.0
    assert does(call)["blower"] == does(call)["compressor"] == "is off"
    assert (volt(call, "transformer.pri1", "transformer.pri2") > 100.0) == primary
    assert (volt(call, "transformer.R", "transformer.C") > 20.0) == secondary


def test_a_cooling_relay_that_does_not_make_leaves_good_heat_and_no_cooling_air() -> None:
    relay = ("board", "cool_open")
    assert does(solved(CALLING, relay))["blower"] == "is off"
    assert does(solved(HEATING, relay))["blower"] == "runs"
    assert volt(solved(CALLING, relay), "board.G", "board.C") > 24.0


def test_an_open_limit_runs_the_blower_for_ever_and_gives_no_heat() -> None:
    limit = ("limit", "held_open")
    for condition in (STANDBY, HEATING):
        told = does(solved(condition, limit))
        assert (told["board"], told["blower"]) == ("is off", "runs")


@pytest.mark.parametrize("fault", [("blower", "seized"), ("board", "heat_open")])
def test_a_burning_furnace_without_air_opens_its_limit_and_not_the_rollout_switch(
    fault: tuple[str, str],
) -> None:
    heat = solved(HEATING, fault)
    assert heat.state(("limit", "opened"))[0] == 1.0
    assert volt(heat, "limit.1", "limit.2") > 20.0
    assert volt(heat, "rollout.1", "rollout.2") < 1.0
    assert solved(HEATING).state(("limit", "opened"))[0] == 0.0


# --- no heat -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fault", "seen", "igniter", "valve"),
    [
        (("board", "dead"), "nothing happens", False, False),
        (("limit", "held_open"), "nothing happens", False, False),
        (("inducer", "switch_stuck"), "nothing happens", False, False),
        (("inducer", "blocked"), "only the inducer runs", False, False),
        (("board", "no_igniter"), "only the inducer runs", False, True),
        (("burner", "igniter_open"), "only the inducer runs", True, True),
        (("burner", "no_gas"), "the igniter glows, no flame", True, True),
        (("burner", "valve_open"), "the igniter glows, no flame", True, True),
        (("board", "no_gas"), "the igniter glows, no flame", True, False),
        (("burner", "rod_dirty"), "it lights and goes out in seconds", True, True),
        (("board", "deaf"), "it lights and goes out in seconds", True, True),
        (None, "it burns on", False, True),
    ],
)
def test_how_far_it_comes_and_volts_in_a_try_tell_board_from_igniter_valve_and_gas(
    fault: tuple[str, str] | None, seen: str, *, igniter: bool, valve: bool
) -> None:
    heat = solved(HEATING, *(() if fault is None else (fault,)))
    (check,) = (each for each in checks_of(arrangement(NAME)) if each.card.id == "look-sequence")

    class Bench:
        heating, size = heat, 1

    chances = check.look(Bench(), ())  # type: ignore[misc, arg-type]
    assert check.card.choices[int(np.argmax(chances[0]))] == seen
    assert (volt(heat, "burner.I1", "burner.I2") > 100.0) == igniter
    assert (volt(heat, "burner.MV", "burner.C") > 20.0) == valve


def test_line_and_neutral_crossed_prove_no_flame_though_24_volts_are_there() -> None:
    """The trade's trap: the rod's terminal sees line volts to ground, and there are none."""
    unit = arrangement(NAME)
    hot, cold = (unit.wire_by_name[each] for each in ("indoor_run", "indoor_neutral"))
    swapped = {"indoor_run": cold.start, "indoor_neutral": hot.start}
    wires = tuple(replace(wire, start=swapped.get(wire.name, wire.start)) for wire in unit.wires)
    crossed = solve(Plan(replace(unit, wires=wires)), HEATING)
    assert volt(crossed, "board.R", "board.C") > 24.0
    assert crossed.state(("burner", "flame"))[0] == 1.0
    assert does(crossed)["board"] == "is off"


# --- bounds --------------------------------------------------------------------------------------


def test_isolation_indoors_warns_of_gas_that_no_switch_shuts() -> None:
    steps = isolate(arrangement(NAME), scope="indoor").steps
    told = [caution.text for step in steps for caution in step.cautions]
    assert any("Power off shuts no gas cock" in each for each in told)


def test_gas_draft_and_combustion_are_said_not_to_be_judged() -> None:
    unit = arrangement(NAME)
    told = not_judged(unit, (check.card for check in checks_of(unit)))
    assert any("combustion" in each for each in told)


def test_no_repair_of_the_furnace_joins_a_guard_across() -> None:
    kinds = {part.kind: arrangement(NAME).kind_of(part.name) for part in arrangement(NAME).parts}
    texts = [mode.repair_text for kind in kinds.values() for mode in kind.modes]
    assert any("never join its leads" in each for each in texts)
    assert not any("bridge" in each or "jumper" in each for each in texts)


@pytest.mark.parametrize("scope", ["cabinet", "indoor", "everything"])
def test_every_cabinet_of_it_can_be_made_dead(scope: str) -> None:
    made = isolate(arrangement(NAME), scope=scope)
    assert made.refusals == ()
    assert made.steps


@pytest.mark.parametrize(
    "picture", some(["ladder", "outdoor", "indoor", "room"], "outdoor", "room")
)
def test_no_label_lies_on_another_in_its_pictures(picture: str) -> None:
    if picture == "ladder":
        assert clashes(ladder(arrangement(NAME))) == []
        return
    cabinet = panel(arrangement(NAME), place=picture)
    assert overlaps(cabinet.labels) == ()
    assert "not drawn" not in cabinet.svg


def test_wires_of_two_outputs_of_the_board_are_not_told_to_join_the_same_points() -> None:
    """The board takes control wires as a strip does, and is more than a place where they meet."""
    unit = arrangement(NAME)
    ends = {"blower_r": "blower.M", "blower_m": "blower.R"}
    crossed = tuple(replace(wire, end=ends.get(wire.name, wire.end)) for wire in unit.wires)
    assert Shape(unit).points != Shape(replace(unit, wires=crossed)).points


def test_a_valve_without_gas_has_pulled_in_and_no_flame_stands() -> None:
    heat = solved(HEATING, ("burner", "no_gas"))
    assert (heat.state(("burner", "lifted"))[0], heat.state(("burner", "flame"))[0]) == (1.0, 0.0)
