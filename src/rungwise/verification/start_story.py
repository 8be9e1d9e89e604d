"""The order of the first start after a repair, and what to watch at each moment.

Read from the solved sequences of the good unit, call by call: what happens, when, and the amps and
volts then.  A unit that heats is asked for heat too, and one that melts its ice for a defrost.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from rungwise.circuit import (
    CALLING,
    Change,
    Condition,
    Moment,
    Plan,
    call_for_heat,
    can_defrost,
    first_stage_of,
    forced_defrost,
    sequence,
)
from rungwise.diagnosis import ON_CALL, CheckCard
from rungwise.parts import Caution, Defrosts, Does, Heater, Line
from rungwise.quantity import format_quantity
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say

SECONDS = "seconds-to-start"
TIMER_LOW, TIMER_HIGH, WATCH_S = 0.8, 1.2, 2.0
OFF_AT_S = 840.0
CALL_S = OFF_AT_S + 120.0
"""With the two minutes in which what was told to stop stops: blowers and sequencers last."""

SECOND_STAGE_AT_S = 300.0
"""A thermostat adds its second stage minutes after the first; by hand it is asked for then."""

DEFROST_AT_S, PINS_JOINED_S = 420.0, 2.0
"""When the test pins are joined in the story, and how long a hand holds them together."""

LONG_CALL_S = 900.0
"""A call for heat with a defrost in it lasts so much longer than one without."""

CARRIES_A = 0.5
"""A heater with more than this heats, in the words of the story."""

COOLING = mark("a call for cooling")
_HEATS = {
    "heat": mark("a call for heat"),
    "heat2": mark("a call for the second stage of heat"),
    "heat+aux": mark("a call for auxiliary heat"),
    "emergency heat": mark("emergency heat"),
}
"""The calls for heat, by the demand that they are."""


@dataclass(frozen=True, slots=True)
class StartStep:
    """One moment of the start.

    time_s: after its call. watch: what to look at and expect. call: which of the unit's calls it
    belongs to, "" before the first.
    """

    time_s: float
    what: Line
    watch: str
    call: str = ""


@dataclass(frozen=True, slots=True)
class _Story:
    """One call of the unit from rest: its title, what is asked, and what a hand does in it."""

    title: str
    condition: Condition
    changes: tuple[Change, ...]
    horizon_s: float


def startup(unit: Unit) -> tuple[StartStep, ...]:
    """What to do and watch, in order: before power, each call moment by moment, and its stop."""
    plan = Plan(unit)
    told = [step for story in _stories(unit) for step in _told(plan, story)]
    return (*_before(), *told)


def _stories(unit: Unit) -> Iterator[_Story]:
    """The calls of a unit: for cooling, and the fullest for heat where it heats."""
    first = first_stage_of(unit.demands)
    second = () if first is None else (Change(SECOND_STAGE_AT_S, demand=CALLING.demand),)
    yield _Story(COOLING, first or CALLING, (*second, Change(OFF_AT_S, demand="off")), CALL_S)
    yield from _cold_defrost(unit)
    heat = call_for_heat(unit.demands)
    if heat is not None:
        melts = can_defrost(unit)
        longer = LONG_CALL_S if melts else 0.0
        yield _Story(
            joined("", (_HEATS[heat.demand], mark(", with a defrost in it") if melts else "")),
            heat,
            (*_defrost(melts=melts), Change(OFF_AT_S + longer, demand="off")),
            CALL_S + longer,
        )


def _cold_defrost(unit: Unit) -> Iterator[_Story]:
    """A cooler's defrost, its timer turned by hand; what ends it early, or its backup, ends it."""
    forced = forced_defrost(unit)
    if forced is not None and call_for_heat(unit.demands) is None:
        longest = max(each.number("ends_s") for each, _ in unit.having(Defrosts))
        yield _Story(
            mark("a call for cooling, with a defrost in it"),
            replace(forced, defrosts=False),
            tuple(_defrost(melts=True)),
            DEFROST_AT_S + longest + LONG_CALL_S,
        )


def _defrost(*, melts: bool) -> Iterator[Change]:
    """The test pins joined until it begins, and let go; the coil's own sensor ends it."""
    if melts:
        yield Change(DEFROST_AT_S, defrosts=True)
        yield Change(DEFROST_AT_S + PINS_JOINED_S, defrosts=False)


def _told(plan: Plan, story: _Story) -> Iterator[StartStep]:
    moments = sequence(
        plan, story.condition, horizon_s=story.horizon_s, changes=story.changes
    ).moments
    if moments:
        yield _step(moments[0], (), story.title)
    for before, after in pairwise(moments):
        yield _step(after, tuple(_newly_warm(before, after)), story.title)


def _newly_warm(before: Moment, after: Moment) -> Iterator[str]:
    """The elements that begin to heat at a moment, each with its amps."""
    was, now = (dict(_warm(each)) for each in (before, after))
    unit = after.solution.plan.unit
    for name in now.keys() - was.keys():
        yield say(
            "{amount} through the {title}",
            amount=format_quantity(round(now[name], 1), "A"),
            title=unit.part(name).title,
        )


def _warm(moment: Moment) -> Iterator[tuple[str, float]]:
    """The elements that warm air or melt ice, with what flows in them."""
    solution = moment.solution
    for part, heater in solution.plan.unit.having(Heater):
        amp = float(np.abs(solution.element_amp((part.name, heater.element)))[0])
        if heater.warms != "oil" and amp > CARRIES_A:
            yield part.name, amp


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
        mark("seconds from the call until the compressor starts"),
        unit="s",
        minutes=1.0,
        instrument="watch",
        where=mark("at the outdoor unit, from the thermostat's call"),
        condition=ON_CALL,
    )


def seconds_band(unit: Unit) -> tuple[float, float] | None:
    """Between what it takes on a good unit, by the solved sequence; None when it never starts.

    20% either side for the delay's timer and 2 s for the watch (common practice, no source).
    """
    seconds = seconds_to_start(unit)
    if seconds is None:
        return None
    return TIMER_LOW * seconds - WATCH_S, TIMER_HIGH * seconds + WATCH_S


def _before() -> Iterator[StartStep]:
    yield StartStep(
        -2.0,
        mark("Power still off, verified: leads back, joints tight, nothing in the fan's way."),
        mark(
            "A fuse or breaker that opened: ohms of its circuit before power, "
            "or the next one opens."
        ),
    )
    yield StartStep(
        -1.0,
        Caution(
            "DANGER",
            mark("power on, thermostat off; follow local codes, licensed practice where required."),
        ),
        mark(
            "Nothing should be running. Idle volts L1 to L2; heater amps where there is a heater."
        ),
    )


def _step(moment: Moment, warm: tuple[str, ...], call: str) -> StartStep:
    watch = _watch(moment)
    if warm:
        watch = joined("", ("(", joined(", ", warm), ")"))
    return StartStep(moment.time_s, moment.what, watch, call)


def _watch(moment: Moment) -> str:
    if moment.part in moment.solution.plan.motors:
        told = "" if moment.amps_told else f"{moment.amps.get(moment.part, 0.0):.1f} A "
        off = moment.does is Does.OFF
        return (
            say("({told}left in its lead)", told=told)
            if off
            else say("({told}in its common lead)", told=told)
        )
    if moment.part in moment.volts:
        volt = format_quantity(round(moment.volts[moment.part], 1), "V")
        return say(
            "({volt} on it{does})",
            volt=volt,
            does=mark("; one clean click, no chatter") if moment.does is not None else "",
        )
    return ""
