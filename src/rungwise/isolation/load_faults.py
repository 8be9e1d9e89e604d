"""Faults of the loads that nobody knows of while the unit is made dead.

A proof must not lean on current that comes through a winding, a heater or a coil: that path may
be broken, and the point then reads 0 V with the other leg live.  So every proof is asked under
each single fault below, and under all loads open at once, where only metal conducts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.isolation.variants import NO_EDITS, Edits
from rungwise.unit.unit import Unit

KINDS_WITH_MODES_OF_SUPPLY = ("service",)


@dataclass(frozen=True, slots=True)
class LoadFault:
    """One unknown fault of a path through a load, as edits of the circuit."""

    title: str
    edits: Edits


AS_FOUND = LoadFault("as found", NO_EDITS)
"""Nothing wrong beside what is known."""


def load_faults(unit: Unit) -> tuple[LoadFault, ...]:
    """As found, every load open at once, then each single fault of each part that is a load."""
    return (AS_FOUND, every_load_open(unit), *_single_faults(unit))


def every_load_open(unit: Unit) -> LoadFault:
    """No load, coil, switch or fuse conducts: only wires, bars and isolating devices do."""
    edits = {
        fault_key: 1.0 for fault_key, _ in _handles(unit) if "open" in fault_key[1].split("_")[-1]
    }
    return LoadFault("no load conducts", edits)


def _single_faults(unit: Unit) -> Iterator[LoadFault]:
    for key, title in _handles(unit):
        yield LoadFault(title, {key: 1.0})


def _handles(unit: Unit) -> Iterator[tuple[tuple[str, str], str]]:
    """Fault handles of the parts that neither isolate nor supply, each with its words."""
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        if kind.isolates or part.kind in KINDS_WITH_MODES_OF_SUPPLY:
            continue
        for parameter in kind.parameters:
            if parameter.source == "fault handle":
                yield (part.name, parameter.name), f"{part.title}: {parameter.what}"
