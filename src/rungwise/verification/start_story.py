"""The order of the first start after a repair, and what to watch at each moment.

Read from the solved sequence of the good unit: what happens, when, and the amps and volts then.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.circuit import CALLING, Change, Moment, Plan, sequence
from rungwise.diagnosis import ON_CALL, CheckCard
from rungwise.parts import Caution, Does, Line
from rungwise.quantity import format_quantity
from rungwise.unit import Unit

__all__ = [
    "SECONDS", "StartStep", "seconds_band", "seconds_card", "seconds_to_start", "startup",
]  # fmt: skip

SECONDS = "seconds-to-start"
TIMER_LOW, TIMER_HIGH, WATCH_S = 0.8, 1.2, 2.0
CALL_S = 900.0
OFF_AT_S = 840.0


@dataclass(frozen=True, slots=True)
class StartStep:
    """One moment of the start. time_s: after the call. watch: what to look at and expect."""

    time_s: float
    what: Line
    watch: str


def startup(unit: Unit) -> tuple[StartStep, ...]:
    """What to do and watch, in order: before power, the call moment by moment, and the stop."""
    plan = Plan(unit)
    story = sequence(plan, CALLING, horizon_s=CALL_S, changes=[Change(OFF_AT_S, demand="off")])
    return (*_before(), *(_step(moment) for moment in story))


def seconds_to_start(unit: Unit) -> float | None:
    """Seconds from the call until a compressor starts on a good unit; None when none ever does."""
    part = next(iter(unit.roles.compressors), "")
    for moment in sequence(Plan(unit), CALLING, horizon_s=CALL_S).of(part):
        if moment.does is Does.RUNS:
            return moment.time_s
    return None


def seconds_card() -> CheckCard:
    """The check that takes the time from the call to the compressor's start."""
    return CheckCard(
        SECONDS,
        "seconds from the call until the compressor starts",
        unit="s",
        minutes=1.0,
        instrument="watch",
        where="at the outdoor unit, from the thermostat's call",
        condition=ON_CALL,
    )


def seconds_band(unit: Unit) -> tuple[float, float] | None:
    """Between what it takes on a good unit, by the solved sequence; None when it never starts.

    20 % either side for the delay's timer and 2 s for the watch (common practice, no source).
    """
    seconds = seconds_to_start(unit)
    if seconds is None:
        return None
    return TIMER_LOW * seconds - WATCH_S, TIMER_HIGH * seconds + WATCH_S


def _before() -> Iterator[StartStep]:
    yield StartStep(
        -2.0,
        "Still dead and proved dead: leads back, joints tight, nothing in the fan's way.",
        "A fuse or breaker that opened: ohms of its circuit before power, or the next one opens.",
    )
    yield StartStep(
        -1.0,
        Caution(
            "DANGER",
            "power on, thermostat off; follow local codes, licensed practice where required.",
        ),
        "Nothing may run. Idle volts L1 to L2; heater amps where there is a heater.",
    )


def _step(moment: Moment) -> StartStep:
    return StartStep(moment.time_s, moment.what, _watch(moment))


def _watch(moment: Moment) -> str:
    if moment.part in moment.solution.plan.motors:
        told = "" if moment.amps_told else f"{moment.amps.get(moment.part, 0.0):.1f} A "
        off = moment.does is Does.OFF
        return f"({told}left in its lead)" if off else f"({told}in its common lead)"
    if moment.part in moment.volts:
        volt = format_quantity(round(moment.volts[moment.part], 1), "V")
        return f"({volt} on it{'; one clean click, no chatter' if moment.does is not None else ''})"
    return ""
