"""Looks, listens and feels: nearly free, and made first."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.diagnosis.check import Check
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.looks import (
    BadJoint,
    CompressorSound,
    DeviceOpen,
    HotShell,
    KeepsRunning,
    Look,
    Mark,
    MotorTurns,
    PlungerPosition,
    TurnedByHand,
)
from rungwise.suspects.weights import is_field_wire
from rungwise.unit.unit import Part, Unit

ON_CALL = "thermostat calling for cooling"
IDLE = "thermostat off, supplies on"
DEAD = "unit dead and proved dead"
LOOKING = "looking, nothing touched"
SOUNDS = ("running", "runs, then stops", "hums, then stops", "silent")


def _look(
    name: str,
    title: str,
    choices: tuple[str, ...],
    look: Look,
    *,
    minutes: float = 0.5,
    condition: str = LOOKING,
) -> Check:
    card = CheckCard(
        f"look-{name}",
        title,
        "choice",
        choices,
        minutes=minutes,
        condition=condition,
        instrument="eyes and ears",
    )
    return Check(card, look=look)


def look_checks(unit: Unit) -> Iterator[Check]:
    """Every look that the unit's parts offer."""
    yield from _running(unit)
    for part in unit.parts:
        yield from _device(part)
    yield from _marks(unit)
    yield from _joints(unit)


def _running(unit: Unit) -> Iterator[Check]:
    for part in unit.parts_of_kind("fan_motor"):
        choices = ("turning", "not turning")
        title = f"does the {part.title} turn on a call?"
        yield _look(part.name, title, choices, MotorTurns(part.name), condition=ON_CALL)
    for part in unit.parts_of_kind("compressor"):
        title = "what does the compressor do on a call?"
        yield _look(part.name, title, SOUNDS, CompressorSound(part.name), condition=ON_CALL)
    for part in unit.parts_of_kind("contactor_1p", "contactor_2p"):
        title = "where is the contactor's plunger on a call?"
        look = PlungerPosition(part.name)
        choices_3 = ("in", "out", "chatters")
        yield _look("plunger", title, choices_3, look, minutes=1.0, condition=ON_CALL)
    yield from _by_touch(unit)
    motors = [p.name for p in unit.parts if unit.kind_of(p.name).motor and p.place == "outdoor"]
    if motors:
        title = "does the outdoor unit stop when the thermostat is turned off?"
        keeps = KeepsRunning(tuple(motors))
        yield _look("idle", title, ("stops", "keeps running"), keeps, condition=IDLE)


def _by_touch(unit: Unit) -> Iterator[Check]:
    for part in unit.parts_of_kind("fan_motor"):
        title = f"does the wheel of the {part.title} turn freely by hand, unit dead?"
        minutes = 1.0 if part.place == "outdoor" else 3.0
        look = TurnedByHand(part.name)
        name = f"{part.name}-by-hand"
        yield _look(name, title, ("free", "stuck"), look, minutes=minutes, condition=DEAD)
    for part in unit.parts_of_kind("compressor", "fan_motor"):
        title = f"is the shell of the {part.title} too hot to touch?"
        minutes = 0.5 if part.place == "outdoor" else 2.0
        hot = HotShell(part.name)
        yield _look(f"{part.name}-shell", title, ("not hot", "hot"), hot, minutes=minutes)


_SHOWN = {
    "breaker_2p": (("held_open", "tripped"), ("on", "tripped or off"), 3.0),
    "breaker_1p": (("held_open", "tripped"), ("on", "tripped or off"), 3.0),
    "disconnect_pullout": (("held_open",), ("in", "out"), 0.5),
    "disconnect_switch": (("held_open",), ("on", "off"), 0.5),
    "disconnect_fused": (("held_open",), ("in", "out"), 0.5),
    "service_switch": (("held_open",), ("on", "off"), 1.5),
    "lv_fuse": (("held_open", "blown"), ("whole", "blown"), 2.5),
}
"""What a look at a device shows: the states behind it, the choices, minutes to get there."""


def _device(part: Part) -> Iterator[Check]:
    if part.kind in _SHOWN:
        names, choices, minutes = _SHOWN[part.kind]
        title = f"how does the {part.title} stand?"
        yield _look(part.name, title, choices, DeviceOpen(part.name, names), minutes=minutes)


_MARKS = (
    ("dual_capacitor", "bulged", "is the can bulged or oily?", ("no", "bulged")),
    ("contactor_1p", "burnt", "are contacts or coil burnt?", ("no", "burnt")),
    ("contactor_2p", "burnt", "are contacts or coil burnt?", ("no", "burnt")),
    ("contactor_1p", "debris", "insects or debris in it?", ("no", "debris")),
    ("contactor_2p", "debris", "insects or debris in it?", ("no", "debris")),
    ("float_switch", "water", "does water stand in the pan?", ("dry", "water")),
    ("door_switch", "door_off", "is the blower door in place?", ("in place", "not in place")),
    ("transformer", "burnt", "is it browned or does it smell?", ("no", "browned")),
    ("dual_capacitor", "wrong_place", "do its wires match the diagram?", ("match", "differ")),
    ("compressor", "wrong_place", "do its wires match the diagram?", ("match", "differ")),
)


def _marks(unit: Unit) -> Iterator[Check]:
    for kind, sign, question, choices in _MARKS:
        for part in unit.parts_of_kind(kind):
            blocks = {part.name}
            if sign == "wrong_place":
                blocks |= {w.name for w in unit.wires if part.name in _parts_of(w.start, w.end)}
            minutes = 3.0 if sign == "wrong_place" else 1.0 if part.place == "outdoor" else 2.0
            title = f"{part.title}: {question}"
            look = Mark(sign, frozenset(blocks))
            yield _look(f"{part.name}-{sign}", title, choices, look, minutes=minutes)


_JOINT_MINUTES = {"outdoor": 3.0, "disconnect": 2.0, "indoor": 5.0, "panel": 6.0, "room": 3.0}
"""Minutes to look at and tug every joint of a place (common practice, no source)."""


def _joints(unit: Unit) -> Iterator[Check]:
    """One look over all joints of a place, as it is done once the panel is off."""
    for place, minutes in _JOINT_MINUTES.items():
        shares = {}
        for wire in filter(is_field_wire, unit.wires):
            ends = [unit.part(part).place for part in sorted(_parts_of(wire.start, wire.end))]
            if place in ends:
                shares[wire.name] = ends.count(place) / len(ends)
        if shares:
            title = f"{place}: which wire's joint is browned, or loose when tugged?"
            look, choices = BadJoint(shares), ("none", *shares)
            yield _look(f"joints-{place}", title, choices, look, minutes=minutes, condition=DEAD)


def _parts_of(*terminals: str) -> set[str]:
    return {terminal.partition(".")[0] for terminal in terminals}
