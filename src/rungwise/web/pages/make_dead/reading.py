"""What a reading says that was taken along a plan of making dead."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from rungwise.isolation import EMPTY_VOLT, Step, WorkPlan, decay_s, volts_words
from rungwise.parts import LIVE_VOLT
from rungwise.wording import say

__all__ = ["MEASURED", "ReadingVerdict", "all_below", "asks_volts", "said"]

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


def said(plan: WorkPlan, step: Step, volt: float | None) -> ReadingVerdict:
    """What `volt`, the worst of a step's readings, says there."""
    if volt is None:
        return ReadingVerdict("none")
    if step.kind == "prove meter":
        return _proves(step, abs(volt))
    if step.kind == "charge":
        return ReadingVerdict(
            "fits", f"{volts_words(abs(volt))} stood on them. Discharge all the same."
        )
    if step.kind == "empty":
        return _empty(plan, step, abs(volt))
    return _dead(step, abs(volt))


def _proves(step: Step, volt: float) -> ReadingVerdict:
    """The lowest of known legs must read about its volts; another source, any that can kill."""
    known = [reading.about_v for reading in step.readings if reading.about_v]
    lowest = min(known, default=0.0)
    if abs(volt - lowest) <= PROVED_SHARE * lowest if known else volt >= LIVE_VOLT:
        return ReadingVerdict(
            "fits", "The meter, its leads and the ground point show a live source as live."
        )
    wanted = f"about {volts_words(lowest)}" if known else f"{LIVE_VOLT:.0f} V or more"
    return ReadingVerdict("not", f"{volts_words(volt)} is not {wanted}. {step.else_means}.")


def _empty(plan: WorkPlan, step: Step, volt: float) -> ReadingVerdict:
    if volt < EMPTY_VOLT:
        return ReadingVerdict("fits", f"Below {EMPTY_VOLT:.0f} V DC.")
    ends = {end for reading in step.readings for end in (reading.red, reading.black)}
    here = [charge for charge in plan.charges if ends.issuperset(charge.terminals)]
    more_s = max(
        decay_s(each.bleed.resistor.resistance_ohm, each.together_uf, volt, EMPTY_VOLT)
        for each in here
    )
    return ReadingVerdict(
        "not",
        f"{volts_words(volt)} is still there: hold the resistor on for another "
        f"{math.ceil(more_s)} s or more, and measure again. If it does not fall, the resistor or a "
        "lead is open.",
    )


def _dead(step: Step, volt: float) -> ReadingVerdict:
    limit = min(reading.below_v for reading in step.readings)
    if volt < limit:
        return ReadingVerdict("fits", f"Below {limit:.0f} V AC.")
    failed = [shown.device for reading in step.readings for shown in reading.shows]
    return ReadingVerdict(
        "not",
        f"{volts_words(volt)} is not below {limit:.0f} V AC. {step.else_means}. Mend that, and "
        "measure again.",
        tuple(dict.fromkeys(failed)),
    )
