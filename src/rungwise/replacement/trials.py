"""The conditions in which a candidate's strength is read off the solution."""

from __future__ import annotations

from rungwise.circuit.condition import CALLING, COLD_STANDBY, STANDBY, STARTING
from rungwise.circuit.netlist import Key
from rungwise.parts import KINDS
from rungwise.replacement.circuits import Specimen, Trial
from rungwise.unit.unit import Unit

__all__ = [
    "CALL",
    "COLD",
    "HIGH_LEG_V",
    "LOWEST_LEG_V",
    "LOW_LEG_V",
    "MIDDLE_LEG_V",
    "OFF",
    "START",
    "held_out",
    "high_call",
    "inrush",
    "running_amp",
    "stall",
    "supply",
    "usual_trials",
]

CONTACTORS = ("contactor_1p", "contactor_2p")

LOW_LEG_V = 108.0
"""Least volts of a leg where they are used (216 between legs): ANSI C84.1 range A, from memory."""

LOWEST_LEG_V = 98.5
"""Half of 197 V, the lower end that equipment for 208-230 V is commonly marked with."""

MIDDLE_LEG_V = 120.0

HIGH_LEG_V = 126.0
"""Most volts of a leg (252 between legs): ANSI C84.1 range A, from memory."""

CALL = Trial("on a call", CALLING)


START = Trial("first seconds of a call", STARTING)

OFF = Trial("thermostat off", STANDBY)

COLD = Trial("thermostat off, freezing outdoors", COLD_STANDBY)


def usual_trials(unit: Unit) -> tuple[Trial, ...]:
    """The trials that are asked for of nearly every candidate."""
    legs = (LOWEST_LEG_V, LOW_LEG_V, MIDDLE_LEG_V)
    starts = (LOW_LEG_V, MIDDLE_LEG_V, HIGH_LEG_V)
    return (
        CALL,
        START,
        OFF,
        COLD,
        high_call(unit),
        *(inrush(unit, leg) for leg in legs),
        *(stall(unit, leg) for leg in starts),
        *(held_out(part.name) for part in unit.parts_of_kind(*CONTACTORS)),
    )


def running_amp(specimen: Specimen, motor: str) -> float:
    """Line amps of a motor on a call, or in its first seconds where it has tripped since."""
    return max(specimen.amp(trial, (motor, "common")) for trial in (CALL, START))


def high_call(unit: Unit) -> Trial:
    """A call on the highest supply volts of range A."""
    return Trial(f"on a call, {2 * HIGH_LEG_V:.0f} V supply", CALLING, supply(unit, HIGH_LEG_V))


def inrush(unit: Unit, leg_v: float) -> Trial:
    """The moment in which the coils are fed and no plunger has moved yet."""
    held = {(part.name, "blocked"): 1.0 for part in unit.parts_of_kind(*CONTACTORS)}
    name = f"at the moment of pull-in, {leg_v:g} V a leg"
    return Trial(name, STARTING, {**supply(unit, leg_v), **held})


def held_out(contactor: str) -> Trial:
    """A call with the plunger of one contactor held out."""
    return Trial(f"{contactor} held out", CALLING, {(contactor, "blocked"): 1.0})


def stall(unit: Unit, leg_v: float) -> Trial:
    """The first instant of a start: contactor in, every motor on its circuit still standing."""
    held = {
        (part.name, "seized"): 1.0
        for part in unit.parts
        if KINDS[part.kind].motor and part.place == "outdoor"
    }
    name = f"while the compressor starts, {leg_v:g} V a leg"
    return Trial(name, STARTING, {**supply(unit, leg_v), **held})


def supply(unit: Unit, leg_v: float) -> dict[Key, float]:
    """Volts of each leg set for every service."""
    return {(part.name, "leg_volt"): leg_v for part in unit.parts_of_kind("service")}
