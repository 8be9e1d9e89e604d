"""Every check of the program is a question that the other world can answer."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.evaluation.asking import ask_of, blocks_touched
from rungwise.other_world import Amps, Leads, Look, OtherTechnician, Volts
from rungwise.other_world.makes import good_house
from rungwise.other_world.visit import Visit
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@cache
def technician(name: str) -> OtherTechnician:
    return OtherTechnician(Visit(good_house(arrangement(name), np.random.default_rng(1))), 4, 0.0)


def asked(unit: Unit, check: str) -> object:
    return ask_of(unit, next(each for each in checks_of(unit) if each.card.id == check))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_check_gets_an_answer_of_its_own_sort(name: str) -> None:
    unit = arrangement(name)
    for check in checks_of(unit):
        ask = ask_of(unit, check)
        assert ask is not None, check.card.id
        found = technician(name).take(check.card.id, ask, told=True)
        if check.card.form == "number":
            assert isinstance(found, float), check.card.id
            assert found >= 0, check.card.id
        else:
            assert found is None or found in check.card.choices, check.card.id


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_check_is_taken_on_something_of_the_unit_or_on_all_of_it(name: str) -> None:
    unit = arrangement(name)
    known = {*unit.part_by_name, *unit.wire_by_name, "unit", "", "@earth"}
    known |= {f"{a}+{b}" for cable in unit.cables for a in cable.wires for b in cable.wires}
    for check in checks_of(unit):
        assert blocks_touched(unit, check) <= known, check.card.id


def test_leads_go_where_the_card_says() -> None:
    unit = arrangement("one_pole_heater")
    assert asked(unit, "volts-coil") == Volts("calling", "contactor.coil1", "contactor.coil2", 1e7)
    assert asked(unit, "idle-lowz-coil") == Volts(
        "standby", "contactor.coil1", "contactor.coil2", 3e3
    )
    drop = asked(unit, "drop-contactor-L1-T1")
    assert isinstance(drop, Volts)
    assert drop.fine


def test_a_wire_by_itself_is_measured_from_its_loose_end() -> None:
    unit = arrangement("one_pole_heater")
    ask = asked(unit, "wire-comp_s")
    assert ask == Leads("ohms", "comp_s~start", "compressor.S", wires=("comp_s",))


def test_what_is_caught_as_it_starts_is_the_peak() -> None:
    unit = arrangement("one_pole_heater")
    ask = asked(unit, "start-amps-comp_c")
    assert isinstance(ask, Amps)
    assert ask.inrush
    assert ask.when == "starting"


def test_looks_name_the_thing_and_the_part() -> None:
    unit = arrangement("one_pole_heater")
    turns, joints, breaker = (
        asked(unit, each) for each in ("look-fan", "look-joints-outdoor", "look-outdoor_breaker")
    )
    assert isinstance(turns, Look)
    assert isinstance(joints, Look)
    assert isinstance(breaker, Look)
    assert (turns.thing, turns.subject) == ("turns", "fan")
    assert (joints.thing, joints.subject) == ("joints", "outdoor")
    assert (breaker.thing, breaker.subject) == ("device", "outdoor_breaker")
