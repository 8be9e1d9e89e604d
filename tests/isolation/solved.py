"""What several tests here look at, solved once a process, and units with something changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache

from rungwise.circuit.netlist import Plan
from rungwise.isolation import SCOPES, WorkPlan, isolate
from rungwise.unit.unit import Part, Unit, Wire
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

NAMES = tuple(FIRST_ARRANGEMENTS)
ALL = [(name, scope) for name in NAMES for scope in SCOPES]


@cache
def unit(name: str) -> Unit:
    return arrangement(name)


@cache
def plan(name: str) -> Plan:
    return Plan(unit(name))


@cache
def work(name: str, scope: str = "cabinet", *, keeps_running: bool = False) -> WorkPlan:
    return isolate(unit(name), scope=scope, keeps_running=keeps_running)


def without(made: Unit, *wires: str) -> Unit:
    """The unit with some wires forgotten."""
    return replace(
        made,
        wires=tuple(wire for wire in made.wires if wire.name not in wires),
        cables=tuple(cable for cable in made.cables if not set(cable.wires) & set(wires)),
    )


def joined(made: Unit, *pairs: tuple[str, str]) -> Unit:
    """The unit with wires added."""
    added = [
        Wire(f"added_{n}", a, b, "black", 10.0, 2.0, ("screw", "screw"), "power")
        for n, (a, b) in enumerate(pairs)
    ]
    return replace(made, wires=(*made.wires, *added))


def with_parts(
    made: Unit, parts: Iterable[Part] = (), places: Mapping[str, str] | None = None
) -> Unit:
    """The unit with parts added, and with some said to stand elsewhere."""
    moved = tuple(replace(p, place=(places or {}).get(p.name, p.place)) for p in made.parts)
    return replace(made, parts=(*moved, *parts))
