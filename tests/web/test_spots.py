"""A lead is told by what can be found: a mark on a part, or a joint by its wires."""

from __future__ import annotations

import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.services import is_joint
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement
from rungwise.web.leads import EARTH_METAL
from rungwise.web.prompt import ask_of
from rungwise.web.spots import JOINT, mark_at, part_at, place_words, wires_at


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_joint_is_told_by_every_wire_in_it(name: str) -> None:
    unit = arrangement(name)
    joints = [f"{part.name}.1" for part in unit.parts_of_kind("splice")]
    assert joints
    for end in joints:
        told = wires_at(unit, end)
        assert mark_at(unit, end) == JOINT
        for wire, _ in unit.wires_at(end):
            far = wire.end if wire.start == end else wire.start
            assert f"{wire.colour} to {place_words(unit, far)}" in told


def test_a_terminal_is_told_by_its_mark_and_its_part() -> None:
    unit = arrangement("one_pole_heater")
    assert (mark_at(unit, "contactor.T1"), part_at(unit, "contactor.T1")) == (
        "T1", "one-pole contactor",
    )  # fmt: skip
    assert wires_at(unit, "contactor.T1") == ""
    assert (mark_at(unit, EARTH_METAL), part_at(unit, EARTH_METAL)) == (EARTH_METAL, "")


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_no_card_tells_a_person_to_find_the_number_of_a_splice(name: str) -> None:
    """Neither in its title nor at its leads; and its jaw by no name out of the unit's file."""
    unit = arrangement(name)
    for check in checks_of(unit):
        asked = ask_of(unit, check.card)
        assert "1 of the Y splice" not in asked.title
        if asked.leads is None:
            continue
        for end, mark in (
            (asked.leads.red, asked.leads.red_mark), (asked.leads.black, asked.leads.black_mark)
        ):  # fmt: skip
            assert not (is_joint(unit, end) and mark == "1")
        assert not any(f"{part.name}." in asked.leads.jaw for part in unit.parts)
