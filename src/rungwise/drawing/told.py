"""The words of a title: what a part, terminal or wire is, and the state that it is in."""

from __future__ import annotations

from rungwise.drawing.marks import Marks
from rungwise.parts import split_end
from rungwise.unit import Unit, Wire

__all__ = ["part_told", "percent", "terminal_told", "wire_told"]

_VOLTS = {"live": "energised", "leftover": "live by a leftover path"}


def percent(belief: float) -> str:
    """A belief as people read it; a belief is never certain."""
    return f"{min(max(round(100 * belief), 1), 99)}%"


def part_told(unit: Unit, part: str, marks: Marks) -> str:
    """A part's title, and what is the matter with it."""
    states = [unit.part(part).title, f"({part})", *_block(part, marks)]
    if part in marks.running:
        states.insert(2, ", on")
    return " ".join(states).replace(" ,", ",")


def terminal_told(unit: Unit, terminal: str, marks: Marks) -> str:
    """A terminal, its volts and the lead on it."""
    part, name = split_end(terminal)
    told = f"terminal {name} of the {unit.part(part).title} ({terminal})"
    volts = _VOLTS.get(marks.volts(terminal), "")
    lead = marks.lead_at(terminal)
    more = [each for each in (volts, f"the {lead} lead goes here" if lead else "") if each]
    return ", ".join([told, *more])


def wire_told(wire: Wire, marks: Marks) -> str:
    """A wire, from where to where, and its volts."""
    volts = _VOLTS.get(marks.wire_volts(wire.start, wire.end), "")
    told = f"{wire.title} ({wire.name})" + (f", {volts}" if volts else "")
    return " ".join([told, *_block(wire.name, marks)]).replace(" ,", ",")


def _block(name: str, marks: Marks) -> list[str]:
    belief = marks.belief(name)
    told = [f", suspected {percent(belief)}"] if belief else []
    return [*told, ", changed"] if name in marks.changed else told
