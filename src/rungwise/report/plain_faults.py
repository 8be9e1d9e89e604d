"""Faults in the words of somebody who has never opened a unit: what it was, and what comes next.

Told from the fault's id and the kind of its part alone, never from a sentence. No name of a
terminal, no value, no chance stands in them.
"""

from __future__ import annotations

from collections.abc import Iterable
from fnmatch import fnmatchcase

from rungwise.unit.unit import Unit

__all__ = ["LEFT_OFF", "fault_told", "leave_off", "next_told", "part_noun"]

_NOUNS = (
    ("dual_capacitor", "run capacitor"),
    ("contactor_*", "contactor"),
    ("crankcase_heater", "compressor's heater"),
    ("heater_thermostat", "thermostat of the compressor's heater"),
    ("lv_fuse", "small fuse of the control circuit"),
    ("disconnect_*", "disconnect beside the outdoor unit"),
    ("service", "power supply of the house"),
    ("terminal_board", "control board"),
    ("delay", "time delay"),
)  # fmt: skip
"""By part kind; any other part is called by its title."""

STOPPED = ", and a switch had stopped the unit"

Row = tuple[str, str, str, str]

_FAULTS: tuple[Row, ...] = (
    # kind, mode, what it was, what comes next
    ("float_switch", "open", "Water had backed up in the drain pan{stopped}.",
     "clear the drain and empty the pan"),
    ("high_pressure_switch", "open", "The pressure had risen too high{stopped}.",
     "find why the pressure rose"),
    ("low_pressure_switch", "open", "The pressure had fallen too low{stopped}.",
     "measure the refrigerant and find why the pressure fell"),
    ("*", "low_charge", "Refrigerant was missing{stopped}.",
     "find the leak, mend it, and put in the right amount of refrigerant"),
    ("*", "overcharge", "There was too much refrigerant, or air in it{stopped}.",
     "bring the refrigerant to the right amount"),
    ("*", "dirty_coil", "The outdoor coil was clogged with dirt{stopped}.",
     "clean the outdoor coil"),
    ("*", "frozen_coil", "The indoor coil was frozen over.",
     "thaw the coil, then find what held the air or the refrigerant back"),
    ("*_switch", "resistive", "The {noun} had a bad contact.", "replace the {noun}"),
    ("door_switch", "open", "The door of the indoor unit was not in place{stopped}.",
     "put the door back so that it presses the switch"),
    ("*_switch", "failed_open", "The {noun} had failed.", "replace the {noun}"),
    ("*capacitor", "*weak", "The {noun} had lost part of its strength.", "replace the {noun}"),
    ("*capacitor", "*spent", "The {noun} had lost nearly all of its strength.",
     "replace the {noun}"),
    ("*capacitor", "*open", "The {noun} had failed.", "replace the {noun}"),
    ("*capacitor", "*shorted", "The {noun} had failed.", "replace the {noun}"),
    ("contactor_*", "blocked", "The {noun} was blocked by insects or dirt.",
     "clear the {noun}, or replace it"),
    ("contactor_*", "welded", "The {noun} had stuck closed, so that the unit did not stop.",
     "replace the {noun}"),
    ("contactor_*", "chatters", "The {noun} did not hold.", "replace the {noun}"),
    ("contactor_*", "hums", "The {noun} did not close fully.", "replace the {noun}"),
    ("contactor_*", "coil*", "The coil of the {noun} had failed.", "replace the {noun}"),
    ("contactor_*", "pole*", "The contacts of the {noun} were burnt.", "replace the {noun}"),
    ("compressor", "overload_open", "The compressor had switched itself off, too hot.",
     "find what made the compressor hot"),
    ("compressor", "seized", "The compressor was stuck and could not turn.",
     "talk with you about the compressor"),
    ("compressor", "not_pumping", "The compressor ran without pumping.",
     "talk with you about the compressor"),
    ("compressor", "tight", "The compressor ran too hard.", "find what makes it run hard"),
    ("compressor", "swapped*", "Two wires on the compressor had been swapped.",
     "put the wires where they belong"),
    ("compressor", "*", "The compressor had failed electrically.",
     "talk with you about the compressor"),
    ("fan_motor", "dragging", "The bearings of the {noun} were worn.", "replace the {noun}"),
    ("fan_motor", "wheel_loose", "The blade of the {noun} was loose on its shaft.",
     "fasten or replace the blade"),
    ("fan_motor", "overload_open", "The {noun} had switched itself off, too hot.",
     "find what made the motor hot"),
    ("fan_motor", "seized", "The {noun} was stuck and could not turn.", "replace the {noun}"),
    ("fan_motor", "*", "The {noun} had failed electrically.", "replace the {noun}"),
    ("*", "*_on_*", "A wire had been put in the wrong place.", "put the wire where it belongs"),
    ("*", "swapped*", "Two wires on the {noun} had been swapped.",
     "put the wires where they belong"),
    ("breaker_*", "tripped", "The {noun} had tripped.", "find what tripped it"),
    ("*", "off", "The {noun} was switched off.", "find out why it was switched off"),
    ("*", "out", "The {noun} was switched off.", "find out why it was switched off"),
    ("breaker_*", "pole*", "The {noun} was worn out inside.", "replace the {noun}"),
    ("disconnect_*", "pole*", "The {noun} was burnt or worn inside.", "replace the {noun}"),
    ("service_switch", "pole*", "The {noun} was burnt or worn inside.", "replace the {noun}"),
    ("service", "low_volts", "The power that comes to the unit was too low.",
     "find where it is lost, with the electric utility if need be"),
    ("service", "neutral_lost", "A main wire of the house's power supply was broken.",
     "have the electric utility mend it at once"),
    ("service", "leg*", "Part of the power from the electric utility was missing.",
     "have the electric utility mend it"),
    ("lv_fuse", "blown", "The {noun} had blown.", "find what blew it, then replace it"),
    ("transformer", "tap*", "The {noun} was connected for another supply.",
     "connect it for the supply of this house"),
    ("thermostat", "setting", "The thermostat was not set to cool, or its batteries were empty.",
     "set it, or replace its batteries"),
    ("thermostat", "not_calling", "The thermostat did not ask for cooling.",
     "replace the thermostat"),
    ("thermostat", "keeps_calling", "The thermostat asked for cooling all the time.",
     "replace the thermostat"),
    ("wire", "open", "A wire was broken or had come off.", "mend the wire"),
    ("wire", "high_resistance", "The connection of a wire was loose or burnt.",
     "make the connection again"),
    ("wire", "rubbed", "A wire had rubbed through its covering.", "mend the wire"),
    ("wire", "*", "A wire or its connection was bad.", "mend the wire"),
    ("cable", "*", "Two wires in a cable touched each other.", "replace the cable"),
    ("*", "another*", "Something was wrong with the {noun}.", "look further into the {noun}"),
    ("*", "other*", "Something was wrong with the {noun}.", "look further into the {noun}"),
    ("*", "*", "The {noun} had failed.", "replace the {noun}"),
)  # fmt: skip
"""The first row that fits counts."""


BREAKER_OFF = "Leave this unit's breaker off, and do not reset it, until the next step is done."
COOLING_OFF = "Leave the cooling off at the thermostat until the next step is done."
DOES_NOT_STOP = (
    "It does not stop by the thermostat: leave the breaker of the outdoor unit off until the next "
    "step is done."
)
NO_NEUTRAL = "Leave the main breaker of the house off, and call the electric utility now."

LEFT_OFF = (COOLING_OFF, DOES_NOT_STOP, BREAKER_OFF, NO_NEUTRAL)

_OFF = (
    ("service", "neutral_lost", NO_NEUTRAL),
    ("contactor_*", "welded", DOES_NOT_STOP),
    ("*", "tripped", BREAKER_OFF),
    ("*", "earthed", BREAKER_OFF),
    ("*", "other_leak", BREAKER_OFF),
    ("*", "*shorted", BREAKER_OFF),
    ("*", "rubbed", BREAKER_OFF),
    ("*", "*burnt", BREAKER_OFF),
    ("disconnect_*", "pole*", BREAKER_OFF),
    ("wire", "high_resistance", BREAKER_OFF),
)
"""What has to stay off meanwhile, by kind and mode; of any other fault the cooling alone."""


def leave_off(unit: Unit, fault: str = "", *, stops: bool = True) -> str:
    """What to leave off while it is not fixed. stops: whether the thermostat stops the unit.

    Of a fault with its effect, the graver of the two counts: a breaker that was tripped stays off.
    """
    for one in filter(None, fault.split(">")):
        block, _, mode = one.partition(".")
        for kind, of_mode, told in _OFF:
            if fnmatchcase(_kind_of(unit, block), kind) and fnmatchcase(mode, of_mode):
                return told
    return COOLING_OFF if stops else DOES_NOT_STOP


def fault_told(unit: Unit, fault: str) -> str:
    """What was wrong, in a sentence; of a fault with its effect, the one that began it.

    fault: its id, such as `capacitor.herm_weak`.
    """
    return _told(unit, fault, 2)


def next_told(unit: Unit, fault: str) -> str:
    """What has to be done about it, to follow "to": "replace the run capacitor"."""
    return _told(unit, fault, 3)


def part_noun(unit: Unit, name: str) -> str:
    """What a part or a wire is called to its owner; never its name in the file."""
    if name in unit.part_by_name:
        part = unit.part(name)
        return next((noun for kind, noun in _NOUNS if fnmatchcase(part.kind, kind)), part.title)
    return "wiring"


def _told(unit: Unit, fault: str, column: int) -> str:
    block, _, mode = fault.partition(">")[0].partition(".")
    row = _row(_FAULTS, _kind_of(unit, block), mode)
    return row[column].format(noun=part_noun(unit, block), stopped=STOPPED)


def _row(rows: Iterable[Row], kind: str, mode: str) -> Row:
    return next(row for row in rows if fnmatchcase(kind, row[0]) and fnmatchcase(mode, row[1]))


def _kind_of(unit: Unit, block: str) -> str:
    if block in unit.part_by_name:
        return unit.part(block).kind
    return "cable" if "+" in block else "wire" if block in unit.wire_by_name else "unit"
