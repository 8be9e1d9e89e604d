"""Where a lead goes, by what a person can find: the mark on the part, or a joint by its wires."""

from __future__ import annotations

from rungwise.parts import part_of
from rungwise.services import RESULTS, is_joint
from rungwise.services import terminal_names as terminal_names_of
from rungwise.unit import Unit, Wire
from rungwise.web.filters import terminal
from rungwise.web.leads import EARTH_METAL
from rungwise.wording import joined, mark, named, say

JOINT = mark("splice")
"""What stands where a splice has no mark: nobody numbers the wires under a connector."""


def mark_at(unit: Unit, end: str) -> str:
    """What is marked at a terminal: "T1"; "splice" where nothing is; bare metal as it is."""
    return JOINT if is_joint(unit, end) else terminal(end)


def part_at(unit: Unit, end: str) -> str:
    """The part of a terminal, "" for bare metal and where there is no lead."""
    return "" if end in ("", EARTH_METAL) else unit.part(part_of(end)).title


def wires_at(unit: Unit, end: str) -> str:
    """The wires in a splice, by colour and by where they go; "" for any other terminal."""
    if not is_joint(unit, end):
        return ""
    return joined(", ", (_wire(unit, wire, end) for wire, _ in unit.wires_at(end)))


def place_words(unit: Unit, end: str) -> str:
    """The same in a sentence: "T1 of the contactor"; "the joint of the Y splice in …"."""
    if end in ("", EARTH_METAL):
        return end
    title = unit.part(part_of(end)).title
    if is_joint(unit, end):
        return say("the {part}", part=title)
    return say("{mark} of the {part}", mark=terminal(end), part=title)


def wire_words(unit: Unit, wire: Wire) -> str:
    """A wire by its colour and both ends: "yellow wire from 2 of the … to the Y splice in …"."""
    return say(
        "{color} wire from {start} to {end}",
        color=named(wire.colour),
        start=place_words(unit, wire.start),
        end=place_words(unit, wire.end),
    )


terminal_names = RESULTS.shelf("names on a unit").per_unit(terminal_names_of)
"""What a person calls each terminal, by its name in the unit's file."""


def _wire(unit: Unit, wire: Wire, here: str) -> str:
    """A wire in a joint: "yellow to 2 of the condensate float switch"."""
    far = wire.end if wire.start == here else wire.start
    return say("{color} to {end}", color=named(wire.colour), end=place_words(unit, far))
