"""Live checks: volts at rest, starting and on a call, drops, clamp amps; they come last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from rungwise.circuit.meter import (
    CLAMP,
    FINE_CLAMP,
    FINE_VOLTS,
    LOW_Z_VOLTS,
    VOLTS,
    Instrument,
)
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_dead import FAR_WIRE_M, PLACE_MINUTES
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_card import COOLED, IDLE, ON_CALL
from rungwise.diagnosis.readers import AmpReader, LoadMicrofaradReader, Reader, VoltReader
from rungwise.faults.weights import is_field_wire
from rungwise.parts.element import EARTH
from rungwise.unit.unit import Part, Unit, Wire

LINE_RISK = 2.0
CONTROL_RISK = 0.3
CLAMP_RISK = 0.8

_DANGER = (
    "DANGER: live parts. CAT III meter and leads, eye protection, gloves; follow local codes; "
    "licensed practice where required"
)
_CAUTION = "CAUTION: 24 V circuit beside live line parts; keep the leads on the control terminals"
_HANDS = "WARNING: live unit; hands clear of terminals and of the fan"

When = Literal["starting", "restart", "calling", "standby"]

_CONDITION: dict[When, str] = {
    "calling": ON_CALL,
    "starting": ON_CALL,
    "restart": COOLED,
    "standby": IDLE,
}
_PREFIX: dict[When, str] = {
    "calling": "",
    "starting": "start-",
    "restart": "cooled-start-",
    "standby": "idle-",
}
_WHEN: dict[When, str] = {
    "calling": "",
    "starting": ", held as it starts",
    "restart": ", held as it starts again after it has cooled",
    "standby": ", thermostat off",
}
_HELD = ("set the meter to hold the lowest reading, then let it start",)
_HELD_DROP = ("set the meter to hold the highest reading, then let it start or hum",)
_INRUSH = (
    "set the clamp to inrush or peak hold and close the jaw before the start",
    "a good motor shows about its locked-rotor amps for well under a second",
)


def live_checks(unit: Unit) -> Iterator[Check]:
    """Every live check that the unit's parts and wires offer."""
    for part in unit.parts:
        yield from _power_volts(unit, part)
        yield from _contact_drops(part)
        yield from _control_volts(unit, part)
    yield from _neutral_volts(unit)
    for wire in unit.wires:
        if is_field_wire(wire) and wire.length_m <= FAR_WIRE_M:
            yield _drop(wire)
    yield from _amps(unit)
    yield from _load_microfarads(unit)


def _volts(  # noqa: PLR0913  # one keyword a field of the card
    name: str,
    title: str,
    a: str,
    b: str,
    *,
    place: str,
    setting: When = "calling",
    instrument: Instrument = VOLTS,
    control: bool = False,
    across: tuple[str, ...] = (),
    touches: tuple[str, ...] = (),
    quantity: str = "volts",
) -> Check:
    """One check of volts, or of the drop `across` something that should conduct.

    touches: the block that both leads are on; none for a reading against ground, C or neutral.
    """
    held = _HELD_DROP if across else _HELD
    # While a rotor stands the volts hang on locked amps and on the whole way to the pole.
    sag = setting in ("starting", "restart") and quantity == "volts" and not control
    card = CheckCard(
        _PREFIX[setting] + name,
        title,
        "number",
        unit="V",
        minutes=PLACE_MINUTES[place],
        risk=CONTROL_RISK if control else LINE_RISK,
        live=True,
        instrument=instrument.name,
        where=f"{_point(a)} to {_point(b)}",
        condition=_CONDITION[setting],
        cautions=(_CAUTION if control else _DANGER,),
        needs=held if setting in ("starting", "restart") else (),
        quantity="drop" if across else "sag" if sag else quantity,
        touches=across or touches,
    )
    return Check(card, VoltReader(setting, a, b, instrument))


def _point(node: str) -> str:
    return "ground (bare metal)" if node == EARTH else node


def _power_volts(unit: Unit, part: Part) -> Iterator[Check]:
    """Leg to leg and each leg to ground, where the line goes in and out of the part."""
    supplies = tuple(each.name for each in unit.parts_of_kind("service"))
    at_panel = part.kind == "breaker_2p"  # what comes to the house is read nowhere nearer
    pair_settings, leg_settings = _VOLT_SETTINGS.get(part.kind, (_ON_CALL, _ON_CALL))
    for first, second in _LINE_ENDS.get(part.kind, ()):
        for a, b in ((first, second), (first, ""), (second, "")):
            for setting in pair_settings if b else leg_settings:
                yield _volts(
                    f"volts-{part.name}-{a}-{b or 'earth'}",
                    f"volts {a} to {b or 'ground'} at the {part.title}{_WHEN[setting]}",
                    f"{part.name}.{a}",
                    f"{part.name}.{b}" if b else EARTH,
                    place=part.place,
                    setting=setting,
                    touches=((part.name,) if b else ()) + (supplies if at_panel else ()),
                )


_ON_CALL: tuple[When, ...] = ("calling",)
_ALL_THREE: tuple[When, ...] = ("calling", "standby", "starting")
_ALL_FOUR: tuple[When, ...] = (*_ALL_THREE, "restart")

_VOLT_SETTINGS: dict[str, tuple[tuple[When, ...], tuple[When, ...]]] = {
    "breaker_2p": (_ALL_THREE, _ON_CALL),
    "contactor_1p": (_ALL_FOUR, ("calling", "standby")),
    "contactor_2p": (_ALL_FOUR, ("calling", "standby")),
}
"""When volts are read from leg to leg, and when from each leg to ground."""


_DROP_SETTINGS: dict[str, tuple[When, ...]] = {
    "contactor_1p": ("calling", "starting", "restart"),
    "contactor_2p": ("calling", "starting", "restart"),
}


def _contact_drops(part: Part) -> Iterator[Check]:
    """The drop over each pole while it carries the load, and held while the motor starts or hums.

    After an overload has opened, a pole that is nearly burnt through reads as a good one.
    """
    for a, b in _CONTACTS.get(part.kind, ()):
        for setting in _DROP_SETTINGS.get(part.kind, ("calling", "starting")):
            yield _volts(
                f"drop-{part.name}-{a}-{b}",
                f"drop across {a} to {b} of the {part.title}{_WHEN[setting]}",
                f"{part.name}.{a}",
                f"{part.name}.{b}",
                place=part.place,
                setting=setting,
                instrument=FINE_VOLTS,
                across=(part.name,),
            )


_LINE_ENDS: dict[str, tuple[tuple[str, str], ...]] = {
    "breaker_2p": (("load1", "load2"),),
    "disconnect_pullout": (("line1", "line2"), ("load1", "load2")),
    "disconnect_switch": (("line1", "line2"), ("load1", "load2")),
    "disconnect_fused": (("line1", "line2"), ("load1", "load2")),
    "contactor_1p": (("L1", "L2"), ("T1", "T2")),
    "contactor_2p": (("L1", "L2"), ("T1", "T2")),
}

_CONTACTS: dict[str, tuple[tuple[str, str], ...]] = {
    "breaker_2p": (("line1", "load1"), ("line2", "load2")),
    "breaker_1p": (("line1", "load1"),),
    "service_switch": (("line1", "load1"),),
    "door_switch": (("1", "2"),),
    "contactor_1p": (("L1", "T1"), ("L2", "T2")),
    "contactor_2p": (("L1", "T1"), ("L2", "T2")),
    "disconnect_pullout": (("line1", "load1"), ("line2", "load2")),
    "disconnect_switch": (("line1", "load1"), ("line2", "load2")),
    "disconnect_fused": (("line1", "load1"), ("line2", "load2")),
}

_CONTROL: dict[str, tuple[tuple[str, str], ...]] = {
    "transformer": (("R", "C"),),
    "lv_fuse": (("1", "2"),),
    "terminal_board": (("R", "C"), ("Y", "C"), ("G", "C")),
    "thermostat": (("R", "Y"),),
    "float_switch": (("1", "2"),),
    "high_pressure_switch": (("1", "2"),),
    "low_pressure_switch": (("1", "2"),),
    "delay": (("y_in", "c"), ("y_out", "c")),
    "contactor_1p": (("coil1", "coil2"),),
    "contactor_2p": (("coil1", "coil2"),),
    "relay": (("coil1", "coil2"),),
}

_CONDUCTING = frozenset(
    {"lv_fuse", "thermostat", "float_switch", "high_pressure_switch", "low_pressure_switch"}
)
"""Kinds of `_CONTROL` whose two terminals are closed on a call: what is read there is a drop."""


def _control_volts(unit: Unit, part: Part) -> Iterator[Check]:
    for a, b in _CONTROL.get(part.kind, ()):
        is_coil = a == "coil1" and part.kind.startswith("contactor")
        name = "volts-coil" if is_coil else f"volts-{part.name}-{a}-{b}"
        title = f"volts on the coil of the {part.title}" if a == "coil1" else (
            f"volts {a} to {b} at the {part.title}"
        )  # fmt: skip
        ends = (f"{part.name}.{a}", f"{part.name}.{b}")
        across = (part.name,) if part.kind in _CONDUCTING else ()
        yield _volts(
            name, title, *ends,
            place=part.place, control=True, across=across, touches=(part.name,),
        )  # fmt: skip
        if is_coil or a == "Y":
            yield _volts(
                name.replace("volts", "lowz", 1), f"{title}, low-impedance meter", *ends,
                place=part.place, instrument=LOW_Z_VOLTS, control=True, touches=(part.name,),
            )  # fmt: skip
            idle = f"{title}, thermostat off"
            yield _volts(
                name, idle, *ends,
                place=part.place, setting="standby", control=True, touches=(part.name,),
                quantity="ghost",
            )  # fmt: skip
            yield _volts(
                name.replace("volts", "lowz", 1), f"{idle}, low-impedance meter", *ends,
                place=part.place, setting="standby", instrument=LOW_Z_VOLTS, control=True,
                touches=(part.name,),
            )  # fmt: skip
    yield from _along_y(unit, part)


def _along_y(unit: Unit, part: Part) -> Iterator[Check]:
    """Points of the outdoor Y line against the C splice beside them."""
    reference = [
        p.name
        for p in unit.parts_of_kind("splice")
        if any(wire.carries == "C" for wire, _ in unit.wires_at(f"{p.name}.1"))
    ]
    if not reference or part.place != "outdoor":
        return
    kinds = ("splice", "high_pressure_switch", "low_pressure_switch")
    if part.kind not in kinds or part.name in reference:
        return
    for terminal in unit.kind_of(part.name).terminals:
        point = f"{part.name}.{terminal}"
        name = f"volts-{part.name}-{terminal}-C"
        # A splice has no mark at all to name.
        marked = "" if part.kind == "splice" else f"{terminal} of "
        title = f"volts from {marked}the {part.title} to C"
        ends = (point, f"{reference[0]}.1")
        yield _volts(name, title, *ends, place=part.place, control=True)
        if part.kind == "splice":
            yield _volts(
                f"lowz-{part.name}-C", f"{title}, low-impedance meter", *ends,
                place=part.place, instrument=LOW_Z_VOLTS, control=True,
            )  # fmt: skip


def _neutral_volts(unit: Unit) -> Iterator[Check]:
    """Points of the indoor 120 V circuit against its neutral, and the blower's own volts."""
    for bar in unit.parts_of_kind("neutral_bar"):
        points = [
            (p, t)
            for p in unit.parts_of_kind("service_switch", "door_switch")
            for t in unit.kind_of(p.name).terminals
        ]
        points += [(p, "pri1") for p in unit.parts_of_kind("transformer")]
        points += [(p, "no") for p in unit.parts_of_kind("relay")]
        for part, terminal in points:
            name = f"volts-{part.name}-{terminal}-neutral"
            title = f"volts from {terminal} of the {part.title} to neutral"
            yield _volts(name, title, f"{part.name}.{terminal}", f"{bar.name}.N", place=part.place)
        yield _volts(
            f"volts-{bar.name}-earth",
            "volts from neutral to ground",
            f"{bar.name}.N",
            EARTH,
            place=bar.place,
        )
    for part in unit.parts_of_kind("transformer"):
        ends = (f"{part.name}.pri1", f"{part.name}.pri2")
        title = f"volts on the primary of the {part.title}"
        name = f"volts-{part.name}-primary"
        yield _volts(name, title, *ends, place=part.place, touches=(part.name,))
    for part in unit.parts_of_kind("fan_motor"):
        ends = (f"{part.name}.R", f"{part.name}.C")
        title = f"volts on the leads of the {part.title}"
        name = f"volts-{part.name}-R-C"
        yield _volts(name, title, *ends, place=part.place, touches=(part.name,))


def _drop(wire: Wire) -> Check:
    place = "outdoor" if "L" in wire.carries or wire.carries in ("power", "heater") else "indoor"
    return _volts(
        f"drop-{wire.name}",
        f"drop from end to end of the {wire.title}",
        wire.start,
        wire.end,
        place=place,
        instrument=FINE_VOLTS,
        control=wire.carries in ("R", "C", "Y", "G"),
        across=(wire.name,),
    )


def _clamp(
    wire: Wire, what: str, setting: When, instrument: Instrument, place: str, *parts: str
) -> Check:
    """Amps of a wire. parts: whose own current it is, besides the wire's.

    While starting they are those that stay once the first swing is over, of a rotor that stands.
    """
    starts = setting in ("starting", "restart")
    held = ", two seconds after the start" if starts else _WHEN[setting]
    if setting == "restart":
        held += " once it has cooled"
    card = CheckCard(
        f"{_HELD_AMPS.get(setting, _PREFIX[setting])}amps-{wire.name}",
        f"amps of {what}{held}",
        "number",
        unit="A",
        minutes=PLACE_MINUTES[place],
        risk=CLAMP_RISK,
        live=True,
        instrument=instrument.name,
        where=f"jaw around the {wire.title}, this one wire only",
        condition=_CONDITION[setting],
        cautions=(_HANDS,),
        quantity="held_amps" if starts else "amps",
        touches=(wire.name, *parts),
    )
    reader: Reader = AmpReader(setting, wire.name, instrument)
    return Check(card, reader)


_HELD_AMPS: dict[When, str] = {"starting": "held-", "restart": "cooled-held-"}
"""Amps two seconds after a start, told from the peak that `_inrush` holds."""


def _inrush(wire: Wire, what: str, place: str, part: str) -> Check:
    """The highest amps of the first swing of a start."""
    plain = _clamp(wire, what, "starting", CLAMP, place, part)
    card = replace(
        plain.card,
        id=f"{_PREFIX['starting']}amps-{wire.name}",
        title=f"inrush amps of {what} (peak hold)",
        needs=_INRUSH,
        quantity="inrush",
    )
    return replace(plain, card=card, reader=AmpReader("inrush", wire.name, CLAMP))


def _amps(unit: Unit) -> Iterator[Check]:
    for part in unit.parts:
        if unit.kind_of(part.name).motor:
            yield from _motor_amps(unit, part)
    for part in unit.parts_of_kind("crankcase_heater"):
        for wire, _ in unit.wires_at(f"{part.name}.1"):
            what = f"the {part.title}"
            yield _clamp(wire, what, "standby", FINE_CLAMP, part.place, part.name)
    for part in unit.parts_of_kind("potential_relay"):
        for wire, _ in unit.wires_at(f"{part.name}.1")[:1]:
            what = "the start capacitor's lead, once it runs"
            yield _clamp(wire, what, "calling", CLAMP, part.place, part.name)
    for part in unit.parts_of_kind("contactor_1p", "contactor_2p"):
        # The heater's wire may sit on the same lug and carries its own amps only.
        feeds = [w for w, _ in unit.wires_at(f"{part.name}.L1") if w.carries == "L1"]
        for wire in feeds[:1]:
            yield _clamp(wire, "the whole outdoor unit, leg L1", "calling", CLAMP, part.place)
        for wire, _ in unit.wires_at(f"{part.name}.coil1"):
            what = "the contactor's coil"
            yield _clamp(wire, what, "calling", FINE_CLAMP, part.place, part.name)


def _motor_amps(unit: Unit, part: Part) -> Iterator[Check]:
    for end in ("C", "R", "S"):
        for wire, _ in unit.wires_at(f"{part.name}.{end}")[:1]:
            what = f"the {part.title}, {end} lead"
            yield _of_winding(_clamp(wire, what, "calling", CLAMP, part.place, part.name), end)
            yield _inrush(wire, what, part.place, part.name)
            if part.place == "outdoor":
                held = _clamp(wire, what, "starting", CLAMP, part.place, part.name)
                yield _of_winding(held, end)
            # Once more when what heat and pressure opened has closed: behind an open switch a fan
            # that is stuck stands like a good one.
            if part.kind == "compressor" or (part.place == "outdoor" and end == "C"):
                again = _clamp(wire, what, "restart", CLAMP, part.place, part.name)
                yield _of_winding(again, end)


def _of_winding(check: Check, end: str) -> Check:
    """How a motor's amps are shared between its windings differs more by make than their sum."""
    if end == "C":
        return check
    return replace(check, card=replace(check.card, quantity="winding_amps"))


def _load_microfarads(unit: Unit) -> Iterator[Check]:
    for part in unit.parts_of_kind("dual_capacitor"):
        for section in ("HERM", "FAN"):
            for wire, _ in unit.wires_at(f"{part.name}.{section}")[:1]:
                card = CheckCard(
                    f"loaduf-{part.name}-{section}",
                    f"microfarads under load, {section} section, from amps and volts",
                    "number",
                    unit="µF",
                    minutes=2 * PLACE_MINUTES[part.place],
                    risk=LINE_RISK + CLAMP_RISK,
                    live=True,
                    instrument=f"{CLAMP.name} and {VOLTS.name}",
                    where=f"jaw around the {wire.title}; leads {section} to C of the capacitor",
                    condition=ON_CALL,
                    cautions=(_DANGER, _HANDS),
                    quantity="microfarads",
                    touches=(part.name,),
                )
                ends = (f"{part.name}.{section}", f"{part.name}.C")
                yield Check(card, LoadMicrofaradReader(wire.name, *ends))
