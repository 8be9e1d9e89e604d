"""Live checks of motors with electronics, and microfarads under load from two readings."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.circuit import CLAMP, DIRECT_VOLTS, VOLTS
from rungwise.diagnosis.check import UNNAMED, Check
from rungwise.diagnosis.checks_amps import clamp_check
from rungwise.diagnosis.checks_dead import PLACE_MINUTES
from rungwise.diagnosis.checks_live import (
    CLAMP_RISK,
    HANDS,
    HEAT_SIGNALS,
    LINE_RISK,
    LIVE_PARTS,
    WHEN_TOLD,
    When,
    heats,
    volts_check,
)
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_card import ON_CALL
from rungwise.diagnosis.readers import LoadMicrofaradReader
from rungwise.parts import Capacitor, ElectronicMotor, Probes, end_mark
from rungwise.unit import Part, Unit
from rungwise.wording import mark, say


def electronic_motors(unit: Unit) -> Iterator[Check]:
    """What goes into a motor with electronics: line volts, its signal, and the amps it takes.

    Its windings are behind the electronics, so that ohms between its leads condemn nothing.
    """
    for part, motor in unit.having(ElectronicMotor):
        a, b = motor.line
        for setting in ("calling", "standby"):
            yield volts_check(
                unit,
                say(
                    "volts on the line leads of the {part}{when_told}",
                    part=part.title,
                    when_told=WHEN_TOLD[setting],
                ),
                f"{part.name}.{a}",
                f"{part.name}.{b}",
                place=part.place,
                setting=setting,
                touches=(part.name,),
            )
        yield from _signals(unit, part, motor)
        for wire, _ in unit.wires_at(f"{part.name}.{a}")[:1]:
            yield clamp_check(
                unit, wire, say("the {part}", part=part.title), "calling", CLAMP, part.place,
                part.name,
            )  # fmt: skip


def _signals(unit: Unit, part: Part, motor: ElectronicMotor) -> Iterator[Check]:
    """Volts of what tells it to turn, each on the call that brings it to life."""
    wired = [pair for pair in motor.signals if unit.is_wired(part.name, *pair)]
    for tap, common in wired:
        carried = {wire.carries for wire, _ in unit.wires_at(f"{part.name}.{tap}")}
        setting: When = "heating" if carried & {*HEAT_SIGNALS} and heats(unit) else "calling"
        which = mark("signal") if len(wired) == 1 else say("signal {tap}", tap=end_mark(tap))
        yield volts_check(
            unit,
            say(
                "volts of the {which} that tells the {part} to turn{when_told}",
                which=which,
                part=part.title,
                when_told=WHEN_TOLD[setting],
            ),
            f"{part.name}.{tap}",
            f"{part.name}.{common}",
            setting=setting,
            place=part.place,
            control=True,
            touches=(part.name,),
        )


def direct_volts(unit: Unit) -> Iterator[Check]:
    """Volts behind a rectifier, on a call."""
    for part, probes in unit.having(Probes):
        for a, b in (each for each in probes.direct if unit.is_wired(part.name, *each)):
            yield volts_check(
                unit,
                say(
                    "direct volts {a} to {b} at the {part}",
                    a=end_mark(a), b=end_mark(b), part=part.title,
                ),
                f"{part.name}.{a}", f"{part.name}.{b}", instrument=DIRECT_VOLTS,
                place=part.place, control=True, touches=(part.name,),
            )  # fmt: skip


def load_microfarads(unit: Unit) -> Iterator[Check]:
    """Of every section outdoors on which a motor runs."""
    sections = [
        (part, section)
        for part, capacitor in unit.having(Capacitor)
        for section in capacitor.sections
        if section.purpose == "run" and part.place == "outdoor"
    ]
    for part, section in sections:
        one, other = section.ends
        for wire, _ in unit.wires_at(f"{part.name}.{one}")[:1]:
            card = CheckCard(
                UNNAMED,
                say("microfarads under load, {one} section, from amps and volts", one=one),
                "number",
                unit="µF",
                minutes=2 * PLACE_MINUTES[part.place],
                risk=LINE_RISK + CLAMP_RISK,
                live=True,
                instrument=say(
                    "{clamp} and {volts}", clamp=mark(CLAMP.name), volts=mark(VOLTS.name)
                ),
                where=say(
                    "jaw around the {wire}; leads {one} to {other} of the capacitor",
                    wire=unit.wire_title(wire),
                    one=one,
                    other=other,
                ),
                condition=ON_CALL,
                cautions=(LIVE_PARTS, HANDS),
                quantity="microfarads",
                touches=(part.name,),
            )
            ends = (f"{part.name}.{one}", f"{part.name}.{other}")
            yield Check(card, LoadMicrofaradReader(wire.name, *ends))
