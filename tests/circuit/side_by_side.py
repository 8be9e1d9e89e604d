"""All suspects of an arrangement as the variants of one batch, healthy among them."""

from __future__ import annotations

from functools import cache

from rungwise.circuit.condition import Condition
from rungwise.circuit.netlist import Key
from rungwise.faults import SuspectSet
from rungwise.parts.element import FloatArray
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement


@cache
def suspect_set(name: str) -> SuspectSet:
    """The suspects of a shipped arrangement."""
    return SuspectSet(arrangement(name))


def typical_values(suspects: SuspectSet) -> dict[Key, FloatArray]:
    """Each suspect at typical severity on a specimen without spread, one variant a suspect."""
    return suspects.typical_of(suspects.suspects)


def made_dead(unit: Unit) -> Condition:
    """The thermostat off and every isolating device open."""
    devices = [part.name for part in unit.parts if unit.kind_of(part.name).isolates]
    return Condition("dead", "off").opened(*devices)
