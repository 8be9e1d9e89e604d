"""The words of a title: what a part, terminal or wire is, and the state that it is in."""

from __future__ import annotations

from collections.abc import Iterable

from rungwise.drawing.marks import Lead, Marks
from rungwise.unit import Unit, Wire
from rungwise.wording import joined, mark, say

VOLTS = {"live": mark("energized"), "leftover": mark("live by a leftover path")}
"""What a mark of volts says."""


LEADS: dict[Lead, str] = {
    "red": mark("the red lead goes here"),
    "black": mark("the black lead goes here"),
}


def percent(belief: float) -> str:
    """A belief as people read it; a belief is never certain."""
    return f"{min(max(round(100 * belief), 1), 99)}%"


def said_of(what: str, words: Iterable[str]) -> str:
    """Something, and behind a colon what is the matter with it, if anything is."""
    said = [each for each in words if each]
    return joined(": ", (what, joined(", ", said))) if said else what


def part_told(unit: Unit, part: str, marks: Marks) -> str:
    """A part's title, and what is the matter with it."""
    running = [mark("on")] if part in marks.running else []
    return joined(", ", (unit.part(part).title, *running, *_block(part, marks)))


def terminal_told(unit: Unit, terminal: str, marks: Marks) -> str:
    """A terminal, its volts and the lead on it."""
    volts = VOLTS.get(marks.volts(terminal), "")
    lead = marks.lead_at(terminal)
    more = (volts, LEADS[lead] if lead else "")
    return joined(", ", (unit.end_words(terminal), *(each for each in more if each)))


def wire_told(unit: Unit, wire: Wire, marks: Marks) -> str:
    """A wire, from where to where, and its volts."""
    volts = VOLTS.get(marks.wire_volts(wire.start, wire.end), "")
    told = (unit.wire_title(wire), *([volts] if volts else []))
    return joined(", ", (*told, *_block(wire.name, marks)))


def _block(name: str, marks: Marks) -> list[str]:
    belief = marks.belief(name)
    told = [say("suspected {belief}", belief=percent(belief))] if belief else []
    return [*told, mark("changed")] if name in marks.changed else told
