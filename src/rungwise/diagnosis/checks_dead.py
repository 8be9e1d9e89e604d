"""Checks on the dead unit: ohms in the circuit, then parts and wires with their leads off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.circuit.meter import INSULATION, MICROFARADS, OHMS
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_look import DEAD
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import (
    InsulationReader,
    LinkReader,
    MicrofaradReader,
    OhmReader,
    Reader,
)
from rungwise.faults.weights import is_field_wire, wire_weight
from rungwise.parts.element import EARTH
from rungwise.unit.unit import Part, Unit, Wire

PLACE_MINUTES = {"outdoor": 1.0, "disconnect": 1.5, "indoor": 2.5, "panel": 4.0, "room": 3.0}
MINUTES_A_LEAD = 0.5
FAR_WIRE_M = 3.0
COOLING_MINUTES = 30.0

_PROVE = "WARNING: prove it dead first, live-dead-live; follow local codes"
_BLEED = "WARNING: bleed the capacitor through a resistor before touching its terminals"
_NOTE_LEADS = "NOTICE: write down where each lead goes before it comes off"


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
                yield _conductors(unit.wire_by_name[first], unit.wire_by_name[second], cable.name)


def _wire_alone(unit: Unit, wire: Wire) -> Iterator[Check]:
    far = wire.length_m > FAR_WIRE_M
    card = _card(
        f"wire-{wire.name}",
        f"ohms from end to end of the {wire.title}",
        f"{wire.start} to {wire.end}",
        minutes=5.0 if far else 2.0,
        touches=(wire.name,),
        needs=("take one of its ends off",),
    )
    yield Check(card, LinkReader(wire.name, "path"), off=(wire.start,))
    if wire_weight(unit, wire, "rubbed") > 0:
        card = _card(
            f"earth-{wire.name}",
            f"ohms to the cabinet of the {wire.title}",
            f"{wire.end} end of the wire to bare metal",
            minutes=5.0 if far else 2.5,
            touches=(wire.name,),
            needs=("take both its ends off",),
        )
        yield Check(card, LinkReader(wire.name, "rub"), off=(wire.start, wire.end))


def _conductors(first: Wire, second: Wire, cable: str) -> Check:
    pair = f"{first.name}+{second.name}"
    card = _card(
        f"pair-{first.name}-{second.name}",
        f"ohms between {first.carries} and {second.carries} in the {cable}",
        f"{first.end} end to {second.end} end, all four ends off",
        minutes=6.0,
        touches=(pair, first.name, second.name),
        needs=("take both ends of both conductors off",),
    )
    reader = LinkReader(pair, "short")
    return Check(card, reader, off=(first.start, first.end, second.start, second.end))


def _card(  # noqa: PLR0913  # one keyword a field of the card
    name: str,
    title: str,
    where: str,
    *,
    minutes: float,
    touches: tuple[str, ...],
    quantity: str = "ohms",
    unit: str = "Ω",
    instrument: str = OHMS.name,
    needs: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (_PROVE,),
) -> CheckCard:
    return CheckCard(
        name,
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
    for part in unit.parts_of_kind("contactor_1p", "contactor_2p"):
        for a, b in (("T1", "T2"), ("L1", "L2"), ("L1", "T1"), ("L2", "T2")):
            yield _between(part, a, b)
        for a in ("L1", "T1"):
            yield _to_earth(part, a)
    for part in unit.parts_of_kind("terminal_board"):
        for a, b in (("R", "C"), ("Y", "C"), ("G", "C")):
            yield _between(part, a, b)
    for part, other in _splices(unit):
        card = _card(
            f"ohms-{part.name}-C",
            "ohms from Y to C at the splices in the outdoor unit",
            f"{part.name}.1 to {other.name}.1",
            minutes=1.5,
            touches=(part.name, other.name),
        )
        yield Check(card, OhmReader("dead", f"{part.name}.1", f"{other.name}.1"))


def _splices(unit: Unit) -> Iterator[tuple[Part, Part]]:
    """The outdoor Y splice with the C splice beside it, where the unit has both."""
    carried: dict[str, Part] = {}
    for part in unit.parts_of_kind("splice"):
        for wire, _ in unit.wires_at(f"{part.name}.1"):
            carried.setdefault(wire.carries, part)
    if "Y" in carried and "C" in carried:
        yield carried["Y"], carried["C"]


def _between(part: Part, a: str, b: str) -> Check:
    card = _card(
        f"ohms-{part.name}-{a}-{b}",
        f"ohms {a} to {b} at the {part.title}, nothing taken off",
        f"{part.name}.{a} to {part.name}.{b}",
        minutes=PLACE_MINUTES[part.place],
        touches=(part.name,),
    )
    return Check(card, OhmReader("dead", f"{part.name}.{a}", f"{part.name}.{b}"))


def _to_earth(part: Part, a: str) -> Check:
    card = _card(
        f"ohms-{part.name}-{a}-earth",
        f"ohms {a} of the {part.title} to the cabinet, nothing taken off",
        f"{part.name}.{a} to bare metal of the cabinet",
        minutes=PLACE_MINUTES[part.place],
        touches=(part.name,),
    )
    return Check(card, OhmReader("dead", f"{part.name}.{a}", EARTH))


_ALONE: dict[str, tuple[tuple[str, str], ...]] = {
    "contactor_1p": (("coil1", "coil2"),),
    "contactor_2p": (("coil1", "coil2"),),
    "compressor": (("C", "R"), ("C", "S"), ("R", "S")),
    "fan_motor": (("C", "R"), ("C", "S"), ("R", "S")),
    "crankcase_heater": (("1", "2"),),
    "transformer": (("pri1", "pri2"), ("R", "C")),
    "lv_fuse": (("1", "2"),),
    "relay": (("coil1", "coil2"),),
    "float_switch": (("1", "2"),),
    "high_pressure_switch": (("1", "2"),),
    "low_pressure_switch": (("1", "2"),),
    "door_switch": (("1", "2"),),
    "potential_relay": (("1", "2"), ("2", "5")),
    "disconnect_fused": (("line1", "load1"), ("line2", "load2")),
    "delay": (("y_in", "c"),),
    "terminal_board": (("Y", "C"),),
}
"""Pairs of terminals measured in ohms with the part's leads off."""

_SECTIONS: dict[str, tuple[tuple[str, str], ...]] = {
    "dual_capacitor": (("HERM", "C"), ("FAN", "C")),
    "run_capacitor": (("2", "1"),),
    "start_capacitor": (("1", "2"),),
}

_INSULATED = {"compressor": "C", "fan_motor": "C", "crankcase_heater": "1"}


def _part_alone(unit: Unit, part: Part) -> Iterator[Check]:
    for a, b in _ALONE.get(part.kind, ()):
        label = "coil" if a == "coil1" else f"{a}-{b}"
        name = f"ohms-coil{_suffix(part)}" if a == "coil1" else f"ohms-{part.name}-{a}-{b}"
        if part.kind == "terminal_board":
            name = f"alone-{name}"  # the same two points are read with nothing taken off, too
        ohms = OhmReader("apart", f"{part.name}.{a}", f"{part.name}.{b}")
        yield _leads_off(unit, part, name, f"ohms {label}", (a, b), ohms)
    for a, b in _SECTIONS.get(part.kind, ()):
        farads = MicrofaradReader(f"{part.name}.{a}", f"{part.name}.{b}")
        name = f"uf-{part.name}-{a}-{b}"
        yield _leads_off(unit, part, name, f"microfarads {a}-{b}", (a, b), farads)
    if part.kind == "dual_capacitor":
        to_can = OhmReader("apart", f"{part.name}.C", EARTH)
        check = _leads_off(
            unit, part, f"ohms-{part.name}-C-can", "ohms C to the can", ("C",), to_can
        )
        card = replace(check.card, where=f"{part.name}.C to bare metal of the can")
        yield replace(check, card=card)
    if part.kind == "heater_thermostat":
        chilled = OhmReader("chilled", f"{part.name}.1", f"{part.name}.2")
        name = f"chilled-ohms-{part.name}-1-2"
        yield _leads_off(unit, part, name, "ohms 1-2, ice on its sensor,", ("1", "2"), chilled)
    if part.kind in ("compressor", "fan_motor"):
        yield _cooled(unit, part)
    if part.kind in _INSULATED:
        a = _INSULATED[part.kind]
        megohms = InsulationReader(f"{part.name}.{a}")
        name = f"insulation-{part.name}"
        yield _leads_off(unit, part, name, "megohms to the cabinet", (a,), megohms)


def _cooled(unit: Unit, part: Part) -> Check:
    """The run winding once more, when an overload that will close again has closed."""
    reader = OhmReader("cooled", f"{part.name}.C", f"{part.name}.R")
    name = f"cooled-ohms-{part.name}-C-R"
    title = "ohms C-R, after half an hour to cool,"
    check = _leads_off(unit, part, name, title, ("C", "R"), reader)
    return replace(check, card=replace(check.card, minutes=check.card.minutes + COOLING_MINUTES))


def _suffix(part: Part) -> str:
    """Nothing for the contactor, whose coil is *the* coil; the name for other coils."""
    return "" if part.kind.startswith("contactor") else f"-{part.name}"


def _leads_told(part: Part, off: tuple[str, ...]) -> str:
    """Where the leads come off; a compressor's at their other ends, its terminals stay covered."""
    if part.kind == "compressor":
        return (
            f"take off the leads of {', '.join(off)} at the contactor and the capacitor; "
            "the terminal cover of the compressor stays on"
        )
    return f"take off the leads on {', '.join(off)}"


def _leads_off(
    unit: Unit, part: Part, name: str, title: str, ends: tuple[str, ...], reader: Reader
) -> Check:
    # Megohms see whatever still hangs on the other end of a winding or heater.
    whole = part.kind in _INSULATED or len(ends) == 1
    off = unit.kind_of(part.name).terminals if whole else ends
    terminals = tuple(f"{part.name}.{end}" for end in off)
    leads = sum(len(unit.wires_at(terminal)) for terminal in terminals)
    quantity, instrument, symbol = "ohms", OHMS.name, "Ω"
    if isinstance(reader, MicrofaradReader):
        quantity, instrument, symbol = "microfarads", MICROFARADS.name, "µF"
    elif isinstance(reader, InsulationReader):
        quantity, instrument, symbol = "megohms", INSULATION.name, "MΩ"
    bleeds = isinstance(reader, MicrofaradReader)
    card = _card(
        name,
        f"{title} of the {part.title}, leads off",
        f"{part.name}.{ends[0]} to "
        + (f"{part.name}.{ends[1]}" if len(ends) > 1 else "bare metal"),
        minutes=PLACE_MINUTES[part.place] + MINUTES_A_LEAD * leads,
        touches=(part.name,),
        quantity=quantity,
        unit=symbol,
        instrument=instrument,
        needs=(_leads_told(part, off),),
        cautions=(_PROVE, *((_BLEED,) if bleeds else ()), _NOTE_LEADS),
    )
    return Check(card, reader, off=terminals)
