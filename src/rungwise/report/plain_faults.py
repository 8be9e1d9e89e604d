"""Faults in the words of somebody who has never opened a unit: what it was, and what comes next.

Each kind of part tells its own (`Words`); here stands what is no part's own fault. No name of a
terminal, no value, no chance stands in them.
"""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.faults import FaultStep, fault_steps, mix_up
from rungwise.parts import PAIR, SOMETHING, WIRE, LeaveOff, PartKind, Plain, Words
from rungwise.unit import Unit
from rungwise.wording import mark, say

STOPPED = mark(", and a switch had stopped the unit")

BESIDES: Mapping[str, Plain] = {
    "low_charge": Plain(
        "Refrigerant was missing{stopped}.",
        "find the leak, repair it, and put in the right amount of refrigerant",
    ),
    "overcharge": Plain(
        "There was too much refrigerant, or air in it{stopped}.",
        "bring the refrigerant to the right amount",
    ),
    "dirty_coil": Plain(
        "The outdoor coil was clogged with dirt{stopped}.", "clean the outdoor coil"
    ),
    "dirty_coils": Plain(
        "The outdoor coils were clogged with dirt{stopped}.", "clean the outdoor coils"
    ),
    "starved": Plain(
        "Too little air went over the indoor coil{stopped}.",
        "find what held the air back: filter, ice, coil or vents",
    ),
    "iced": Plain(
        "The coil in the box had become a block of ice{stopped}.",
        "thaw the coil, then find what kept it from being cleared of ice",
    ),
    "frozen_coil": Plain(
        "The indoor coil was frozen over.",
        "thaw the coil, then find what held the air or the refrigerant back",
    ),
    "thin_run": Plain(
        "The wires that lead to the unit lost too many volts.",
        "make their connections again, or put thicker wires in",
        LeaveOff.BREAKER,
    ),
    "found": Plain("Nothing was found wrong in the electrical circuit.", "look further"),
}
"""By mode, of what is no fault of a part; the last of a whole circuit."""

MIX_UPS: Mapping[str, Plain] = {
    "swapped": Plain(
        "Two wires on the {noun} had been swapped.", "put the wires where they belong"
    ),
    "landed": Plain("A wire had been put in the wrong place.", "put the wire where it belongs"),
}

LEFT_OFF: Mapping[LeaveOff, str] = {
    LeaveOff.COOLING: mark("Leave the cooling off at the thermostat until the next step is done."),
    LeaveOff.DOES_NOT_STOP: mark(
        "It does not stop by the thermostat: leave the breaker of the outdoor unit off until the "
        "next step is done."
    ),
    LeaveOff.BREAKER: mark(
        "Leave this unit's breaker off, and do not reset it, until the next step is done."
    ),
    LeaveOff.MAIN: mark(
        "Leave the main breaker of the house off, and call the electric utility now."
    ),
}


def leave_off(unit: Unit, fault: str = "", *, stops: bool = True) -> str:
    """What to leave off while it is not fixed. stops: whether the thermostat stops the unit.

    Of a fault with its effect, the graver of the two counts: a breaker that was tripped stays off.
    """
    for step in fault_steps(fault):
        off = _plain(unit, step).off
        if off is not LeaveOff.COOLING:
            return LEFT_OFF[off]
    return LEFT_OFF[LeaveOff.COOLING if stops else LeaveOff.DOES_NOT_STOP]


def fault_told(unit: Unit, fault: str) -> str:
    """What was wrong, in a sentence; of a fault with its effect, the one that began it.

    fault: its id, such as `capacitor.herm_weak`.
    """
    first = fault_steps(fault)[0]
    return _filled(unit, first, _plain(unit, first).was)


def next_told(unit: Unit, fault: str) -> str:
    """What has to be done about it, to follow "to": "replace the run capacitor"."""
    first = fault_steps(fault)[0]
    return _filled(unit, first, _plain(unit, first).then)


def part_noun(unit: Unit, name: str) -> str:
    """What a part or a wire is called to its owner; never its name in the file."""
    words = _words(_kind_of(unit, name) or WIRE)
    return words.noun or unit.part(name).title


def part_told(unit: Unit, name: str) -> str:
    """What a part is for, "" where nobody needs to be told."""
    return _words(unit.kind_of(name)).purpose


def opens_by_itself(unit: Unit, name: str) -> bool:
    """Whether a part opens by what happens around it: put right, nothing was done to it."""
    kind = _kind_of(unit, name)
    return kind is not None and _words(kind).opens_by_itself


def _filled(unit: Unit, step: FaultStep, text: str) -> str:
    return say(text, noun=part_noun(unit, step.block), stopped=STOPPED)


def _plain(unit: Unit, step: FaultStep) -> Plain:
    """The words of one fault.

    Raises KeyError where a kind does not tell one of its own modes; a test holds that none forgets.
    """
    kind = _kind_of(unit, step.block)
    if kind is not None and any(mode.name == step.mode for mode in kind.modes):
        words = kind.facet(Words)
        return words.modes[step.mode] if words is not None else SOMETHING
    mixed = mix_up(step.mode)
    return MIX_UPS[mixed] if mixed is not None else BESIDES[step.mode]


def _words(kind: PartKind) -> Words:
    """What the kind tells; a kind without words is called by its title, and no more is said."""
    return kind.facet(Words) or Words()


def _kind_of(unit: Unit, block: str) -> PartKind | None:
    """The kind of a part, a wire or a pair of conductors; None of what is none of them."""
    if block in unit.part_by_name:
        return unit.kind_of(block)
    if block in unit.wire_by_name:
        return WIRE
    return PAIR if "+" in block else None
