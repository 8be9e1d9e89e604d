"""Wires and terminals: places enough, and the work where a joint meets another sort of place."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from tests.replacement.touchstone import contactor

from rungwise.parts.joint_work import JOINTS, PLACES_ON_A_TERMINAL, work_for
from rungwise.replacement.joints import joint_reasons
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.seating import seat
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement

UNIT = arrangement("one_pole_heater")
ENOUGH = {"L1": ("lug", "tab"), "L2": ("lug",), "T1": ("tab",) * 3, "T2": ("tab",) * 2,
          "coil1": ("tab",), "coil2": ("tab",)}  # fmt: skip


def told(unit: Unit, **terminals: tuple[str, ...]) -> list[Reason]:
    candidate = replace(contactor(1), terminals={**ENOUGH, **terminals})
    return list(joint_reasons(unit, candidate, seat(unit, candidate)))


def with_ring(unit: Unit, wire: str) -> Unit:
    wires = tuple(
        replace(w, joints=(w.joints[0], "ring")) if w.name == wire else w for w in unit.wires
    )
    return replace(unit, wires=wires)


def test_a_place_for_every_wire_needs_no_work() -> None:
    assert told(UNIT) == []


def test_a_ring_under_a_plate_is_cut_stripped_and_made_anew() -> None:
    (found,) = told(with_ring(UNIT, "whip_l2"), L2=("plate",))
    assert found.weight is Weight.CHANGE
    for word in ("contactor L2", "10 AWG", "cut off the ring", "strip", "gather every strand"):
        assert word in found.text


def test_a_bare_end_fits_a_plate_as_it_fits_a_lug() -> None:
    assert told(UNIT, L2=("plate",)) == []


def test_the_fewest_joints_are_remade() -> None:
    """A plate and two tabs for three push-ons: one wire is remade, not two."""
    found = told(UNIT, T1=("plate", "tab", "tab"))
    assert [each.rule for each in found] == ["joint.remade"]


def test_too_few_places_ask_for_a_tail() -> None:
    (found,) = told(UNIT, T1=("tab", "tab"))
    assert (found.rule, found.has, found.needs) == ("terminal.places", 2.0, 3.0)
    assert "one tail" in found.text


def test_what_is_not_described_is_said_once() -> None:
    candidate = contactor(1)
    (found,) = joint_reasons(UNIT, candidate, seat(UNIT, candidate))
    assert found.weight is Weight.NOTE
    assert "contactor T1 takes 3 wires (quick-connect, quick-connect, quick-connect)" in found.text


MADE = {"tab": "push-on", "plate": "plate", "lug": "plate", "screw": "ring", "lead": "splice"}
"""The joint that work for a place leaves on the wire's end."""


@pytest.mark.parametrize(("joint", "place"), [*product(JOINTS, PLACES_ON_A_TERMINAL)])
def test_every_joint_can_be_brought_onto_every_place(joint: str, place: str) -> None:
    """Work that leads to a joint which then fits; none of it bridges anything."""
    work = work_for(joint, place)
    after = MADE[place] if work else joint
    assert work_for(after, place) == ""
    assert (work == "") == (after == joint)
    assert "jumper" not in work
    assert "bridge" not in work
