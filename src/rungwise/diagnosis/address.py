"""Where a check is made, as values: what its reader holds, written on its card, and its id.

Nothing that needs to know which leads go where, around which wire the jaw is closed or in which
setting it is read takes it from a check's id, title or any other text. The id is made of these
values, here alone.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from rungwise.circuit import DIRECT_VOLTS, FINE_VOLTS, LOW_Z_VOLTS
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.check_ids import Word, coil_names, id_of, look_id
from rungwise.diagnosis.checks_leg import LEG_DROP
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.large_line import LargeLine
from rungwise.diagnosis.mark_looks import Mark, WhichSpot
from rungwise.diagnosis.readers import (
    AmpReader,
    InsulationReader,
    LinkReader,
    LoadMicrofaradReader,
    MicrofaradReader,
    OhmReader,
    VoltReader,
)
from rungwise.diagnosis.visual_checks import (
    AirWarms,
    BreakerHandle,
    CompressorSound,
    DeviceOpen,
    FlameWarms,
    KeepsRunning,
    Lighting,
    MotorTurns,
    PlungerPosition,
    Pulls,
    StandsInDefrost,
)
from rungwise.parts import (
    EARTH,
    Coil,
    Junction,
    Probes,
    Transformer,
    part_of,
    split_end,
    terminal_of,
)
from rungwise.unit import Unit


def addressed(unit: Unit, check: Check) -> Check:
    """The check, its card telling the setting, the leads and the jaw of its reader, and its id."""
    placed = replace(check, card=_placed(unit, check))
    return replace(check, card=replace(placed.card, id=_id(unit, placed)))


def _placed(unit: Unit, check: Check) -> CheckCard:
    card = check.card
    match check.reader:
        case VoltReader(setting, a, b) | OhmReader(setting, a, b):
            card = replace(card, setting=setting, red=a, black=b)
        case AmpReader(setting, wire):
            card = replace(card, setting=setting, jaw=wire)
        case LoadMicrofaradReader(wire, a, b):
            card = replace(card, setting="calling", red=a, black=b, jaw=wire)
        case MicrofaradReader(a, b):
            card = replace(card, setting="apart", red=a, black=b)
        case InsulationReader(a):
            card = replace(card, setting="apart", red=a, black=EARTH)
        case LinkReader() as link:
            red, black = _loose_ends(unit, link)
            card = replace(card, setting="dead", red=red, black=black, link=link.element)
    if isinstance(check.look, LargeLine):  # felt on each call on which its heat goes another way
        card = replace(card, setting=check.look.setting)
    return card


def _loose_ends(unit: Unit, link: LinkReader) -> tuple[str, str]:
    """A wire from end to end, a wire against the cabinet, or two conductors of a cable."""
    first, *rest = (unit.wire_by_name[name] for name in link.wires)
    if rest:
        return first.end, rest[0].end
    return (first.end, EARTH) if link.element == "rub" else (first.start, first.end)


def _id(unit: Unit, check: Check) -> str:
    """What the check is called in files: made of what it reads, when, and between what."""
    if check.reader is None:
        return look_id(*_looked_at(unit, check))
    word = _word(unit, check)
    return id_of(word, *_on(unit, check, word), setting=check.card.setting)


_WORDS: dict[type, Word] = {
    AmpReader: "amps", LoadMicrofaradReader: "loaduf", MicrofaradReader: "uf",
    InsulationReader: "insulation", OhmReader: "ohms",
}  # fmt: skip
_LINKS: dict[str, Word] = {"path": "wire", "rub": "earth", "short": "pair"}
_METERS: dict[str, Word] = {
    LOW_Z_VOLTS.name: "lowz", DIRECT_VOLTS.name: "direct", FINE_VOLTS.name: "drop",
}  # fmt: skip


def _word(unit: Unit, check: Check) -> Word:
    card = check.card
    if isinstance(check.reader, LinkReader):
        return _LINKS[check.reader.element]
    if card.quantity == LEG_DROP:
        return "leg"
    if card.setting == "apart" and _probed(unit, card, "in_circuit"):
        return "alone-ohms"  # the same two points are read with nothing taken off, too
    volts: Word = "across" if _probed(unit, card, "across") else "volts"
    return _WORDS.get(type(check.reader), _METERS.get(card.instrument, volts))


def _probed(unit: Unit, card: CheckCard, how: Literal["in_circuit", "across"]) -> bool:
    """Whether the kind of the part between whose terminals it is read asks for them so."""
    (part, one), (other, two) = split_end(card.red), split_end(card.black)
    probes = unit.kind_of(part).facet(Probes) if part and part == other else None
    return probes is not None and (one, two) in getattr(probes, how)


def _on(unit: Unit, check: Check, word: Word) -> tuple[str, ...]:
    """What the leads or the jaw are on, as the id has it."""
    card = check.card
    part, end = split_end(card.red)
    match check.reader:
        case AmpReader(wire=wire):
            found: tuple[str, ...] = (wire,)
        case LinkReader(wires=wires):
            found = wires
        case InsulationReader():
            found = (part,)
        case _ if word == "leg":
            found = (part, end, *split_end(card.black))
        case LoadMicrofaradReader():
            found = (part, end)
        case _ if card.touches and card.touches[0] in unit.wire_by_name:
            found = card.touches[:1]
        case _ if part == part_of(card.black):
            found = _within(unit, part, (end, terminal_of(card.black)), card, word)
        case _:
            found = _apart(unit, card, word)
    return found


def _apart(unit: Unit, card: CheckCard, word: Word) -> tuple[str, ...]:
    """Against ground, or against the neutral or the C that all is read against.

    A part with one terminal is told without it, but in volts against C.
    """
    part, end = split_end(card.red)
    alone = len(unit.kind_of(part).terminals) == 1
    if card.black == EARTH:
        ground = "can" if card.setting == "apart" else "earth"
        return (part, ground) if alone else (part, end, ground)
    common = unit.kind_of(part_of(card.black)).facet(Junction)
    name = "neutral" if common is not None and common.carries == "neutral" else "C"
    return (part, name) if alone and word != "volts" else (part, end, name)


def _within(
    unit: Unit, name: str, ends: tuple[str, str], card: CheckCard, word: Word
) -> tuple[str, ...]:
    """Between two terminals of one part: a coil and a primary are called by what they are."""
    part, kind = unit.part(name), unit.kind_of(name)
    coil, transformer = kind.facet(Coil), kind.facet(Transformer)
    if coil is not None and coil.duty != "starting" and ends == coil.ends:
        names = coil_names(unit, part)
        if len(names) == 1 or word == "ohms" or card.setting == "starting":
            return names
    if transformer is not None and ends == transformer.primary and word == "volts":
        return name, "primary"
    return name, *ends


def _looked_at(unit: Unit, check: Check) -> tuple[str, ...]:
    """What a look is told as in a symptom: a part alone, or with what is looked at."""
    first, thing = check.card.touches[0], check.card.thing
    match check.look:
        case Mark(sign, None):
            names: tuple[str, ...] = (_hyphens(sign),)
        case Mark(sign) | Pulls(sign=sign):
            names = (first, "setting" if thing == "thermostat" else sign)
        case MotorTurns() | CompressorSound() | DeviceOpen() | BreakerHandle():
            names = (first,)
        case PlungerPosition(part) if part == unit.roles.main_contactor:
            names = (thing,)
        case KeepsRunning(parts) if unit.part(parts[0]).place == "outdoor":
            names = (thing,)
        case AirWarms() | FlameWarms() | Lighting():
            names = (_hyphens(thing),)
        case LargeLine(setting=setting):
            names = (*_IN_SEASON.get(setting, ()), first, thing)
        case StandsInDefrost(part):
            names = (thing, part)
        case WhichSpot(place=place):
            names = (thing, place) if place else ("wires", thing)
        case _:
            names = (first, _CALLED.get(thing, _hyphens(thing)))
    return names


_IN_SEASON: dict[str, tuple[str, ...]] = {"heating": ("heat",), "defrosting": ("defrost",)}
_CALLED = {"turns_on_heat": "heat", "board_light": "light", "phase_light": "light"}
"""Of what is looked at, where the part before it says the rest."""


def _hyphens(name: str) -> str:
    return name.replace("_", "-")
