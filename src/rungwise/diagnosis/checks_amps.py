"""Clamp amps: of motors, heaters and coils, at rest, held as it starts and on a call."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.circuit import CLAMP, FINE_CLAMP, INRUSH_CLAMP, Instrument
from rungwise.diagnosis.check import UNNAMED, Check
from rungwise.diagnosis.checks_dead import PLACE_MINUTES
from rungwise.diagnosis.checks_live import (
    CLAMP_RISK,
    CONDITION,
    HANDS,
    WHEN_TOLD,
    When,
    warm_call,
)
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import AmpReader, Reader
from rungwise.parts import Coil, Heater, Motor, Poles, Transformer, end_mark
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import mark, say

_INRUSH = (
    mark("set the clamp to inrush or peak hold and close the jaw before the start"),
    mark("a good motor shows about its locked-rotor amps for well under a second"),
)


def clamp_check(
    unit: Unit,
    wire: Wire,
    what: str,
    setting: When,
    instrument: Instrument,
    place: str,
    *parts: str,
) -> Check:
    """Amps of a wire. parts: whose own current it is, besides the wire's.

    While starting they are those that stay once the first swing is over, of a rotor that stands.
    """
    starts = setting in ("starting", "restart")
    held = mark(", two seconds after the start") if starts else WHEN_TOLD[setting]
    if setting == "restart":
        held = mark(", two seconds after the start once it has cooled")
    card = CheckCard(
        UNNAMED,
        say("amps of {what}{held}", what=what, held=held),
        "number",
        unit="A",
        minutes=PLACE_MINUTES[place],
        risk=CLAMP_RISK,
        live=True,
        instrument=instrument.name,
        where=say("jaw around the {wire}, this one wire only", wire=unit.wire_title(wire)),
        condition=CONDITION[setting],
        cautions=(HANDS,),
        quantity="held_amps" if starts else "amps",
        touches=(wire.name, *parts),
    )
    reader: Reader = AmpReader(setting, wire.name, instrument)
    return Check(card, reader)


def _inrush(unit: Unit, wire: Wire, what: str, place: str, part: str) -> Check:
    """The highest amps of the first swing of a start."""
    plain = clamp_check(unit, wire, what, "starting", CLAMP, place, part)
    card = replace(
        plain.card,
        title=say("inrush amps of {what} (peak hold)", what=what),
        needs=_INRUSH,
        quantity="inrush",
    )
    return replace(plain, card=card, reader=AmpReader("inrush", wire.name, INRUSH_CLAMP))


def amps_checks(unit: Unit) -> Iterator[Check]:
    """Every check of amps that the unit's parts offer."""
    for part, motor in unit.having(Motor):
        yield from _motor_amps(unit, part, motor)
    for part, heater in unit.having(Heater):
        for wire, _ in unit.wires_at(f"{part.name}.{heater.ends[0]}"):
            yield from _heater_amps(unit, part, heater, wire)
    starting = {part.name for part, coil in unit.having(Coil) if coil.duty == "starting"}
    for part, poles in unit.having(Poles):
        if part.name in starting:
            for wire, _ in unit.wires_at(f"{part.name}.{poles.poles[0].line}")[:1]:
                what = mark("the start capacitor's lead, once it runs")
                yield clamp_check(unit, wire, what, "calling", CLAMP, part.place, part.name)
    for part, transformer in unit.having(Transformer):
        for wire, _ in unit.wires_at(f"{part.name}.{transformer.secondary[0]}")[:1]:
            what = say("all that the {part} feeds", part=part.title)
            yield clamp_check(unit, wire, what, "calling", FINE_CLAMP, part.place, part.name)
    # A wire from coil to coil is the way to both, and clamped once.
    clamped: set[Reader | None] = set()
    for part, poles in unit.roles.made_as_contactors:
        own = [each for each in _contactor_amps(unit, part, poles) if each.reader not in clamped]
        clamped |= {each.reader for each in own}
        yield from own


def _heater_amps(unit: Unit, part: Part, heater: Heater, wire: Wire) -> Iterator[Check]:
    """What warms the oil is read at rest; what warms air or ice while it does, and after it."""
    what = say("the {part}", part=part.title)
    if heater.warms == "oil":
        yield clamp_check(unit, wire, what, "standby", FINE_CLAMP, part.place, part.name)
        return
    warm = warm_call(unit)
    settings: tuple[When, ...] = ("standby",) if warm is None else (warm, "standby")
    for setting in settings:
        yield clamp_check(unit, wire, what, setting, CLAMP, part.place, part.name)


def _contactor_amps(unit: Unit, part: Part, poles: Poles) -> Iterator[Check]:
    # The heater's wire may sit on the same lug and carries its own amps only.
    first = poles.ends[0][0]
    feeds = [w for w, _ in unit.wires_at(f"{part.name}.{first}") if w.carries == "L1"]
    for wire in feeds[:1]:
        what = say("the whole outdoor unit, leg {first}", first=end_mark(first))
        yield clamp_check(unit, wire, what, "calling", CLAMP, part.place)
    coil = unit.kind_of(part.name).facet(Coil)
    for wire, _ in unit.wires_at(f"{part.name}.{coil.ends[0]}") if coil is not None else ():
        what = mark("the contactor's coil")
        if part.name != unit.roles.main_contactor:
            what = say("the coil of the {part}", part=part.title)
        yield clamp_check(unit, wire, what, "calling", FINE_CLAMP, part.place, part.name)


def _motor_amps(unit: Unit, part: Part, motor: Motor) -> Iterator[Check]:
    for end in (motor.common, motor.run, motor.start):
        shared = motor.phases == 1 and end != motor.common
        for wire, _ in unit.wires_at(f"{part.name}.{end}")[:1]:
            what = say("the {part}, {end} lead", part=part.title, end=end_mark(end))
            running = clamp_check(unit, wire, what, "calling", CLAMP, part.place, part.name)
            yield _of_winding(running, shared=shared)
            yield _inrush(unit, wire, what, part.place, part.name)
            if part.place == "outdoor":
                held = clamp_check(unit, wire, what, "starting", CLAMP, part.place, part.name)
                yield _of_winding(held, shared=shared)
            # Once more when what heat and pressure opened has closed: behind an open switch a fan
            # that is stuck stands like a good one.
            if motor.drives == "compressor" or (part.place == "outdoor" and not shared):
                again = clamp_check(unit, wire, what, "restart", CLAMP, part.place, part.name)
                yield _of_winding(again, shared=shared)


def _of_winding(check: Check, *, shared: bool) -> Check:
    """How a motor's amps are shared between its windings differs more by make than their sum."""
    if not shared:
        return check
    return replace(check, card=replace(check.card, quantity="winding_amps"))
