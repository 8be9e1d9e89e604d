"""What a reading says that was taken along a plan of making dead."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from rungwise.isolation import Failure, Step
from rungwise.isolation.discharge import EMPTY_VOLT, decay_s
from rungwise.isolation.findings import Findings
from rungwise.isolation.limits import DEAD_VOLT, LIVE_VOLT
from rungwise.isolation.wording import list_words, volts_words

__all__ = ["Said", "asks_volts", "said"]

Level = Literal["fits", "not", "refused", "none"]

NEAR_SHARE, NEAR_VOLT = 0.12, 3.0
"""How far a supply and a meter may be off the solved volts (common practice, no source)."""

PROVED_SHARE = 0.2
"""How far a known source may be off when it proves a meter (common practice, no source)."""

MEASURED = ("measure", "confirm", "empty", "prove meter")


@dataclass(frozen=True)
class Said:
    """Whether a reading is as it must be, and what it means where it is not.

    level: "none" where nothing was read. devices: the isolating devices that it speaks against.
    """

    level: Level
    text: str = ""
    devices: tuple[str, ...] = ()


def asks_volts(step: Step) -> bool:
    """Whether something is read at this step, rather than done."""
    return step.kind in MEASURED


def said(found: Findings, step: Step, stage: int, volt: float | None) -> Said:
    """What `volt` says at a step; stage: how many devices are opened before it."""
    if volt is None:
        return Said("none")
    if step.kind == "prove meter":
        return _proves(found, step, abs(volt))
    if step.kind == "empty":
        return _empty(found, step, abs(volt))
    return _dead(found, step, stage, abs(volt))


def _proves(found: Findings, step: Step, volt: float) -> Said:
    """A proof on a known point must read its volts; on another source, any that can kill."""
    known = _known_volt(found, step)
    fits = abs(volt - known) <= PROVED_SHARE * known if known else volt >= LIVE_VOLT
    if fits:
        return Said("fits", "The meter, its leads and the earth point show a live source as live.")
    wanted = step.must_read if known else f"{step.must_read}, {LIVE_VOLT:.0f} V or more"
    means = step.else_means.partition(": ")[2] or step.else_means
    return Said(
        "not",
        f"{volts_words(volt)} is not {wanted}. It means that {means}. Mend that, and take every "
        "reading of this session again.",
    )


def _known_volt(found: Findings, step: Step) -> float:
    if step.pair is None:
        return 0.0
    points = (point for stage in found.still_live for point in stage)
    return next((p.loaded_volt for p in points if p.terminal == step.pair[0]), 0.0)


def _empty(found: Findings, step: Step, volt: float) -> Said:
    if volt < EMPTY_VOLT:
        return Said("fits", f"Below {EMPTY_VOLT:.0f} V DC.")
    charge = next(each for each in found.stored if each.terminals == step.pair)
    ohm = charge.bleed.resistor.resistance_ohm
    more_s = math.ceil(decay_s(ohm, charge.together_uf, volt, EMPTY_VOLT))
    return Said(
        "not",
        f"{volts_words(volt)} is still on it: hold the resistor on for another {more_s} s or "
        "more, and measure again. If it does not fall, the resistor or a lead is open.",
    )


def _dead(found: Findings, step: Step, stage: int, volt: float) -> Said:
    if volt < DEAD_VOLT:
        return Said("fits", f"Below {DEAD_VOLT:.0f} V AC.")
    failures = _failures(found, step, stage, volt)
    titles = list_words([each.title for each in failures])
    what = f"{volts_words(volt)} is not below {DEAD_VOLT:.0f} V AC."
    if failures:
        means = f"It fits: {titles}."
    elif step.else_means:
        means = f"No device failing alone gives it. {step.else_means}."
    else:
        means = "Something has come back, or another supply reaches this point."
    return Said(
        "not",
        f"{what} {means} Keep hands out, mend that, and measure again.",
        tuple(dict.fromkeys(each.device for each in failures)),
    )


def _failures(found: Findings, step: Step, stage: int, volt: float) -> list[Failure]:
    """The failures that read about so here, from the solved circuit; at this stage first."""
    here = [check for check in found.proof.checks if check.pair == step.pair]
    here.sort(key=lambda check: check.stage != stage)
    readings = [reading for check in here[:1] for reading in check.live]
    return [
        each.failure
        for each in readings
        if _near(volt, each.volt) or (each.sure and each.least_volt <= volt <= each.volt)
    ]


def _near(volt: float, solved: float) -> bool:
    return abs(volt - solved) <= NEAR_SHARE * solved + NEAR_VOLT
