"""What a unit answers to each plain question, read off its circuit and never off its name.

So an arrangement that is added as a file is found by itself: it answers by its contactor's poles,
by where its heater's wires end, and by what its parts say that they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from rungwise.circuit import Plan
from rungwise.isolation import devices_that_cut
from rungwise.parts import (
    Branch,
    Capacitor,
    Control,
    Families,
    Heater,
    OpensOn,
    PartKind,
    Pole,
    Poles,
    Timer,
    Transformer,
    part_of,
)
from rungwise.unit import Unit

Facts = dict[str, frozenset[str]]
"""By question the answers that are true of a unit: one, but for what sort it is."""


def facts_of(unit: Unit) -> Facts:
    """The answers that are true of a unit, by question."""
    read = {
        "sort": _sorts(unit),
        "poles": {_poles(unit)},
        "heater": {_heater_place(unit)},
        "kit": {_kit(unit)},
        "pressure": {_pressure(unit)},
        "board": {_board(unit)},
    }
    return {question: frozenset(answers) for question, answers in read.items()}


def _sorts(unit: Unit) -> Iterable[str]:
    """What it may be called; a split system is met outdoors and at its air handler."""
    if not unit.roles.compressors:
        return {"air_handler"}
    if "cool" not in unit.demands:
        return {"refrigeration"}
    pumps = _heats_by_compressor(unit)
    if _one_cabinet(unit):
        return {"packaged", "packaged_heat_pump"} if pumps else {"packaged"}
    return {"heat_pump", "air_handler"} if pumps else {"cooling", "air_handler"}


def _heats_by_compressor(unit: Unit) -> bool:
    """Whether a call for heat asks for what a call for cooling asks, besides the blower."""
    asked: dict[str, set[str]] = {"fan": set(), "cool": set(), "heat": set()}
    for part, control in unit.having(Control):
        for name in unit.demands:
            ends = control.demands[name].energizes if name in control.demands else ()
            wired = {each for each in ends if unit.is_wired(part.name, each)}
            asked.setdefault("heat" if name.startswith("heat") else name, set()).update(wired)
    return bool(asked["heat"] & asked["cool"] - asked["fan"])


def _one_cabinet(unit: Unit) -> bool:
    """Whether one device beside the panel cuts the compressor and every transformer off."""
    fed = {*unit.roles.compressors, *(part.name for part, _ in unit.having(Transformer))}
    both = len(fed) > len(unit.roles.compressors)
    return both and any(
        unit.part(name).place != "panel" for name in devices_that_cut(Plan(unit), fed)
    )


def _poles(unit: Unit) -> str:
    main = unit.roles.main_contactor
    poles = main_poles(unit.kind_of(main)) if main else ()
    return str(len(poles)) if poles else "none"


def main_poles(kind: PartKind) -> tuple[Pole, ...]:
    """The poles that carry power: an auxiliary contact's ends are numbered, or it rests closed."""
    poles = kind.facet(Poles)
    every = poles.poles if poles else ()
    return tuple(each for each in every if not each.line.isdigit() and not _rests(kind, each))


def _rests(kind: PartKind, pole: Pole) -> bool:
    """Whether a pole is closed while nothing moves it."""
    return pole.element in _closed_at_rest(kind)


def _closed_at_rest(kind: PartKind) -> dict[str, tuple[str, str]]:
    """The contacts of a kind that are closed while nothing moves them, by element: their ends.

    An auxiliary contact may be no pole: it is told by its elements, a contact and its gap.
    """
    numbers = {each.name: np.asarray(each.default) for each in kind.parameters}
    numbers |= {each.name: np.asarray(each.start) for each in kind.states}
    names = {each.name for each in kind.elements}
    return {
        each.name: (each.a, each.b)
        for each in kind.elements
        if isinstance(each, Branch)
        and each.closed is not None
        and f"{each.name}_gap" in names
        and bool(each.closed(numbers) > 0)
    }


def heater_branch(unit: Unit, heater: str) -> tuple[str, ...]:
    """The heater and what is in series with it alone: its thermostat."""
    facet = unit.kind_of(heater).facet(Heater)
    ends = facet.ends if facet else ()
    beside = frozenset().union(*(unit.wired_together(f"{heater}.{end}") for end in ends))
    stats = (
        part.name
        for part, switch in unit.having(OpensOn)
        if switch.what == "warmth" and any(f"{part.name}.{end}" in beside for end in switch.ends)
    )
    return (heater, *stats)


def _heater_place(unit: Unit) -> str:
    heaters = unit.roles.heaters
    if not heaters:
        return "none"
    branch = heater_branch(unit, heaters[0])
    landings = set(_landings(unit, branch))
    sides = {side for _, side in landings}
    if "rest" in sides:  # a wire may go on from that contact to the line
        return "aux"
    if sides <= {"line", "bar"}:
        return ("line_stat" if len(branch) > 1 else "line") if sides else "elsewhere"
    if sides <= {"load", "bar"}:
        return "load"
    same_leg = len({leg for leg, _ in landings}) == 1
    return "pole" if same_leg and len(branch) == 1 else "elsewhere"


def _landings(unit: Unit, branch: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """On which leg of a contactor, and on which side of it, the branch ends.

    A bar has no side, and behind a contact that rests closed the branch is fed at rest.
    """
    net = frozenset[str]().union(
        *(unit.wired_together(end) for end in unit.terminals() if part_of(end) in branch)
    )
    for part, poles in unit.having(Poles):
        if part.name not in unit.roles.contactors:
            continue
        kind = unit.kind_of(part.name)
        ends = {(pole.line, pole.load): ("line", "load") for pole in poles.poles}
        ends |= {poles.bar: ("bar", "bar")} if poles.bar else {}
        ends |= dict.fromkeys(_closed_at_rest(kind).values(), ("rest", "rest"))
        for (line, load), sides in ends.items():
            for end, side in zip((line, load), sides, strict=True):
                if f"{part.name}.{end}" in net:
                    yield f"{part.name}.{line}", side


def start_kit_of(unit: Unit) -> tuple[str, ...]:
    """The parts that help a compressor to start."""
    kit = [
        part.name
        for part in unit.parts
        if "start kit" in _families(unit, part.name) or _starts(unit, part.name)
    ]
    return tuple(kit)


def _starts(unit: Unit, part: str) -> bool:
    capacitor = unit.kind_of(part).facet(Capacitor)
    return capacitor is not None and any(each.purpose == "start" for each in capacitor.sections)


def _families(unit: Unit, part: str) -> frozenset[str]:
    facet = unit.kind_of(part).facet(Families)
    return frozenset(facet.names) if facet else frozenset()


def _kit(unit: Unit) -> str:
    kit = start_kit_of(unit)
    if not kit:
        return "none"
    return "relay" if any(_starts(unit, part) for part in kit) else "assist"


def _pressure(unit: Unit) -> str:
    high, low = (unit.roles.opening_on(f"{side} pressure") for side in ("high", "low"))
    if high and low:
        return "both"
    return "high" if high else "low" if low else "none"


def delays_of(unit: Unit) -> tuple[str, ...]:
    """The parts that pass a signal on after a while, and do no more."""
    return tuple(part.name for part, _ in unit.having(Timer))


def boards_of(unit: Unit) -> tuple[str, ...]:
    """Other boards of electronics beside the compressor."""
    places = {unit.part(name).place for name in unit.roles.compressors}
    return tuple(
        part.name
        for part in unit.parts
        if part.place in places
        and {"electronics", "board"} & _families(unit, part.name)
        and "motor" not in _families(unit, part.name)
        and part.name not in {*delays_of(unit), *start_kit_of(unit)}
    )


def _board(unit: Unit) -> str:
    if boards_of(unit):
        return "other"
    return "delay" if delays_of(unit) else "none"
