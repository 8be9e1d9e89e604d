"""What an ohms or continuity reading says: the band of ohms that it stands for."""

from __future__ import annotations

import math

from rungwise.circuit import OHMS

OPEN_OHM = 1e6
"""From here on a dead circuit counts as open: OL, or the leakage of insulation."""

LEADS_OHM = 0.2
"""What the meter's own leads may add, if nobody zeroed them (common practice, no source)."""

BEEP_OHM = (15.0, 60.0)
"""A continuity buzzer sounds below the first figure and not above the second; between them makers
differ (common practice, no source)."""

OPEN = (0.5 * OPEN_OHM, math.inf)
"""The band of OL."""

OUT_OF_REACH = (0.0, math.inf)
"""The band of a point that could not be reached: it tells nothing."""

SDS = 3.0
"""Standard deviations of the meter's error that a band leaves room for; the spread of the unit's
own resistances comes on top, so that an answer that is right does not fall out of it."""

LIKE_OHM = 0.15
"""Ohms by which readings with the same meter and leads may differ from one another where they
should be the same, besides a share (common practice, no source)."""

_SOUNDS = {
    "beep": (0.0, BEEP_OHM[1]),
    "continuity": (0.0, BEEP_OHM[1]),
    "no beep": (BEEP_OHM[0], math.inf),
    "silent": (BEEP_OHM[0], math.inf),
    "open": (BEEP_OHM[0], math.inf),
}


def least_ohm(shown: float, least_shown: float) -> float:
    """The least ohms that may truly be there where a meter shows `shown`.

    `least_shown`: the least that the same meter and leads have shown in this cabinet.  Nothing
    is below 0 Ω, so what meter and leads add cannot be much more than that.
    """
    added = least_shown + LIKE_OHM
    return max(shown - added - LIKE_OHM - SDS * 0.5 * OHMS.share * shown, 0.0)


def apart_ohm(one: float, other: float) -> float:
    """Ohms by which the difference of two readings of one meter and its leads may be off."""
    return 2.0 * LIKE_OHM + SDS * 0.5 * OHMS.share * (one + other)


def band_of(answer: str | float) -> tuple[float, float] | None:
    """The ohms that may truly be there: from a number in Ω, infinite for OL, or a sound.

    None for a text that is no sound: it has to be read as a quantity first.
    """
    if isinstance(answer, str):
        return _SOUNDS.get(" ".join(answer.casefold().split()))
    if answer >= OPEN_OHM:
        return OPEN
    error = SDS * 0.5 * (OHMS.share * answer + OHMS.floor)
    return max(answer - error - LEADS_OHM, 0.0), answer + error
