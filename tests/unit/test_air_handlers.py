"""Air handlers and furnaces do what the trade says of them, each figure from the solution.

Healthy readings, behavior per call and what stays live: the trade's own figures, common practice,
no source, unless said otherwise.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.drawing.test_ladder import clashes

from rungwise.circuit.condition import CALLING, STANDBY, Condition
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.states_of_loads import loads_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.isolation import isolate
from rungwise.replacement import plate_of
from rungwise.unit.unit_file import arrangement

RELAY = "air_handler_relay"
NAMES = (RELAY,)

FAN = Condition("fan", "fan")


@cache
def plan(name: str) -> Plan:
    return Plan(arrangement(name))


@cache
def solved(name: str, condition: str) -> Solution:
    named = {each.name: each for each in (CALLING, STANDBY, FAN)}
    return solve(plan(name), named[condition])


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


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("scope", ["cabinet", "indoor", "everything"])
def test_every_cabinet_of_it_can_be_made_dead(name: str, scope: str) -> None:
    made = isolate(arrangement(name), scope=scope)
    assert made.refusals == ()
    assert made.steps


@pytest.mark.parametrize("name", NAMES)
def test_no_label_lies_on_another_in_its_pictures(name: str) -> None:
    unit = arrangement(name)
    assert clashes(ladder(unit)) == []
    cabinets = [panel(unit, place=each) for each in ("outdoor", "indoor", "room")]
    assert [overlaps(each.labels) for each in cabinets] == [()] * 3


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
