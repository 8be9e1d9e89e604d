"""Trying to start what was made dead: which demands are asked for, read from the circuit."""

from __future__ import annotations

import pytest

from rungwise.circuit import Plan, asked_for, loads_of, solve
from rungwise.isolation import isolate
from rungwise.isolation.asking import demands_that_start
from rungwise.isolation.shape import Scope, Step
from rungwise.parts import Does
from rungwise.unit import ARRANGEMENTS, arrangement


def tried(name: str, scope: Scope) -> Step:
    plan = isolate(arrangement(name), scope=scope)
    return next(step for step in plan.steps if step.kind == "try")


@pytest.mark.parametrize(
    ("name", "scope", "asks", "never"),
    [
        ("two_pole_plain", "cabinet", "COOL", "HEAT"),
        ("heat_pump_b_timed", "cabinet", "HEAT", "EMERGENCY"),
        ("heat_pump_outdoor_stat", "cabinet", "EMERGENCY HEAT", "COOL"),
        ("air_handler_heat_15kw", "indoor", "until both stages call", "EMERGENCY"),
        ("air_handler_heat_15kw", "cabinet", "COOL", "HEAT"),
    ],
)
def test_trying_asks_for_what_would_start_there(
    name: str, scope: Scope, asks: str, never: str
) -> None:
    text = tried(name, scope).text
    assert asks in text
    assert never not in text


def test_blower_of_a_rooftop_unit_may_not_run_either() -> None:
    assert "Nothing may move" in tried("rooftop_208", "cabinet").text
    assert "the blower may run" in tried("two_pole_plain", "cabinet").text


@pytest.mark.parametrize("name", ARRANGEMENTS[::4])
def test_demands_asked_for_start_every_load_that_any_demand_starts(name: str) -> None:
    plan = Plan(arrangement(name))
    started = {
        demand: {
            state.part
            for state in loads_of(solve(plan, asked_for(demand)))
            if state.does is not Does.OFF
        }
        for demand in plan.unit.demands
    }
    at_rest = started.pop("off")
    asked = demands_that_start(plan, plan.unit.terminals())
    every = set().union(*started.values()) - at_rest
    assert set().union(*(started[each] for each in asked)) - at_rest == every


def test_a_unit_that_a_pressure_starts_is_not_held_off_by_its_box() -> None:
    plan = isolate(arrangement("walk_in_cooler"), scope="cabinet")
    assert any("starts by itself on any rise" in caution.text for caution in plan.cautions)
    assert "box thermostat as cold as it goes" in tried("walk_in_cooler", "cabinet").text
    others = isolate(arrangement("two_pole_plain"), scope="cabinet").cautions
    assert not any("starts by itself" in caution.text for caution in others)


def test_fans_of_a_box_run_on_until_its_breaker_opens() -> None:
    plan = isolate(arrangement("walk_in_cooler"), scope="indoor")
    assert "Its fans run on" in plan.steps[0].text
    assert not isolate(arrangement("walk_in_cooler"), scope="cabinet").keeps_running
    other = isolate(arrangement("two_pole_plain"), scope="indoor")
    assert "Wait until the blower stops" in other.steps[0].text
