"""Deltas with a grounded corner, and open ones: readings to ground and leg to leg, and isolation.

Healthy volts are arithmetic on 240 V; unbalance and amps of an open bank are held against another
engine's figures for a 25 hp motor on a bank of 25 and 10 kVA: 1.466% and 0.710%, amps up to 8%
from their mean (OpenDSS 0.14, IEEE test case "4wire-Delta", worked out beside this project).
"""

from __future__ import annotations

import cmath
import math
from functools import cache

import numpy as np
import pytest
from tests.drawing.test_ladder import clashes
from tests.wide import some

from rungwise.circuit import CALLING, STANDBY, Condition, Plan, solve
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.circuit.states_of_loads import loads_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.faults import SuspectSet
from rungwise.isolation import isolate
from rungwise.parts import EARTH
from rungwise.replacement.nec.unbalance import unbalance
from rungwise.unit import arrangement

CORNER, OPEN, CLOSED = "rooftop_corner", "rooftop_open_delta", "rooftop_high_leg"
PAIRS = ((1, 2), (2, 3), (3, 1))
LOSES_GROUND = ("service", "ground_lost")
SMALL_BANK = {
    ("service", name): np.asarray(2.0 * usual)
    for name, usual in {
        "half_ohm": 0.014, "half_henry": 4.6e-5, "power_ohm": 0.07, "power_henry": 2.3e-4,
    }.items()
}  # fmt: skip
"""A bank of 12.5 and 5 kVA."""

HELD_IN = {("phase_monitor", "welded"): np.asarray(1.0)}
"""At the start such a bank sags so unevenly that a monitor lets go."""


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


def solved(name: str, condition: Condition, *faults: tuple[str, str]) -> Solution:
    return solve(plan(name), condition, {fault: np.asarray(1.0) for fault in faults})


def legs(solution: Solution) -> list[float]:
    ends = [(f"contactor.L{a}", f"contactor.L{b}") for a, b in PAIRS]
    return [float(np.abs(solution.volt(*pair))[0]) for pair in ends]


def to_ground(solution: Solution) -> list[float]:
    return [float(np.abs(solution.volt(f"contactor.L{n}", EARTH))[0]) for n in (1, 2, 3)]


def amps(solution: Solution) -> list[float]:
    leads = solution.plan.motors["compressor"].leads
    return [float(np.abs(solution.element_amp(("compressor", lead)))[0]) for lead in leads]


def test_readings_to_ground_tell_the_supplies_apart_and_leg_to_leg_does_not() -> None:
    """240 V delta: corner grounded 240, 0, 240; high leg 120, 207.85, 120."""
    told = {name: to_ground(solved(name, STANDBY)) for name in (CORNER, OPEN, CLOSED)}
    assert told[CORNER] == pytest.approx([240.0, 0.0, 240.0], abs=0.3)
    assert told[OPEN] == pytest.approx([120.0, 207.85, 120.0], abs=0.5)
    assert told[CLOSED] == pytest.approx([120.0, 207.85, 120.0], abs=0.3)
    for name in told:
        assert legs(solved(name, STANDBY)) == pytest.approx([240.0] * 3, abs=0.5)


@pytest.mark.parametrize("name", [CORNER, OPEN])
def test_a_call_runs_everything_and_nothing_turns_backwards(name: str) -> None:
    told = {each.part: each.does.words for each in loads_of(solved(name, CALLING))}
    assert {told[each] for each in ("compressor", "fan", "blower")} == {"runs"}


def test_a_corner_without_its_ground_floats_and_runs_on_as_before() -> None:
    """240/√3 = 138.6 V to ground by the cables alone; nothing else changes."""
    floats = solved(CORNER, CALLING, LOSES_GROUND)
    assert to_ground(floats) == pytest.approx([138.6] * 3, rel=0.03)
    assert legs(floats) == pytest.approx(legs(solved(CORNER, CALLING)), abs=0.1)
    titles = {each.id: each.title for each in SuspectSet(arrangement(CORNER)).suspects}
    assert any("lost its ground" in each for each in titles.values())


def test_legs_in_the_other_order_turn_it_backwards_on_both() -> None:
    for name in (CORNER, OPEN):
        turned = solved(name, CALLING, ("service", "legs_turned"))
        told = {each.part: each.does.words for each in loads_of(turned)}
        assert told["compressor"] != "runs"


def test_an_open_bank_sags_unevenly_where_a_closed_one_does_not() -> None:
    loaded = solve(plan(OPEN), CALLING, SMALL_BANK | HELD_IN)
    assert 0.007 <= unbalance(legs(loaded)) <= 0.015
    mean = sum(amps(loaded)) / 3.0
    assert 0.03 < max(abs(each - mean) / mean for each in amps(loaded)) < 0.08
    assert unbalance(legs(solved(CLOSED, CALLING))) < 0.002


def test_units_of_an_open_bank_work_at_30_degrees_either_side_of_the_loads_angle() -> None:
    """cos(phi - 30) and cos(phi + 30): 0.9928 and 0.3928 at 0.8; 86.6% of both units' kVA (a
    textbook's rule of 57.7% of three).
    """
    call = solved(OPEN, CALLING)
    one, two, three = (call.volt(f"contactor.T{n}", EARTH)[0] for n in (1, 2, 3))
    first, second, third = (
        call.element_amp(("compressor", lead))[0] for lead in plan(OPEN).motors["compressor"].leads
    )
    whole = one * np.conj(first) + two * np.conj(second) + three * np.conj(third)
    tapped, power = (one - three) * np.conj(first), (two - three) * np.conj(second)
    assert tapped + power == pytest.approx(whole, rel=1e-6)
    angle = cmath.phase(whole)
    found = sorted(abs(math.cos(cmath.phase(each))) for each in (tapped, power))
    meant = sorted(abs(math.cos(angle + turn * math.pi / 6)) for turn in (-1, 1))
    assert found == pytest.approx(meant, abs=0.03)
    assert abs(whole) / (abs(tapped) + abs(power)) == pytest.approx(0.866, abs=0.01)


@pytest.mark.parametrize("name", [CORNER, OPEN])
def test_ngspice_finds_the_same_volts_healthy_and_faulty(name: str) -> None:
    faults = [(), (("service", "l3_lost"),), (("service", "l2_lost"),)]
    faults += [(LOSES_GROUND,)] if name == CORNER else []
    each = [solved(name, CALLING, *chosen) for chosen in faults]
    found = run_many([net for solution in each for net in netlists(solution)])
    for ours, theirs in zip(each, found, strict=True):
        for node, volts in zip(names_of(plan(name)).node, ours.volts[:-1], strict=True):
            assert np.allclose(volts, theirs.volts[node], rtol=1e-3, atol=1e-3), node


@pytest.mark.parametrize("scope", ["cabinet", "disconnect", "everything"])
def test_a_grounded_leg_is_proved_dead_against_a_live_leg_and_not_to_ground(scope: str) -> None:
    made = isolate(arrangement(CORNER), scope=scope)
    assert made.refusals == ()
    assert any(
        c.signal == "DANGER" and "0 V to ground is not dead" in c.text for c in made.cautions
    )
    pairs = {(r.red, r.black) for step in made.steps for r in step.readings if r.expects == "dead"}
    assert ("disconnect.load2", "disconnect.line1") in pairs
    told = " ".join(step.else_means for step in made.steps)
    assert "About 240 V on fused disconnect at the unit load 1" in told
    assert "load 2 to fused disconnect at the unit line 1: pole 2" in told


def test_what_a_stuck_pole_shows_is_told_in_the_volts_of_its_own_leg() -> None:
    for name, volts in (("rooftop_460", "277 V"), (CLOSED, "208 V"), ("rooftop_208", "120 V")):
        told = " ".join(step.else_means for step in isolate(arrangement(name)).steps)
        assert f"about {volts} on fused disconnect at the unit load 2: pole 2" in told


@pytest.mark.parametrize("name", some([CORNER, OPEN], CORNER))
@pytest.mark.parametrize("picture", some(["ladder", "panel"], "panel"))
def test_no_label_lies_on_another_in_its_pictures(name: str, picture: str) -> None:
    unit = arrangement(name)
    assert (clashes(ladder(unit)) if picture == "ladder" else [*overlaps(panel(unit).labels)]) == []
