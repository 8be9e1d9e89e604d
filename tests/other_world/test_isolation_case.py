"""Damaged descriptions: kept by their numbers, and read by the program as they were meant."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from rungwise.files.document import Document
from rungwise.other_world.isolation_case import FAMILIES, draw_isolation_case
from rungwise.other_world.wired import ARRANGEMENTS, TERMINALS, Wired, wired
from rungwise.other_world.wiring_damage import DAMAGES
from rungwise.parts import KINDS
from rungwise.unit.unit_file import unit_from
from rungwise.unit.wiring import PART_KINDS


def read(unit: Wired) -> None:
    """The program's own reader finds the same parts, places, terminals and wires."""
    told = unit_from(Document(unit.toml(), file="a damaged unit"), name="damaged")
    ends = {name: (w["from"], w["to"]) for name, w in unit.wires.items()}
    assert {wire.name: (wire.start, wire.end) for wire in told.wires} == ends
    placed = {name: (part["kind"], part["place"]) for name, part in unit.parts.items()}
    assert {part.name: (part.kind, part.place) for part in told.parts} == placed
    assert set(told.terminals()) == set(unit.terminals())


def test_kinds_have_the_terminals_that_unit_files_know() -> None:
    known = set(TERMINALS)  # of the kinds since it draws none, and works no arrangement with one
    assert known <= set(PART_KINDS)
    assert {kind: set(TERMINALS[kind]) for kind in known} == {
        kind: set(KINDS[kind].terminals) for kind in known
    }


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_an_arrangement_is_read_as_the_program_reads_it(name: str) -> None:
    read(wired(name))


@pytest.mark.parametrize("damage", [name for name in DAMAGES if name != "nothing"])
def test_a_damage_changes_the_description_and_can_still_be_read(damage: str) -> None:
    unit = wired("heater_line_side").copy()
    DAMAGES[damage](unit, np.random.default_rng(3))
    assert unit != wired("heater_line_side")
    if not unit.loose():
        read(unit)


def test_a_number_is_always_the_same_case_and_other_numbers_are_others() -> None:
    numbers = list(product(ARRANGEMENTS, range(6)))
    first = [draw_isolation_case(name, number, 5) for name, number in numbers]
    assert first == [draw_isolation_case(name, number, 5) for name, number in numbers]
    assert len({each.described.toml() + each.true.toml() for each in first}) > len(numbers) // 2


def test_odd_units_are_described_as_they_are_and_wrong_descriptions_are_not() -> None:
    drawn = [draw_isolation_case(name, n, 5) for name in ARRANGEMENTS for n in range(40)]
    for each in drawn:
        if each.family == "wrong description" and "nothing" not in each.damages[0]:
            assert each.described != each.true
        elif each.family == "odd unit" or each.welded:
            assert each.described == each.true
    assert {each.family for each in drawn} == set(FAMILIES)
