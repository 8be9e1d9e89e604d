"""The unit with some wire ends off their terminals, each hanging free.

A lifted end takes along everything of its wire: its copper, a rub-through, the conductors beside
it in the cable.  What stays on the terminal stays connected.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from rungwise.circuit import LeadEnd
from rungwise.parts import SPLICE
from rungwise.unit import Part, Unit, Wire


def ends_at(unit: Unit, terminals: Iterable[str]) -> frozenset[LeadEnd]:
    """Every wire end on these terminals."""
    return frozenset(
        (wire.name, end) for terminal in terminals for wire, end in unit.wires_at(terminal)
    )


def free_end(wire: str, end: str) -> str:
    """The node that a lifted wire end becomes."""
    return f"{_holder(wire, end)}.1"


def with_ends_off(unit: Unit, ends: frozenset[LeadEnd]) -> Unit:
    """The unit with these wire ends off; each is a node of its own, `free_end`."""
    holders = tuple(Part(_holder(*end), SPLICE, "outdoor") for end in sorted(ends))
    wires = tuple(_moved(wire, ends) for wire in unit.wires)
    return replace(unit, parts=(*unit.parts, *holders), wires=wires)


def _holder(wire: str, end: str) -> str:
    return f"{wire}|{end}"


def _moved(wire: Wire, ends: frozenset[LeadEnd]) -> Wire:
    start = free_end(wire.name, "start") if (wire.name, "start") in ends else wire.start
    end = free_end(wire.name, "end") if (wire.name, "end") in ends else wire.end
    return replace(wire, start=start, end=end)
