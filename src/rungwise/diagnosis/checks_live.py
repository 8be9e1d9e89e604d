"""Live checks: volts at rest, starting and on a call, drops, clamp amps; they come last."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Literal

from rungwise.circuit import (
    FINE_VOLTS,
    LOW_Z_VOLTS,
    VOLTS,
    Instrument,
    call_for_heat,
    can_defrost,
)
from rungwise.diagnosis.check import UNNAMED, Check
from rungwise.diagnosis.checks_dead import FAR_WIRE_M, PLACE_MINUTES
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_card import COOLED, IDLE, IN_DEFROST, ON_CALL, ON_HEAT
from rungwise.diagnosis.readers import VoltReader
from rungwise.faults import is_field_wire
from rungwise.parts import (
    CONTROL_SIGNALS,
    EARTH,
    Caution,
    Coil,
    Defrosts,
    Heater,
    Junction,
    Motor,
    Poles,
    Probes,
    Reverses,
    Supply,
    Transformer,
    end_mark,
    part_of,
)
from rungwise.unit import Part, Unit, Wire, two_ends
from rungwise.wording import joined, mark, say

LINE_RISK = 2.0
CONTROL_RISK = 0.3
CLAMP_RISK = 0.8

LIVE_PARTS = Caution(
    "DANGER",
    mark(
        "live parts. CAT III meter and leads, eye protection, gloves; "
        "follow local codes; licensed practice where required"
    ),
)
LOW_VOLTS = Caution(
    "CAUTION", mark("24 V circuit beside live line parts; keep the leads on the control terminals")
)
HANDS = Caution("WARNING", mark("live unit; hands clear of terminals and of the fan"))

HEAT_SIGNALS = ("W", "W2", "E", "B")
"""Terminals of the 24 V circuit that nothing but a call for heat brings to life."""

When = Literal["starting", "restart", "calling", "standby", "heating", "defrosting"]

CONDITION: dict[When, str] = {
    "calling": ON_CALL,
    "starting": ON_CALL,
    "restart": COOLED,
    "standby": IDLE,
    "heating": ON_HEAT,
    "defrosting": IN_DEFROST,
}
WHEN_TOLD: dict[When, str] = {
    "calling": "",
    "starting": mark(", held as it starts"),
    "restart": mark(", held as it starts again after it has cooled"),
    "standby": mark(", thermostat off"),
    "heating": mark(", called for heat"),
    "defrosting": mark(", in a forced defrost"),
}
_HELD = (mark("set the meter to hold the lowest reading, then let it start"),)
_HELD_DROP = (mark("set the meter to hold the highest reading, then let it start or hum"),)


def live_checks(unit: Unit) -> Iterator[Check]:
    """Every live check that the unit's parts and wires offer."""
    for part in unit.parts:
        yield from _power_volts(unit, part)
        yield from _contact_drops(unit, part)
        yield from _control_volts(unit, part)
    yield from _neutral_volts(unit)
    for wire in unit.wires:
        if is_field_wire(wire) and wire.length_m <= FAR_WIRE_M:
            yield _drop(unit, wire)


def volts_check(  # noqa: PLR0913  # one keyword a field of the card
    unit: Unit,
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
        UNNAMED,
        title,
        "number",
        unit="V",
        minutes=PLACE_MINUTES[place],
        risk=CONTROL_RISK if control else LINE_RISK,
        live=True,
        instrument=instrument.name,
        where=two_ends(unit, a, b),
        condition=CONDITION[setting],
        cautions=(LOW_VOLTS if control else LIVE_PARTS,),
        needs=held if setting in ("starting", "restart") else (),
        quantity="drop" if across else "sag" if sag else quantity,
        touches=across or touches,
    )
    return Check(card, VoltReader(setting, a, b, instrument))


def _power_volts(unit: Unit, part: Part) -> Iterator[Check]:
    """Leg to leg and each leg to ground, where the line goes in and out of the part."""
    poles = unit.kind_of(part.name).facet(Poles)
    contactor = unit.kind_of(part.name).is_contactor
    if poles is None or len(poles.ends) < 2 or not (contactor or poles.moved_by == "hand"):
        return
    supplies = tuple(each.name for each, _ in unit.having(Supply))
    at_panel = poles.seen_open == "handle"  # what comes to the house is read nowhere nearer
    pair_settings, leg_settings = (
        (_ALL_FOUR, ("calling", "standby")) if contactor
        else (_ALL_THREE, _ON_CALL) if at_panel
        else (_ON_CALL, _ON_CALL)
    )  # fmt: skip
    for side in (1,) if at_panel else (0, 1):
        legs = [end[side] for end in poles.ends]
        for a, b in (*combinations(legs, 2), *((leg, "") for leg in legs)):
            for setting in pair_settings if b else leg_settings:
                yield volts_check(
                    unit,
                    say(
                        "volts {a} to {b} at the {part}{when_told}",
                        a=end_mark(a),
                        b=end_mark(b) if b else mark("ground"),
                        part=part.title,
                        when_told=WHEN_TOLD[setting],
                    ),
                    f"{part.name}.{a}",
                    f"{part.name}.{b}" if b else EARTH,
                    place=part.place,
                    setting=setting,
                    touches=((part.name,) if b else ()) + (supplies if at_panel else ()),
                )


_ON_CALL: tuple[When, ...] = ("calling",)
_ALL_THREE: tuple[When, ...] = ("calling", "standby", "starting")
_ALL_FOUR: tuple[When, ...] = (*_ALL_THREE, "restart")


def _contact_drops(unit: Unit, part: Part) -> Iterator[Check]:
    """The drop over each pole while it carries the load, and held while the motor starts or hums.

    After an overload has opened, a pole that is nearly burnt through reads as a good one.
    """
    kind = unit.kind_of(part.name)
    poles, probes, contactor = kind.facet(Poles), kind.facet(Probes), kind.is_contactor
    warm = warm_call(unit)
    asked = contactor or bool(kind.isolates) or (probes is not None and _is_dropped(unit, probes))
    settings: tuple[When, ...] = (
        (warm,) if probes is not None and probes.on == "heat" and warm is not None
        else ("calling", *_seasons(unit, part)) if _follows_seasons(unit, part)
        else ("calling", "starting", *(("restart",) if contactor else ()))
    )  # fmt: skip
    for a, b in poles.ends if poles is not None and asked else ():
        for setting in settings:
            yield volts_check(
                unit,
                say(
                    "drop across {a} to {b} of the {part}{when_told}",
                    a=end_mark(a),
                    b=end_mark(b),
                    part=part.title,
                    when_told=WHEN_TOLD[setting],
                ),
                f"{part.name}.{a}",
                f"{part.name}.{b}",
                place=part.place,
                setting=setting,
                instrument=FINE_VOLTS,
                across=(part.name,),
            )


def _follows_seasons(unit: Unit, part: Part) -> bool:
    """Whether it turns the unit round between cooling and heating."""
    kind = unit.kind_of(part.name)
    return kind.facet(Reverses) is not None or kind.facet(Defrosts) is not None


def _seasons(unit: Unit, part: Part) -> Iterator[When]:
    """The calls beside cooling on which such a part is read."""
    if _follows_seasons(unit, part):
        if heats(unit):
            yield "heating"
        if can_defrost(unit):
            yield "defrosting"


def warm_call(unit: Unit) -> When | None:
    """On which call what heats is read: one for heat, or a defrost that is made by heat."""
    if heats(unit):
        return "heating"
    melts = any(heater.warms == "ice" for _, heater in unit.having(Heater))
    return "defrosting" if melts and can_defrost(unit) else None


def heats(unit: Unit) -> bool:
    """Whether it can be asked for heat."""
    return call_for_heat(unit.demands) is not None


def _is_dropped(unit: Unit, probes: Probes) -> bool:
    """Whether volts are read across its contacts: without a neutral nothing else tells."""
    return probes.drops or (bool(probes.to_neutral) and not _neutral_bars(unit))


def _neutral_bars(unit: Unit) -> list[Part]:
    return [p for p, junction in unit.having(Junction) if junction.carries == "neutral"]


def _control_pairs(unit: Unit, part: Part) -> Iterator[tuple[str, str, str]]:
    """What is read in volts on a call: the check's title, and both ends."""
    kind = unit.kind_of(part.name)
    coil, probes, transformer = kind.facet(Coil), kind.facet(Probes), kind.facet(Transformer)
    if coil is not None and coil.duty != "starting":
        a, b = coil.ends
        yield say("volts on the coil of the {part}", part=part.title), a, b
    pairs = [] if transformer is None else [transformer.secondary]
    probed = () if probes is None else (*probes.volts, *probes.on_heat)
    for a, b in (*pairs, *(each for each in probed if unit.is_wired(part.name, *each))):
        title = say("volts {a} to {b} at the {part}", a=end_mark(a), b=end_mark(b), part=part.title)
        yield title, a, b


def _control_volts(unit: Unit, part: Part) -> Iterator[Check]:
    probes = unit.kind_of(part.name).facet(Probes)
    across = (part.name,) if probes is not None and probes.conducts else ()
    warm = warm_call(unit)
    on_warm = probes is not None and probes.on == "heat" and warm is not None
    called: When = warm if on_warm and warm is not None else "calling"
    on_heat = () if probes is None or not heats(unit) else probes.on_heat
    for title, a, b in _control_pairs(unit, part):
        ends = (f"{part.name}.{a}", f"{part.name}.{b}")
        low = _at_control_volts(unit, ends)
        heated = heats(unit) and (a in HEAT_SIGNALS or (a, b) in on_heat)
        setting: When = "heating" if heated else called
        yield volts_check(
            unit, joined("", (title, WHEN_TOLD[setting])), *ends, setting=setting,
            place=part.place, control=low, across=across, touches=(part.name,),
        )  # fmt: skip
        for season in _seasons(unit, part):
            if season != setting:
                yield volts_check(
                    unit, joined("", (title, WHEN_TOLD[season])), *ends, setting=season,
                    place=part.place, control=low, across=across, touches=(part.name,),
                )  # fmt: skip
        if unit.kind_of(part.name).is_contactor or a == "Y":
            yield volts_check(
                unit,
                say("{title}, low-impedance meter", title=title),
                *ends,
                place=part.place,
                instrument=LOW_Z_VOLTS,
                control=low,
                touches=(part.name,),
            )
            idle = say("{title}, thermostat off", title=title)
            yield volts_check(
                unit, idle, *ends,
                place=part.place, setting="standby", control=low, touches=(part.name,),
                quantity="ghost",
            )  # fmt: skip
            yield volts_check(
                unit,
                say("{idle}, low-impedance meter", idle=idle),
                *ends,
                place=part.place,
                setting="standby",
                instrument=LOW_Z_VOLTS,
                control=low,
                touches=(part.name,),
            )
    yield from _along_y(unit, part)


def _at_control_volts(unit: Unit, ends: tuple[str, str]) -> bool:
    """Whether 24 V stand there: a coil may hang on line volts as well."""
    carried = {wire.carries for end in ends for wire, _ in unit.wires_at(end)}
    return not carried or bool(carried & {*CONTROL_SIGNALS})


def _along_y(unit: Unit, part: Part) -> Iterator[Check]:
    """Points of the outdoor Y line against the C splice beside them."""
    splices = [p for p, junction in unit.having(Junction) if junction.is_splice]
    reference = [
        point
        for point in (f"{p.name}.{unit.kind_of(p.name).terminals[0]}" for p in splices)
        if any(wire.carries == "C" for wire, _ in unit.wires_at(point))
    ]
    probes = unit.kind_of(part.name).facet(Probes)
    if not reference or part.place != "outdoor" or probes is None or not probes.along_y:
        return
    points = [f"{part.name}.{terminal}" for terminal in unit.kind_of(part.name).terminals]
    for point in points if reference[0] not in points else ():
        title = say("volts from {end} to C", end=unit.end_words(point))
        ends = (point, reference[0])
        yield volts_check(unit, title, *ends, place=part.place, control=True)
        if part in splices:
            yield volts_check(
                unit, say("{title}, low-impedance meter", title=title), *ends,
                place=part.place, instrument=LOW_Z_VOLTS, control=True,
            )  # fmt: skip


def _neutral_volts(unit: Unit) -> Iterator[Check]:
    """Points of the indoor 120 V circuit against its neutral, and the blower's own volts."""
    for bar in _neutral_bars(unit):
        neutral = f"{bar.name}.{unit.kind_of(bar.name).terminals[0]}"
        points = [(p, t) for p, probes in unit.having(Probes) for t in probes.to_neutral]
        for part, terminal in points:
            title = say(
                "volts from {terminal} of the {part} to neutral",
                terminal=end_mark(terminal),
                part=part.title,
            )
            yield volts_check(unit, title, f"{part.name}.{terminal}", neutral, place=part.place)
        yield volts_check(
            unit,
            mark("volts from neutral to ground"),
            neutral,
            EARTH,
            place=bar.place,
        )
    for part, transformer in unit.having(Transformer):
        one, other = (f"{part.name}.{end}" for end in transformer.primary)
        title = say("volts on the primary of the {part}", part=part.title)
        yield volts_check(unit, title, one, other, place=part.place, touches=(part.name,))
    for part, motor in unit.having(Motor):
        if motor.drives == "fan":
            ends = (f"{part.name}.{motor.run}", f"{part.name}.{motor.common}")
            title = say("volts on the leads of the {part}", part=part.title)
            yield volts_check(unit, title, *ends, place=part.place, touches=(part.name,))


def _drop(unit: Unit, wire: Wire) -> Check:
    heat = wire.carries in HEAT_SIGNALS or any(
        probes.on == "heat" for probes in _probes_beside(unit, wire)
    )
    warm = warm_call(unit)
    setting: When = warm if heat and warm is not None else "calling"
    place = "outdoor" if "L" in wire.carries or wire.carries in ("power", "heater") else "indoor"
    return volts_check(
        unit,
        say(
            "drop from end to end of the {wire}{when_told}",
            wire=unit.wire_title(wire),
            when_told=WHEN_TOLD[setting],
        ),
        wire.start,
        wire.end,
        place=place,
        setting=setting,
        instrument=FINE_VOLTS,
        control=wire.carries in CONTROL_SIGNALS,
        across=(wire.name,),
    )


def _probes_beside(unit: Unit, wire: Wire) -> Iterator[Probes]:
    for end in (wire.start, wire.end):
        probes = unit.kind_of(part_of(end)).facet(Probes)
        if probes is not None:
            yield probes
