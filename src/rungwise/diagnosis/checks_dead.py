"""Checks on the dead unit: ohms in the circuit, then parts and wires with their leads off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from rungwise.circuit import INSULATION, MICROFARADS, OHMS
from rungwise.diagnosis.check import UNNAMED, Check
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_card import DEAD
from rungwise.diagnosis.readers import (
    InsulationReader,
    LinkReader,
    MicrofaradReader,
    OhmReader,
    Reader,
)
from rungwise.faults import is_field_wire, wire_weight
from rungwise.parts import (
    EARTH,
    RUBBED,
    Capacitor,
    Caution,
    Coil,
    Heater,
    Junction,
    Motor,
    OpensOn,
    PartKind,
    Probes,
    Transformer,
    end_mark,
    pair_name,
)
from rungwise.unit import Part, Unit, Wire, pair_mark, two_ends
from rungwise.wording import joined, mark, named, say

PLACE_MINUTES = {"outdoor": 1.0, "disconnect": 1.5, "indoor": 2.5, "panel": 4.0, "room": 3.0}
MINUTES_A_LEAD = 0.5
FAR_WIRE_M = 3.0
COOLING_MINUTES = 30.0
"""Until a wetted shell is cold; a hot one left to itself takes hours (common practice, no source).
"""

RESTING_MINUTES = 10.0
"""Until the pressure of a unit that has stopped is far under that at which a switch closes again
(common practice, no source)."""

_PROVE = Caution("WARNING", mark("lock out and verify first, live-dead-live; follow local codes"))
_BLEED = Caution(
    "WARNING", mark("bleed the capacitor through a resistor before touching its terminals")
)
_NOT_COLD = Caution(
    "NOTICE",
    mark(
        "half an hour off is not cold: left to itself, a hot shell may keep its overload open for "
        "two to four hours; water over the shell brings it down in half an hour, all power locked "
        "out and its terminal cover on"
    ),
)
_NOTE_LEADS = Caution("NOTICE", mark("write down where each lead goes before it comes off"))


def dead_checks(unit: Unit) -> Iterator[Check]:
    """Every dead check that the unit's parts and wires offer."""
    yield from _in_circuit(unit)
    for part in unit.parts:
        yield from _part_alone(unit, part)
    for wire in unit.wires:
        if is_field_wire(wire):
            yield from _wire_alone(unit, wire)
    for cable in unit.cables:
        for i, first in enumerate(cable.wires):
            for second in cable.wires[i + 1 :]:
                yield _conductors(unit, first, second, cable.name)


def _wire_alone(unit: Unit, wire: Wire) -> Iterator[Check]:
    far = wire.length_m > FAR_WIRE_M
    card = _card(
        say("ohms from end to end of the {wire}", wire=unit.wire_title(wire)),
        two_ends(unit, wire.start, wire.end),
        minutes=5.0 if far else 2.0,
        touches=(wire.name,),
        needs=(mark("take one of its ends off"),),
    )
    yield Check(card, LinkReader(wire.name, "path", (wire.name,)), off=(wire.start,))
    if wire_weight(unit, wire, RUBBED) > 0:
        card = _card(
            say("ohms to the cabinet of the {wire}", wire=unit.wire_title(wire)),
            say("{end} end of the wire to bare metal", end=unit.end_words(wire.end)),
            minutes=5.0 if far else 2.5,
            touches=(wire.name,),
            needs=(mark("take both its ends off"),),
        )
        yield Check(card, LinkReader(wire.name, "rub", (wire.name,)), off=(wire.start, wire.end))


def _conductors(unit: Unit, one: str, other: str, cable: str) -> Check:
    first, second = unit.wire_by_name[one], unit.wire_by_name[other]
    pair = pair_name(first.name, second.name)
    card = _card(
        say(
            "ohms between {carries} and {carries2} in the {cable}",
            carries=first.carries,
            carries2=second.carries,
            cable=named(cable),
        ),
        say(
            "{end} end to {end2} end, all four ends off",
            end=unit.end_words(first.end),
            end2=unit.end_words(second.end),
        ),
        minutes=6.0,
        touches=(pair, first.name, second.name),
        needs=(mark("take both ends of both conductors off"),),
    )
    reader = LinkReader(pair, "short", (first.name, second.name))
    return Check(card, reader, off=(first.start, first.end, second.start, second.end))


def _card(  # noqa: PLR0913  # one keyword a field of the card
    title: str,
    where: str,
    *,
    minutes: float,
    touches: tuple[str, ...],
    quantity: str = "ohms",
    unit: str = "Ω",
    instrument: str = OHMS.name,
    needs: tuple[str, ...] = (),
    cautions: tuple[Caution, ...] = (_PROVE,),
) -> CheckCard:
    return CheckCard(
        UNNAMED,
        title,
        "number",
        unit=unit,
        minutes=minutes,
        instrument=instrument,
        where=where,
        condition=DEAD,
        cautions=cautions,
        needs=needs,
        quantity=quantity,
        touches=touches,
    )


def _in_circuit(unit: Unit) -> Iterator[Check]:
    for part, poles in unit.roles.made_as_contactors:
        lines, loads = ([end[side] for end in poles.ends] for side in (0, 1))
        for a, b in (*combinations(loads, 2), *combinations(lines, 2), *poles.ends):
            yield _between(unit, part, a, b)
        for a in poles.ends[0]:
            yield _to_earth(unit, part, a)
    for part, probes in unit.having(Probes):
        for a, b in probes.in_circuit:
            if unit.is_wired(part.name, a, b):
                yield _between(unit, part, a, b)
    for part, other in _splices(unit):
        card = _card(
            mark("ohms from Y to C at the splices in the outdoor unit"),
            two_ends(unit, _only_end(unit, part), _only_end(unit, other)),
            minutes=1.5,
            touches=(part.name, other.name),
        )
        reader = OhmReader("dead", _only_end(unit, part), _only_end(unit, other))
        yield Check(card, reader)


def _splices(unit: Unit) -> Iterator[tuple[Part, Part]]:
    """The outdoor Y splice with the C splice beside it, where the unit has both."""
    carried: dict[str, Part] = {}
    for part, junction in unit.having(Junction):
        wires = unit.wires_at(_only_end(unit, part)) if junction.is_splice else ()
        for wire, _ in wires:
            carried.setdefault(wire.carries, part)
    if "Y" in carried and "C" in carried:
        yield carried["Y"], carried["C"]


def _only_end(unit: Unit, part: Part) -> str:
    """The one terminal of a splice."""
    return f"{part.name}.{unit.kind_of(part.name).terminals[0]}"


def _between(unit: Unit, part: Part, a: str, b: str) -> Check:
    card = _card(
        say(
            "ohms {a} to {b} at the {part}, nothing taken off",
            a=end_mark(a),
            b=end_mark(b),
            part=part.title,
        ),
        two_ends(unit, f"{part.name}.{a}", f"{part.name}.{b}"),
        minutes=PLACE_MINUTES[part.place],
        touches=(part.name,),
    )
    return Check(card, OhmReader("dead", f"{part.name}.{a}", f"{part.name}.{b}"))


def _to_earth(unit: Unit, part: Part, a: str) -> Check:
    card = _card(
        say(
            "ohms {a} of the {part} to the cabinet, nothing taken off",
            a=end_mark(a),
            part=part.title,
        ),
        say("{end} to bare metal of the cabinet", end=unit.end_words(f"{part.name}.{a}")),
        minutes=PLACE_MINUTES[part.place],
        touches=(part.name,),
    )
    return Check(card, OhmReader("dead", f"{part.name}.{a}", EARTH))


def _part_alone(unit: Unit, part: Part) -> Iterator[Check]:
    kind = unit.kind_of(part.name)
    motor, heater, capacitor = kind.facet(Motor), kind.facet(Heater), kind.facet(Capacitor)
    for label, a, b in _apart(unit, part):
        ohms = OhmReader("apart", f"{part.name}.{a}", f"{part.name}.{b}")
        yield _leads_off(unit, part, say("ohms {label}", label=label), (a, b), ohms)
    if capacitor is not None:
        yield from _sections(unit, part, capacitor)
    opens = kind.facet(OpensOn)
    if opens is not None and opens.what in ("warmth", "cold"):
        a, b = opens.ends
        chilled = OhmReader("chilled", f"{part.name}.{a}", f"{part.name}.{b}")
        title = say("ohms {label}, ice on its sensor,", label=pair_mark(a, b))
        yield _leads_off(unit, part, title, (a, b), chilled)
    if opens is not None and opens.what == "high pressure":
        yield _rested(unit, part, opens.ends)
    if motor is not None:
        yield _cooled(unit, part, motor)
    # From the run lead: behind an overload that heat holds open the common lead sees no winding.
    end = motor.run if motor is not None else heater.ends[0] if heater is not None else ""
    if end:
        megohms = InsulationReader(f"{part.name}.{end}")
        yield _leads_off(unit, part, mark("megohms to the cabinet"), (end,), megohms)


def _apart(unit: Unit, part: Part) -> Iterator[tuple[str, str, str]]:
    """What is read in ohms with the leads off: what it is called, and both ends."""
    kind = unit.kind_of(part.name)
    coil, probes = kind.facet(Coil), kind.facet(Probes)
    if coil is not None and coil.duty != "starting":
        yield mark("coil"), *coil.ends
    for a, b in (*_windings(kind), *(probes.apart if probes is not None else ())):
        yield pair_mark(a, b), a, b


def _windings(kind: PartKind) -> Iterator[tuple[str, str]]:
    motor, heater, transformer = kind.facet(Motor), kind.facet(Heater), kind.facet(Transformer)
    if motor is not None:
        yield motor.common, motor.run
        yield motor.common, motor.start
        yield motor.run, motor.start
    if heater is not None:
        yield heater.ends
    if transformer is not None:
        yield transformer.primary
        yield transformer.secondary


def _sections(unit: Unit, part: Part, capacitor: Capacitor) -> Iterator[Check]:
    for section in capacitor.sections:
        a, b = section.ends
        farads = MicrofaradReader(f"{part.name}.{a}", f"{part.name}.{b}")
        title = say("microfarads {label}", label=pair_mark(a, b))
        yield _leads_off(unit, part, title, (a, b), farads)
    if capacitor.metal_can and len(capacitor.sections) > 1:
        common = capacitor.common
        to_can = OhmReader("apart", f"{part.name}.{common}", EARTH)
        title = say("ohms {common} to the can", common=common)
        check = _leads_off(unit, part, title, (common,), to_can)
        card = replace(
            check.card,
            where=say(
                "{end} to bare metal of the can", end=unit.end_words(f"{part.name}.{common}")
            ),
        )
        yield replace(check, card=card)


def _cooled(unit: Unit, part: Part, motor: Motor) -> Check:
    """The run winding once more, when an overload that will close again has closed."""
    ends = (motor.common, motor.run)
    reader = OhmReader("cooled", *(f"{part.name}.{end}" for end in ends))
    title = say("ohms {label}, its shell cold to the hand,", label=pair_mark(*ends))
    check = _leads_off(unit, part, title, ends, reader)
    minutes = check.card.minutes + COOLING_MINUTES
    cautions = (*check.card.cautions, _NOT_COLD)
    return replace(check, card=replace(check.card, minutes=minutes, cautions=cautions))


def _rested(unit: Unit, part: Part, ends: tuple[str, str]) -> Check:
    """A pressure switch once the pressure is down: one that is still open is bad.

    It tells what opened by its pressure from what failed, with all power off.
    """
    reader = OhmReader("cooled", *(f"{part.name}.{end}" for end in ends))
    title = say("ohms {label}, ten minutes after the unit stopped,", label=pair_mark(*ends))
    check = _leads_off(unit, part, title, ends, reader)
    return replace(check, card=replace(check.card, minutes=check.card.minutes + RESTING_MINUTES))


def _leads_told(unit: Unit, part: Part, off: tuple[str, ...]) -> str:
    """Where the leads come off; a compressor's at their other ends, its terminals stay covered."""
    if part.name in unit.roles.compressors:
        return say(
            "take off the leads of {things} at the contactor and the capacitor;"
            " the terminal cover of the compressor stays on",
            things=joined(", ", map(end_mark, off)),
        )
    return say("take off the leads on {things}", things=joined(", ", map(end_mark, off)))


def _leads_off(unit: Unit, part: Part, title: str, ends: tuple[str, ...], reader: Reader) -> Check:
    # Megohms see whatever still hangs on the other end of a winding or heater.
    kind = unit.kind_of(part.name)
    whole = bool(kind.facet(Motor) or kind.facet(Heater)) or len(ends) == 1
    off = kind.terminals if whole else ends
    terminals = tuple(f"{part.name}.{end}" for end in off)
    leads = sum(len(unit.wires_at(terminal)) for terminal in terminals)
    quantity, instrument, symbol = "ohms", OHMS.name, "Ω"
    if isinstance(reader, MicrofaradReader):
        quantity, instrument, symbol = "microfarads", MICROFARADS.name, "µF"
    elif isinstance(reader, InsulationReader):
        quantity, instrument, symbol = "megohms", INSULATION.name, "MΩ"
    bleeds = isinstance(reader, MicrofaradReader)
    card = _card(
        say("{title} of the {part}, leads off", title=title, part=part.title),
        two_ends(unit, *(f"{part.name}.{end}" for end in ends[:2])),
        minutes=PLACE_MINUTES[part.place] + MINUTES_A_LEAD * leads,
        touches=(part.name,),
        quantity=quantity,
        unit=symbol,
        instrument=instrument,
        needs=(_leads_told(unit, part, off),),
        cautions=(_PROVE, *((_BLEED,) if bleeds else ()), _NOTE_LEADS),
    )
    return Check(card, reader, off=terminals)
