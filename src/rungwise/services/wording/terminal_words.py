"""Terminals by what a person can find, in place of their names in the unit's file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from rungwise.parts import Junction, part_of
from rungwise.unit import Unit
from rungwise.wording import Said, say

__all__ = ["is_joint", "terminal_names", "told_by_name", "wire_called"]

T = TypeVar("T")

_TERMINAL = re.compile(r"(?<![\w.])[a-z]\w*\.\w+\b")


def is_joint(unit: Unit, end: str) -> bool:
    """Whether a terminal is one that nothing marks: a splice."""
    part = unit.part_by_name.get(part_of(end))
    junction = unit.kind_of(part.name).facet(Junction) if part is not None else None
    return junction is not None and not junction.marked


def terminal_names(unit: Unit) -> dict[str, str]:
    """What a person calls each terminal, by its name in the unit's file: "contactor T1".

    A wire's name in brackets, as a list of moves has it, becomes both its ends.
    """
    ends = {end: unit.end_words(end) for end in unit.terminals()}
    wires = {
        f"({wire.name})": say("({one} to {other})", one=ends[wire.start], other=ends[wire.end])
        for wire in unit.wires
        if wire.start in ends and wire.end in ends
    }
    return ends | wires


def wire_called(unit: Unit, name: str) -> str:
    """A wire of a record by its color and both ends; one that the unit never had by its name."""
    wire = unit.wire_by_name.get(name)
    return say("the {wire}", wire=unit.wire_title(wire)) if wire else say("wire {name}", name=name)


def told_by_name(told: T, names: Mapping[str, str]) -> T:
    """A text with its terminals as a person calls them; tuples and dataclasses of texts alike."""
    found: Any = told
    if isinstance(told, Said):
        values = {name: told_by_name(each, names) for name, each in told.values.items()}
        found = Said(told.message, values, told.shape, is_name=told.is_name)
    elif isinstance(told, str):
        found = _TERMINAL.sub(lambda each: names.get(each[0], each[0]), told)
    elif isinstance(told, tuple):
        found = tuple(told_by_name(each, names) for each in told)
    elif is_dataclass(told) and not isinstance(told, type):
        held = {each.name: told_by_name(getattr(told, each.name), names) for each in fields(told)}
        found = replace(told, **held)
    named: T = found
    return named
