"""The program's checks in the other world's words: where leads go, which wire, what to look at."""

from __future__ import annotations

from rungwise.circuit import FINE_CLAMP, FINE_VOLTS
from rungwise.diagnosis import (
    AmpReader,
    Check,
    InsulationReader,
    KeepsRunning,
    LinkReader,
    LoadMicrofaradReader,
    MicrofaradReader,
    OhmReader,
    VoltReader,
    WhichSpot,
)
from rungwise.diagnosis import Live as Setting
from rungwise.other_world import Amps, Ask, Leads, Live, LoadMicrofarads, Look, Volts
from rungwise.parts import EARTH, conductors_of, part_of
from rungwise.unit import Unit

_LOOSE = "~"
"""Stands between a wire and its end that hangs free, in the other world's names of points."""


def ask_of(unit: Unit, check: Check) -> Ask | None:  # noqa: PLR0911  # one return a sort of reader
    """A check as a question to a house; None for a sort of check that the other world lacks."""
    if _defrosts(check):
        return None
    if check.look is not None:
        return _look(unit, check)
    match check.reader:
        case VoltReader() as r:
            fine = r.instrument == FINE_VOLTS
            return Volts(_live(r.setting), r.a, r.b, r.instrument.burden_ohm, fine)
        case AmpReader() as r:
            return _amps(r, inrush=check.card.quantity == "inrush")
        case LoadMicrofaradReader() as r:
            return LoadMicrofarads(r.wire, r.a, r.b)
        case MicrofaradReader() as r:
            return Leads("microfarads", r.a, r.b, check.off)
        case InsulationReader() as r:
            return Leads("megohms", r.a, EARTH, check.off)
        case LinkReader() as r:
            return _link(unit, r, check.off)
        case OhmReader() as r:
            cooled, chilled = r.setting == "cooled", r.setting == "chilled"
            return Leads("ohms", r.a, r.b, check.off, cooled, chilled)
        case _:
            return None


def _defrosts(check: Check) -> bool:
    """Whether it is made in a defrost, of which the other world has none."""
    setting = getattr(check.reader, "setting", None) or getattr(check.look, "setting", None)
    return setting == "defrosting" or check.card.thing == "defrost"


def _amps(reader: AmpReader, *, inrush: bool) -> Amps:
    """Amps as they run or, where the check says so, the peak held as it starts."""
    fine = reader.instrument == FINE_CLAMP
    inrush = inrush or reader.setting == "inrush"
    return Amps(_live(reader.setting), reader.wire, fine, inrush)


def _live(setting: Setting) -> Live:
    """A live setting by the other world's name; the first swing of a start belongs to the start.

    Raises TypeError for a defrost: no house of the other world makes one.
    """
    match setting:
        case "defrosting":
            raise TypeError("the other world's houses make no defrost")
        case "inrush":
            return "starting"
        case _:
            return setting


def _link(unit: Unit, reader: LinkReader, off: tuple[str, ...]) -> Leads | None:
    """Between the loose ends of wires, or from a loose end to where the wire ends."""
    if reader.element == "path":
        wire = unit.wire_by_name[reader.block]
        return Leads("ohms", f"{wire.name}{_LOOSE}start", wire.end, wires=(wire.name,))
    if reader.element == "rub":
        return Leads("ohms", f"{reader.block}{_LOOSE}end", EARTH, off)
    if reader.element == "short":
        first, second = conductors_of(reader.block)
        return Leads("ohms", f"{first}{_LOOSE}end", f"{second}{_LOOSE}end", off)
    return None


def _look(unit: Unit, check: Check) -> Look:
    """What is looked at: a part, a place of joints, or "" for all that there is."""
    first = check.card.touches[0]
    subject = first if first in unit.part_by_name else ""
    match check.look:
        case WhichSpot(place=place):
            subject = place
        case KeepsRunning(parts) if len(parts) > 1:
            subject = ""
    when: Live = "heating" if getattr(check.look, "setting", None) == "heating" else "calling"
    return Look(check.card.thing, subject, check.card.choices, when)


def blocks_touched(unit: Unit, check: Check) -> frozenset[str]:
    """Parts and wires that a reading is taken on: the card's own list, or where the leads go."""
    if check.card.touches:
        return frozenset(check.card.touches)
    ask = ask_of(unit, check)
    match ask:
        case Volts() | Leads() | LoadMicrofarads():
            return frozenset(_block_at(point) for point in (ask.a, ask.b))
        case Amps():
            wire = unit.wire_by_name[ask.wire]
            return frozenset({wire.name, part_of(wire.start), part_of(wire.end)})
        case Look():
            return frozenset({ask.subject})
        case None:
            return frozenset()


def _block_at(point: str) -> str:
    """The part of a terminal, or the wire of a loose end (`wire~start`)."""
    return part_of(point).partition(_LOOSE)[0]
