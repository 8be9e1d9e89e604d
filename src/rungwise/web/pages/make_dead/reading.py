"""What a reading says that was taken along a plan of making dead."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from rungwise.isolation import EMPTY_VOLT, Step, WorkPlan, volts_words
from rungwise.parts import LIVE_VOLT
from rungwise.wording import mark, say

Level = Literal["fits", "not", "none"]

PROVED_SHARE = 0.2
"""How far a known source may be off when it proves a meter (common practice, no source)."""

MEASURED = ("try", "measure", "charge", "empty")
"""Kinds of steps that read the place of work itself."""


@dataclass(frozen=True)
class ReadingVerdict:
    """Whether a reading is as it must be, and what it means where it is not.

    level: "none" where nothing was read. devices: the isolating devices that it speaks against.
    """

    level: Level
    text: str = ""
    devices: tuple[str, ...] = ()


def asks_volts(step: Step) -> bool:
    """Whether something is read at this step, rather than done."""
    return bool(step.readings)


def all_below(step: Step) -> str:
    """What one tap says of a step whose readings must all be dead, "" where a figure is needed."""
    if not step.readings or any(each.expects != "dead" for each in step.readings):
        return ""
    limits = sorted({reading.below_v for reading in step.readings})
    lowest, current = f"{limits[0]:.0f}", step.readings[0].current
    if len(limits) == 1:
        return say("all below {volt} V {current}", volt=lowest, current=current)
    return say(
        "all below {volt} V {current}, control below {most} V",
        volt=lowest,
        current=current,
        most=f"{limits[-1]:.0f}",
    )


@dataclass(frozen=True)
class ReadingRule:
    """What one step's reading is judged by, here and on a phone without signal.

    It fits from `low` to `high` volts, `high` itself only where `closed`. fits, otherwise: the
    words for it, of the volts and of the seconds. tau_s: volts that are too high fall to the limit
    with this time constant, 0 where they do not fall. devices: those that a reading which does not
    fit speaks against.
    """

    low: float
    high: float
    fits: Callable[[str], str]
    otherwise: Callable[[str, str], str]
    closed: bool = False
    tau_s: float = 0.0
    devices: tuple[str, ...] = ()

    def judge(self, volt: float) -> ReadingVerdict:
        """What so many volts say."""
        value = abs(volt)
        if self.low <= value and (value < self.high or (self.closed and value == self.high)):
            return ReadingVerdict("fits", self.fits(volts_words(value)))
        fall_s = self.tau_s * math.log(value / self.high) if self.tau_s else 0.0
        told = self.otherwise(volts_words(value), str(math.ceil(fall_s)))
        return ReadingVerdict("not", told, self.devices)


def said(plan: WorkPlan, step: Step, volt: float | None) -> ReadingVerdict:
    """What `volt`, the worst of a step's readings, says there."""
    return ReadingVerdict("none") if volt is None else rule_of(plan, step).judge(volt)


def rule_of(plan: WorkPlan, step: Step) -> ReadingRule:
    """What the worst of a step's readings is judged by."""
    match step.kind:
        case "prove meter":
            return _proves(step)
        case "charge":
            return ReadingRule(0.0, math.inf, _stood, _never, closed=True)
        case "empty":
            return _empty(plan, step)
    return _dead(step)


def _stood(volts: str) -> str:
    return say("{volts} stood on them. Discharge all the same.", volts=volts)


def _never(_volts: str, _seconds: str) -> str:
    return ""


def _proves(step: Step) -> ReadingRule:
    """The lowest of known legs must read about its volts; another source, any that can kill."""
    known = [reading.about_v for reading in step.readings if reading.about_v]
    lowest = min(known, default=0.0)
    low, high = LIVE_VOLT, math.inf
    wanted = say("{volts} or more", volts=f"{LIVE_VOLT:.0f} V")
    if known:
        low, high = (lowest * share for share in (1.0 - PROVED_SHARE, 1.0 + PROVED_SHARE))
        wanted = say("about {volts}", volts=volts_words(lowest))

    def otherwise(volts: str, _seconds: str) -> str:
        return say(
            "{volts} is not {wanted}. {means}.",
            volts=volts,
            wanted=wanted,
            means=step.else_means,
        )

    good = mark("The meter, its leads and the ground point show a live source as live.")
    return ReadingRule(low, high, lambda _: good, otherwise, closed=True)


def _empty(plan: WorkPlan, step: Step) -> ReadingRule:
    ends = {end for reading in step.readings for end in (reading.red, reading.black)}
    here = [charge for charge in plan.charges if ends.issuperset(charge.terminals)]
    tau_s = max(each.bleed.resistor.resistance_ohm * 1e-6 * each.together_uf for each in here)

    def otherwise(volts: str, seconds: str) -> str:
        return say(
            "{volts} is still there: hold the resistor on for another {seconds} s or more, and "
            "measure again. If it does not fall, the resistor or a lead is open.",
            volts=volts,
            seconds=seconds,
        )

    good = say("Below {volts}.", volts=f"{EMPTY_VOLT:.0f} V DC")
    return ReadingRule(0.0, EMPTY_VOLT, lambda _: good, otherwise, tau_s=tau_s)


def _dead(step: Step) -> ReadingRule:
    limit = min(reading.below_v for reading in step.readings)
    most = f"{limit:.0f} V AC"
    failed = [shown.device for reading in step.readings for shown in reading.shows]

    def otherwise(volts: str, _seconds: str) -> str:
        return say(
            "{volts} is not below {most}. {means}. Fix that and measure again.",
            volts=volts,
            most=most,
            means=step.else_means,
        )

    good = say("Below {volts}.", volts=most)
    devices = tuple(dict.fromkeys(failed))
    return ReadingRule(0.0, limit, lambda _: good, otherwise, devices=devices)
