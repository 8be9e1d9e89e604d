"""Wires on each other's terminals after earlier work, as suspects.

Each possible wrong place is an extra wire of the plan that is open until a suspect closes it, so
that swapped wires share one network shape, and one elimination order, with everything else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from rungwise.faults.suspect import Edit, Suspect
from rungwise.faults.weights import MISPLACED, MISPLACED_CONTROL, is_field_wire
from rungwise.parts import (
    Control,
    Draw,
    Junction,
    MixedUp,
    Motor,
    end_mark,
    part_of,
    split_end,
    terminal_of,
)
from rungwise.unit import Unit, Wire
from rungwise.wording import mark, named, say

NEAR_M = 3.0
"""Within a cabinet wires are shorter; what comes from indoors is longer."""

Moves = tuple[tuple[Wire, str, str], ...]
"""Wires that stand on a wrong terminal, each with its right one and the wrong one."""


def alternate_name(wire: Wire, terminal: str) -> str:
    """Name of the extra wire that stands for `wire` ending on `terminal` instead."""
    return f"{wire.name}@{terminal}"


def swaps(unit: Unit) -> Iterator[tuple[str, str, Moves]]:
    """Each mix-up: the two terminals, and every wire that moves with its old and new terminal."""
    for part, mixed in unit.having(MixedUp):
        for first, second in mixed.swapped:
            yield from _swap(unit, part.name, first, second)
    yield from _on_line(unit)
    yield from _beside(unit)
    yield from _control(unit)


def _on_line(unit: Unit) -> Iterator[tuple[str, str, Moves]]:
    """A lead of the load side landed on the line side of its pole: it is fed for ever."""
    for part, mixed in unit.having(MixedUp):
        for right, wrong in mixed.fed_for_ever:
            a, b = f"{part.name}.{right}", f"{part.name}.{wrong}"
            for wire in (each for each, _ in unit.wires_at(a) if is_field_wire(each)):
                yield a, b, ((wire, a, b),)


def _beside(unit: Unit) -> Iterator[tuple[str, str, Moves]]:
    """A load's lead landed on the terminal beside its own.

    One that hangs on the terminal by way of another part's common (a fan's on the capacitor's,
    which one wire feeds) may as well have been brought to the wrong one straight.
    """
    for part, mixed in unit.having(MixedUp):
        for right, wrong in mixed.beside:
            a, b = f"{part.name}.{right}", f"{part.name}.{wrong}"
            for wire, far in _leads_at(unit, a):
                yield a, b, ((wire, a, b),)
                for fed, motor in _leads_at(unit, far):
                    if fed is not wire and unit.kind_of(part_of(motor)).facet(Motor):
                        yield far, b, ((fed, far, b),)


def _leads_at(unit: Unit, terminal: str) -> Iterator[tuple[Wire, str]]:
    """The wires on a terminal that a technician lands, each with its far end."""
    for wire, end in unit.wires_at(terminal):
        if is_field_wire(wire):
            yield wire, wire.end if end == "start" else wire.start


def _swap(unit: Unit, part: str, first: str, second: str) -> Iterator[tuple[str, str, Moves]]:
    a, b = f"{part}.{first}", f"{part}.{second}"
    moves = [(wire, a, b) for wire, _ in unit.wires_at(a)[:1]]
    moves += [(wire, b, a) for wire, _ in unit.wires_at(b)[:1]]
    if len(moves) == 2:  # one wire from each terminal
        yield a, b, tuple(moves)


def _control(unit: Unit) -> Iterator[tuple[str, str, Moves]]:
    """Mix-ups of the control circuit: one wire that was landed on a neighboring terminal."""
    for part, mixed in unit.having(MixedUp):
        for right, wrong, whose in mixed.landed:
            a, b = f"{part.name}.{right}", f"{part.name}.{wrong}"
            for wire in filter(is_field_wire, (wire for wire, _ in unit.wires_at(a))):
                if ("control" if _of_control(unit, wire) else "field") in whose:
                    yield a, b, ((wire, a, b),)
    yield from _at_splices(unit)


def _at_splices(unit: Unit) -> Iterator[tuple[str, str, Moves]]:
    """A wire of Y in the splice of C beside it."""
    splices = {
        wire.carries: f"{part.name}.{terminal}"
        for part, junction in unit.having(Junction)
        for terminal in unit.kind_of(part.name).terminals
        for wire, _ in unit.wires_at(f"{part.name}.{terminal}")
        if junction.one_point and junction.is_splice
    }
    if "Y" in splices and "C" in splices:
        a, b = splices["Y"], splices["C"]
        for wire, _ in unit.wires_at(a):
            if wire.length_m > NEAR_M:
                yield a, b, ((wire, a, b),)


def _of_control(unit: Unit, wire: Wire) -> bool:
    ends = (wire.start, wire.end)
    asking = {part.name for part, _ in unit.having(Control)}
    return any(part_of(end) in asking for end in ends)


def with_alternates(unit: Unit) -> Unit:
    """The unit with one open extra wire for every wrong place that a suspect may use."""
    extra: dict[str, Wire] = {}
    for _, _, moves in swaps(unit):
        for wire, old, new in moves:
            made = _moved(wire, old, new)
            extra[made.name] = made
    return replace(unit, wires=(*unit.wires, *extra.values()))


def _moved(wire: Wire, old: str, new: str) -> Wire:
    start, end = (new, wire.end) if wire.start == old else (wire.start, new)
    return replace(wire, name=alternate_name(wire, new), start=start, end=end, carries="alternate")


def misplaced_suspects(unit: Unit) -> Iterator[Suspect]:
    """One suspect for every mix-up of wires."""
    found, control = list(swaps(unit)), list(_control(unit))
    power = len(found) - len(control)
    for a, b, moves in found:
        of_control = (a, b, moves) in control
        weight = MISPLACED_CONTROL / len(control) if of_control else MISPLACED / power
        edits = []
        for wire, _, new in moves:
            edits.append(Edit((wire.name, "path_open"), Draw("path_open", 1, 1)))
            edits.append(Edit((alternate_name(wire, new), "path_open"), Draw("path_open", 0, 0)))
        mode, title = _named(unit, a, b, moves)
        part = part_of(a)
        yield Suspect(
            f"{part}.{mode}".lower(),
            title,
            part,
            "swapped",
            tuple(edits),
            weight,
            f"{part}:rewire",
            say(
                "put the wires of the {title} on their right terminals", title=unit.part(part).title
            ),
            behind=mark("earlier work without a record of the wires"),
            signs={"wrong_place": 0.9, "recent_work": 0.6},
            repair_minutes=15,
            shown_by=frozenset({"look:wires"}),
            wrong_minutes=20.0,
        )


_SWAPPED, _LANDED = "swapped_", "_on_"


def mix_up(mode: str) -> Literal["swapped", "landed"] | None:
    """How wires are mixed up in the mode of a suspect's id; None where they are not."""
    if mode.startswith(_SWAPPED):
        return "swapped"
    return "landed" if _LANDED in mode else None


def _named(unit: Unit, a: str, b: str, moves: Moves) -> tuple[str, str]:
    """The mode and the title of a mix-up."""
    part, first = split_end(a)
    second = terminal_of(b)
    whose = unit.part(part).title
    if len(moves) == 2:
        return (
            f"{_SWAPPED}{first}_{second}",
            say(
                "wires on {first} and {second} of the {whose} swapped",
                first=end_mark(first),
                second=end_mark(second),
                whose=whose,
            ),
        )
    wire = moves[0][0]
    placed = {
        "colour": named(wire.colour),
        "first": end_mark(first),
        "whose": whose,
        "second": end_mark(second),
    }
    if part_of(b) == part:
        title = say("{colour} wire of {first} of the {whose} landed on {second}", **placed)
    else:
        title = say(
            "{colour} wire of {first} of the {whose} landed on {second} of the {others}",
            others=unit.part(part_of(b)).title,
            **placed,
        )
    return f"{wire.name}{_LANDED}{second}", title
