"""Where the leads of a check go, as terminals that the diagram can mark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.diagnosis.checks import Check, checks_of
from rungwise.diagnosis.readers import (
    AmpReader,
    InsulationReader,
    LinkReader,
    LoadMicrofaradReader,
    MicrofaradReader,
    OhmReader,
    VoltReader,
)
from rungwise.parts.element import EARTH
from rungwise.unit.unit import Unit
from rungwise.web.per_unit import per_unit

__all__ = ["EARTH_METAL", "Leads", "checks_held", "leads_of"]

EARTH_METAL = "bare metal (earth)"


@dataclass(frozen=True)
class Leads:
    """red, black: terminals, or `EARTH_METAL`, or "" where there is no such lead.

    jaw: the wire that the clamp goes around, or "". off: terminals whose wires come off first.
    """

    red: str = ""
    black: str = ""
    jaw: str = ""
    off: tuple[str, ...] = ()

    @property
    def on_terminals(self) -> dict[Literal["red", "black"], str]:
        """The leads that sit on a terminal of the unit, by colour."""
        both: dict[Literal["red", "black"], str] = {"red": self.red, "black": self.black}
        return {colour: end for colour, end in both.items() if end and end != EARTH_METAL}


NONE = Leads()


@per_unit
def checks_held(unit: Unit) -> dict[str, Check]:
    """The checks of a unit by id."""
    return {check.card.id: check for check in checks_of(unit)}


def leads_of(unit: Unit, check: str) -> Leads:
    """Where the leads of a check go; none of them for a look, or a check the unit lacks."""
    found = checks_held(unit).get(check)
    return _leads(unit, found) if found else NONE


def _leads(unit: Unit, check: Check) -> Leads:
    reader = check.reader
    if isinstance(reader, VoltReader | OhmReader | MicrofaradReader):
        return Leads(_end(reader.a), _end(reader.b), off=check.off)
    if isinstance(reader, InsulationReader):
        return Leads(_end(reader.a), EARTH_METAL, off=check.off)
    if isinstance(reader, LoadMicrofaradReader):
        return Leads(_end(reader.a), _end(reader.b), jaw=reader.wire, off=check.off)
    if isinstance(reader, AmpReader):
        return Leads(jaw=reader.wire, off=check.off)
    if isinstance(reader, LinkReader):
        return Leads(*_link_ends(unit, reader), off=check.off)
    return Leads(off=check.off)


def _end(node: str) -> str:
    return EARTH_METAL if node == EARTH else node


def _link_ends(unit: Unit, reader: LinkReader) -> tuple[str, str]:
    """A wire from end to end, a wire against the cabinet, or two conductors of a cable."""
    first, _, second = reader.block.partition("+")
    wire = unit.wire_by_name[first]
    if second:
        return wire.end, unit.wire_by_name[second].end
    return (wire.end, EARTH_METAL) if reader.element == "rub" else (wire.start, wire.end)
