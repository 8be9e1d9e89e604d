"""Cases: every class in every arrangement, every fault survivable, the same by the same seed."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.other_world import CLASSES, CaseClass, draw_case, draw_class
from rungwise.other_world.case import Truth
from rungwise.other_world.fault import Fault
from rungwise.other_world.house import House
from rungwise.other_world.makes import good_house
from rungwise.other_world.strangers import strangers
from rungwise.other_world.visit import Visit
from rungwise.other_world.ways import known_faults
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
@pytest.mark.parametrize("kind", CLASSES)
def test_every_class_is_met_in_every_arrangement_and_shows_itself(
    name: str, kind: CaseClass
) -> None:
    case = draw_case(arrangement(name), kind, np.random.default_rng(11))
    truth = case.truth
    assert truth.kind == kind
    assert bool(truth.symptoms) != truth.nothing
    assert truth.nothing == (truth.name == "nothing")
    assert (kind != "effect") or truth.opened


def test_classes_come_by_their_shares() -> None:
    rng = np.random.default_rng(0)
    drawn = [draw_class(rng) for _ in range(2000)]
    for kind, share in CLASSES.items():
        assert drawn.count(kind) / 2000 == pytest.approx(share, abs=0.035)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_faults_of_both_lists_leave_a_house_that_has_a_solution(name: str) -> None:
    """Every eighth of them in each arrangement, another eighth in each."""
    unit, first = arrangement(name), 2 * FIRST_ARRANGEMENTS.index(name)
    count = len(faults_of(good_house(unit, np.random.default_rng(2))))
    for at in range(first, count, 8):
        house = good_house(unit, np.random.default_rng(2))
        fault = faults_of(house)[at]
        fault.change(house, np.random.default_rng(at))
        solved = Visit(house).calling.solved
        volts = [abs(solved.volt(node)) for node in ("board.R", "contactor.L1", "contactor.T2")]
        assert np.isfinite(volts).all(), fault.name
        assert max(volts) < 400, fault.name


def faults_of(house: House) -> list[Fault]:
    return [*known_faults(house), *strangers(house)]


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_what_is_right_to_name_stands_in_the_unit(name: str) -> None:
    house = good_house(arrangement(name), np.random.default_rng(2))
    known = {*house.values, *house.wires, "unit"}
    known |= {f"{a}+{b}" for cable in house.unit.cables for a in cable.wires for b in cable.wires}
    for fault in faults_of(house):
        blocks = {each.partition(":")[0] for each in fault.right}
        assert blocks, fault.name
        assert blocks - {""} <= known, fault.name


def test_the_same_seed_draws_the_same_house() -> None:
    first, again = (
        draw_case(arrangement("two_pole_plain"), "listed", np.random.default_rng(6))
        for _ in range(2)
    )
    assert first.truth == again.truth
    assert first.visit.calling.stand.states == again.visit.calling.stand.states


def truth(right: set[str]) -> Truth:
    none: frozenset[str] = frozenset()
    return Truth(
        kind="listed",
        name="x",
        right=frozenset(right),
        faulty=none,
        opened=none,
        symptoms=none,
        causes=none,
        said=none,
        redrawn=0,
    )


def test_right_may_be_a_block_an_act_or_anything_but_an_act() -> None:
    assert truth({"fan"}).is_right("fan", "replace")
    assert not truth({"fan"}).is_right("capacitor", "replace")
    assert truth({"compressor:let_cool"}).is_right("compressor", "let_cool")
    assert not truth({"compressor:let_cool"}).is_right("compressor", "replace")
    assert truth({"compressor:~replace"}).is_right("compressor", "let_cool")
    assert not truth({"compressor:~replace"}).is_right("compressor", "replace")
