"""The program's checks in the other world's words: where leads go, which wire, what to look at."""

from __future__ import annotations

from rungwise.circuit import FINE_CLAMP, FINE_VOLTS
from rungwise.diagnosis import (
    AmpReader,
    Check,
    InsulationReader,
    LinkReader,
    LoadMicrofaradReader,
    MicrofaradReader,
    OhmReader,
    VoltReader,
)
from rungwise.diagnosis import Live as Setting
from rungwise.other_world import Amps, Ask, Leads, Live, LoadMicrofarads, Look, Volts
from rungwise.parts import EARTH, Motor
from rungwise.unit import Unit

__all__ = ["ask_of", "blocks_touched"]


def ask_of(unit: Unit, check: Check) -> Ask | None:  # noqa: PLR0911  # one return a sort of reader
    """A check as a question to a house; None for a sort of check that the other world lacks."""
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


def _amps(reader: AmpReader, *, inrush: bool) -> Amps:
    """Amps as they run or, where the check says so, the peak held as it starts."""
    fine = reader.instrument == FINE_CLAMP
    inrush = inrush or reader.setting == "inrush"
    return Amps(_live(reader.setting), reader.wire, fine, inrush)


def _live(setting: Setting) -> Live:
    """A live setting by the other world's name; the first swing of a start belongs to the start."""
    return "starting" if setting == "inrush" else setting


def _link(unit: Unit, reader: LinkReader, off: tuple[str, ...]) -> Leads | None:
    """Between the loose ends of wires, or from a loose end to where the wire ends."""
    if reader.element == "path":
        wire = unit.wire_by_name[reader.block]
        return Leads("ohms", f"{wire.name}~start", wire.end, wires=(wire.name,))
    if reader.element == "rub":
        return Leads("ohms", f"{reader.block}~end", EARTH, off)
    if reader.element == "short":
        first, second = reader.block.split("+")
        return Leads("ohms", f"{first}~end", f"{second}~end", off)
    return None


_BY_ID = {
    "plunger": "plunger",
    "idle": "idle",
    "by-hand": "by_hand",
    "shell": "shell",
    "bulged": "bulged",
    "burnt": "burnt",
    "debris": "debris",
    "water": "water",
    "door_off": "door",
    "wrong_place": "wires",
}


def _look(unit: Unit, check: Check) -> Look:
    """What is looked at: from the card where it says so, from the check's name otherwise."""
    name = check.card.id.removeprefix("look-")
    part = next((p.name for p in unit.parts if name == p.name or name.startswith(p.name + "-")), "")
    subject = check.card.touches[0] if len(check.card.touches) == 1 else part
    thing = check.card.quantity.removeprefix("look:")
    if not thing:
        thing = _thing_by_name(unit, name, part)
    if thing == "joints":
        subject = name.removeprefix("joints-")
    elif thing != "plunger" and subject not in unit.part_by_name:
        subject = part
    return Look(thing, subject, check.card.choices)


def _thing_by_name(unit: Unit, name: str, part: str) -> str:
    if name.startswith("joints-"):
        return "joints"
    rest = name.removeprefix(part).removeprefix("-") if part else name
    if rest:
        return _BY_ID.get(rest, rest)
    if part in unit.roles.compressors:
        return "sound"
    return "turns" if unit.kind_of(part).facet(Motor) else "device"


def blocks_touched(unit: Unit, check: Check) -> frozenset[str]:
    """Parts and wires that a reading is taken on: the card's own list, or where the leads go."""
    if check.card.touches:
        return frozenset(check.card.touches)
    ask = ask_of(unit, check)
    match ask:
        case Volts() | Leads() | LoadMicrofarads():
            return frozenset(point.partition(".")[0].partition("~")[0] for point in (ask.a, ask.b))
        case Amps():
            wire = unit.wire_by_name[ask.wire]
            ends = (wire.start.partition(".")[0], wire.end.partition(".")[0])
            return frozenset({wire.name, *ends})
        case Look():
            return frozenset({ask.subject})
        case None:
            return frozenset()
