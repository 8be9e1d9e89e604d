"""Names are free: another name for every part and wire changes the names in the answers alone."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from tests.wide import some

from rungwise.circuit.netlist import Plan
from rungwise.circuit.states_of_loads import usual_states
from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.isolation import isolate
from rungwise.parts import split_end
from rungwise.replacement import plate_of
from rungwise.unit.unit import Unit, Wire
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement
from rungwise.verification import outdoor_looks, sights_of

FEW = ("hard_start_delay", "two_pole_plain")


@cache
def renamed(name: str) -> tuple[Unit, Unit, dict[str, str]]:
    """An arrangement, the same with all names new, and the old name of each.

    The new names stand in another order of the alphabet, so that nothing can rest on that.
    """
    unit = arrangement(name)
    names = [*(part.name for part in unit.parts), *(wire.name for wire in unit.wires)]
    new = {old: f"q{at * 37 % 499:03d}z" for at, old in enumerate(names)}
    assert len(set(new.values())) == len(names) <= 499

    def end(terminal: str) -> str:
        part, own = split_end(terminal)
        return f"{new[part]}.{own}"

    def moved(wire: Wire) -> Wire:
        return replace(wire, name=new[wire.name], start=end(wire.start), end=end(wire.end))

    other = replace(
        unit,
        parts=tuple(replace(part, name=new[part.name]) for part in unit.parts),
        wires=tuple(moved(wire) for wire in unit.wires),
        cables=tuple(replace(c, wires=tuple(new[w] for w in c.wires)) for c in unit.cables),
    )
    return unit, other, {opaque: old for old, opaque in new.items()}


def suspects(unit: Unit) -> Iterable[Any]:
    for each in SuspectSet(unit):
        yield each.id, each.title, round(each.weight, 9), each.repair, each.repair_text, each.signs


def cards(unit: Unit) -> Iterable[Any]:
    return (check.card for check in checks_of(unit))


def plans(unit: Unit) -> Iterable[Any]:
    for scope in ("cabinet", "disconnect", "indoor", "everything"):
        plan = isolate(unit, scope=scope)
        yield from (scope, plan.refusals, plan.charges, *plan.steps)


def loads(unit: Unit) -> Iterable[Any]:
    for each in usual_states(Plan(unit)):
        yield each.condition, each.part, each.title, each.does, round(each.watt, 3)


def roles(unit: Unit) -> Iterable[Any]:
    told = unit.roles
    yield from (told.compressors, told.outdoor_fans, told.indoor_blowers, told.contactors)
    yield from told.served


def sights(unit: Unit) -> Iterable[Any]:
    """What a proof must have seen: without it nothing is proved, whatever the parts are called."""
    yield from sights_of(unit, {card.id for card in cards(unit)})
    yield from outdoor_looks(unit).items()


def plate(unit: Unit) -> Iterable[Any]:
    """Of a unit that tells all itself: what is the arrangement's is known by the wire's name."""
    found = plate_of(replace(unit, arrangement=""))
    yield from (found.loads, found.device, *found.findings)


@pytest.mark.parametrize("name", some(ARRANGEMENTS, *FEW))
@pytest.mark.parametrize("answer", [suspects, cards, plans, loads, roles, sights, plate])
def test_other_names_change_the_names_alone(
    name: str, answer: Callable[[Unit], Iterable[Any]]
) -> None:
    unit, other, old = renamed(name)

    def back(text: str) -> str:
        return re.sub(r"q\d{3}z", lambda found: old[found[0]], text)

    told = [repr(each) for each in answer(unit)]
    again = [back(repr(each)) for each in answer(other)]
    assert told
    # Sets print in no order of their own.
    assert sorted(map(_in_order, again)) == sorted(map(_in_order, told))


def _in_order(text: str) -> str:
    return re.sub(
        r"\{[^{}]*\}", lambda found: "{" + ", ".join(sorted(found[0][1:-1].split(", "))) + "}", text
    )
