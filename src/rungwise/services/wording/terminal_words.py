"""Terminals by what a person can find, in place of their names in the unit's file."""

from __future__ import annotations

from rungwise.parts import Junction, part_of
from rungwise.unit import Unit
from rungwise.wording import say


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


def moved_words(unit: Unit, wire: str, belongs: str, is_on: str) -> str:
    """Where an end is and where it belongs; `""`: off, or not meant to be there."""
    held = {
        "wire": wire_called(unit, wire),
        "belongs": unit.end_words(belongs) if belongs else "",
        "is_on": unit.end_words(is_on) if is_on else "",
    }
    if not belongs:
        return say("{wire} was added on {is_on}", **held)
    if not is_on:
        return say("{wire} is off and belongs on {belongs}", **held)
    return say("{wire} is on {is_on} and belongs on {belongs}", **held)
