"""A two-stage compressor: amps and volts of both stages, and what keeps the second one away.

18 to 28 V AC in, 1.5 to 3 V less behind the rectifier, 15 to 27 V, a coil of 32 to 60 Ω, amps up by
20 to 45% into the high stage: read on three suppliers' pages.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.drawing.test_ladder import clashes
from tests.wide import some

from rungwise.circuit import CALLING, Change, Condition, Plan, asked_for, sequence, solve
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.circuit.states_of_loads import loads_of
from rungwise.diagnosis.checks import checks_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.isolation import isolate
from rungwise.unit import arrangement

NAME = "two_stage"
LOW = asked_for("cool1")


@cache
def plan() -> Plan:
    return Plan(arrangement(NAME))


def solved(condition: Condition, *faults: tuple[str, str]) -> Solution:
    return solve(plan(), condition, {fault: np.asarray(1.0) for fault in faults})


def volt(solution: Solution, a: str, b: str) -> float:
    return float(np.abs(solution.volt(a, b))[0])


def amp(solution: Solution) -> float:
    return float(np.abs(solution.element_amp(("compressor", "common")))[0])


def test_amps_rise_by_20_to_45_percent_into_the_high_stage() -> None:
    assert 1.20 <= amp(solved(CALLING)) / amp(solved(LOW)) <= 1.45


def test_a_rectifier_gives_15_to_27_volts_and_takes_1_5_to_3() -> None:
    high = solved(CALLING)
    into = volt(high, "stage_plug.ac1", "stage_plug.ac2")
    out = volt(high, "stage_plug.p", "stage_plug.n")
    assert 18.0 <= into <= 28.0
    assert 15.0 <= out <= 27.0
    assert 1.5 <= into - out <= 3.0
    assert 32.0 <= arrangement(NAME).part("compressor").number("coil_ohm") <= 60.0


def test_y2_alone_is_no_call_and_the_low_stage_needs_no_y2() -> None:
    assert {e.part: e.does.words for e in loads_of(solved(LOW))}["compressor"] == "runs"
    assert volt(solved(LOW), "stage_plug.ac1", "stage_plug.ac2") < 0.1
    y_held = solved(CALLING, ("thermostat", "y_held_open"))
    assert {e.part: e.does.words for e in loads_of(y_held)}["compressor"] == "is off"


@pytest.mark.parametrize(
    ("fault", "into", "out"),
    [
        (("stage_plug", "open"), True, False),
        (("compressor", "coil_open"), True, True),
        (("compressor", "valve_stuck"), True, True),
        (("y2_field", "path_open"), False, False),
        (("thermostat", "y2_held_open"), False, False),
    ],
)
def test_volts_in_and_out_of_the_plug_tell_y2_from_rectifier_from_compressor(
    fault: tuple[str, str], *, into: bool, out: bool
) -> None:
    """All of them stay in the low stage: warm on the hottest days, and nothing else."""
    call = solved(CALLING, fault)
    assert amp(call) == pytest.approx(amp(solved(LOW)), rel=0.03)
    assert (volt(call, "stage_plug.ac1", "stage_plug.ac2") > 18.0) == into
    assert (volt(call, "compressor.sol1", "compressor.sol2") > 15.0) == out


def test_the_story_tells_when_it_shifts_and_that_it_goes_back_with_the_call() -> None:
    told = sequence(
        plan(), LOW, horizon_s=900.0, changes=[Change(300.0, demand="cool"), Change(600.0, "off")]
    )
    at = {moment.what: moment.time_s for moment in told.moments}
    assert at["two-stage compressor goes into its high stage"] == pytest.approx(300.0, abs=5.0)
    assert at["two-stage compressor goes back into its low stage"] == pytest.approx(600.0, abs=5.0)


def test_checks_ask_direct_volts_ohms_of_the_solenoid_and_the_shift() -> None:
    cards = {each.card.id: each.card for each in checks_of(arrangement(NAME))}
    assert cards["direct-stage_plug-p-n"].instrument == "volts DC"
    assert {"volts-stage_plug-ac1-ac2", "look-compressor-stage"} <= set(cards)
    assert any("sol1" in each and "ohms" in each for each in cards)


def test_ngspice_finds_the_same_volts_in_both_stages_and_with_an_open_rectifier() -> None:
    each = [solved(LOW), solved(CALLING), solved(CALLING, ("stage_plug", "open"))]
    found = run_many([net for solution in each for net in netlists(solution)])
    for ours, theirs in zip(each, found, strict=True):
        for node, volts in zip(names_of(plan()).node, ours.volts[:-1], strict=True):
            assert np.allclose(volts, theirs.volts[node], rtol=1e-3, atol=1e-3), node


@pytest.mark.parametrize("scope", ["cabinet", "indoor", "everything"])
def test_every_cabinet_of_it_can_be_made_dead(scope: str) -> None:
    assert isolate(arrangement(NAME), scope=scope).refusals == ()


@pytest.mark.parametrize("picture", some(["ladder", "outdoor", "indoor", "room"], "ladder", "room"))
def test_no_label_lies_on_another_in_its_pictures(picture: str) -> None:
    if picture == "ladder":
        assert clashes(ladder(arrangement(NAME))) == []
        return
    cabinet = panel(arrangement(NAME), place=picture)
    assert overlaps(cabinet.labels) == ()
    assert "not drawn" not in cabinet.svg
