"""What a proof and a first start ask of a unit that heats: its valve, its strips, its defrost."""

from __future__ import annotations

from functools import lru_cache

import pytest

from rungwise.diagnosis import IN_DEFROST, ON_HEAT, Check, checks_of
from rungwise.faults import SuspectSet
from rungwise.unit import arrangement
from rungwise.verification.masked_faults import hidden_behind, repairs_named
from rungwise.verification.sights import Sight, own_sights, sights_of
from rungwise.verification.start_story import StartStep, startup

PUMP, STRIPS, COOLS = "heat_pump_o_timed", "air_handler_heat_10kw", "two_pole_plain"


@lru_cache
def checks(name: str) -> tuple[Check, ...]:
    return tuple(checks_of(arrangement(name)))


def needed(name: str) -> set[str]:
    known = {check.card.id for check in checks(name)}
    sights = sights_of(arrangement(name), known)
    return {each for sight in sights if sight.needed for each in sight.checks}


def own(name: str, part: str) -> list[Sight]:
    suspects = SuspectSet(arrangement(name))
    hidden = hidden_behind(suspects, repairs_named(suspects, [part]))
    cards = [check.card for check in checks(name)]
    return list(own_sights(suspects.unit, cards, hidden))


@lru_cache
def story(name: str) -> tuple[StartStep, ...]:
    return startup(arrangement(name))


@pytest.mark.parametrize(
    "check",
    [
        "look-blower-heat",
        "look-reversing_valve-line",
        "look-heat-reversing_valve-line",
        "look-defrost-fan",
        "heat-amps-heat_element_1",
        "heat-amps-heat_element_2",
    ],
)
def test_proof_of_a_heat_pump_has_to_have_seen(check: str) -> None:
    assert check in needed(PUMP)


def test_proof_of_a_unit_that_only_cools_asks_for_no_heat() -> None:
    by_id = {check.card.id: check.card for check in checks(COOLS)}
    assert not {ON_HEAT, IN_DEFROST} & {by_id[each].condition for each in needed(COOLS)}


@pytest.mark.parametrize(
    ("unit", "part"),
    [
        (PUMP, "reversing_valve"),
        (PUMP, "defrost_board"),
        (PUMP, "sequencer_1"),
        (PUMP, "element_2"),
        (STRIPS, "limit_1"),
    ],
)
def test_repair_of_a_heat_side_part_is_read_on_a_call_for_heat(unit: str, part: str) -> None:
    by_id = {check.card.id: check.card for check in checks(unit)}
    cores = [sight for sight in own(unit, part) if sight.core]
    on_heat = [s for s in cores if {by_id[each].condition for each in s.checks} == {ON_HEAT}]
    assert on_heat, [s.name for s in cores]


def test_repair_of_the_contactor_is_read_without_a_call_for_heat() -> None:
    assert [sight.name for sight in own(PUMP, "contactor")] == [
        "own reading of the two-pole contactor, which was repaired"
    ]


def test_first_start_of_a_heat_pump_tells_each_call_in_its_order() -> None:
    calls = dict.fromkeys(step.call for step in story(PUMP))
    assert list(calls) == [
        "",
        "a call for cooling",
        "a call for auxiliary heat, with a defrost in it",
    ]


def test_defrost_of_the_first_start_stops_the_fan_and_ends_by_itself() -> None:
    told = [(step.time_s, str(step.what)) for step in story(PUMP) if "defrost" in step.call]
    begins = next(at for at, what in told if what.endswith("begins a defrost"))
    ends = next(at for at, what in told if what.endswith("ends the defrost"))
    fan = [(at, what) for at, what in told if what.startswith("outdoor fan motor") and at > begins]
    assert [what.split(",")[0] for _, what in fan[:2]] == [
        "outdoor fan motor stops",
        "outdoor fan motor starts and runs",
    ]
    assert begins < fan[0][0] < ends < fan[1][0]


def test_amps_of_strip_heat_are_told_as_each_element_comes() -> None:
    warm = [step.watch for step in story(STRIPS) if "through" in step.watch]
    assert [watch.split(" through ")[1] for watch in warm] == [
        "the heating element 1)",
        "the heating element 2)",
    ]
    # An element of 5 kW at 240 V is 11.52 Ω: 20.83 A there, 19.97 A where its volts sag to 230.
    amps = [float(watch.lstrip("(").split()[0]) for watch in warm]
    assert all(19.97 < each < 20.83 for each in amps), amps


def test_first_start_of_a_unit_that_only_cools_tells_one_call() -> None:
    assert {step.call for step in story(COOLS)} == {"", "a call for cooling"}
