"""What a load does: the one judge of whether it runs, hums, heats, pulls in or is off.

Every command asks here, on arrays of any shape, so that no two of them tell another story of the
same amps.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Final

import numpy as np
import numpy.typing as npt

from rungwise.parts.element import FloatArray
from rungwise.wording import mark

Codes = npt.NDArray[np.int8]


class Does(IntEnum):
    """What a load does."""

    OFF = 0
    RUNS = 1
    HUMS = 2
    BACKWARDS = 3
    HEATS = 4
    PULLED = 5
    CHATTERS = 6

    @property
    def words(self) -> str:
        """As the verb of a sentence."""
        return _WORDS[self]


_WORDS: Final = (
    mark("is off"), mark("runs"), mark("hums"), mark("runs backwards"), mark("heats"),
    mark("pulls in"), mark("chatters"),
)  # fmt: skip

RUNNING_SLIP: Final = 0.3
"""A rotor nearer to synchronous speed than this runs.

A good motor's slip is below 0.15, and its torque is greatest near 0.3.  Beyond that a motor crawls
on low volts or a dragging bearing: it turns, hums and overheats, and does not come to speed."""

SEEN_TURNING_SLIP: Final = 0.5
"""To the eye a fan turns below this slip, also one that crawls (common practice, no source)."""

HUM_SHARE: Final = 0.3
"""A motor that stands is off with less than this share of its rated amps in every winding.

Hum and torque go with the square: under a tenth of those at rated amps, nobody hears it in a yard
(common practice, no source).  What feeds back through another part's winding lies below, a start
winding alone on its capacitor above."""

HEARD_LOCKED_SHARE: Final = 0.25
"""A compressor that stands is heard beside a running fan from this share of its locked-rotor amps
in its line on (common practice, no source)."""

HEATS_SHARE: Final = 0.3
"""A heater with less than this share of its rated watts does not keep the oil warm."""

COIL_OVER_VOLT: Final = 1.3
"""A coil burns at more than this share of its rated volts (110% is allowed: IEC 60947-4-1)."""

CAPACITOR_OVER_VOLT: Final = 1.10
"""A run capacitor bears 10% over its rated volts (IEC 60252-1, from memory)."""

HEATER_OVER_WATT: Final = 1.35
"""A heater on more than this share of its rated watts burns out (common practice, no source)."""


def motor_does(slip: FloatArray, most_amp: FloatArray, rated_a: FloatArray) -> Codes:
    """RUNS, BACKWARDS, HUMS or OFF, by a rotor's slip and the greatest winding amps."""
    stands = np.where(most_amp >= HUM_SHARE * rated_a, Does.HUMS, Does.OFF)
    turns = np.where(slip > 2.0 - RUNNING_SLIP, Does.BACKWARDS, stands)
    return np.where(slip < RUNNING_SLIP, Does.RUNS, turns).astype(np.int8)


def electronic_does(turns: FloatArray) -> Codes:
    """RUNS or OFF: what the electronics of a motor hold back makes no hum.

    turns: `ElectronicMotor.turns`: awake on line volts, told to turn, and whole. Its watts say
    nothing more: on a low tap and low line they are a fraction of the rated ones while it turns.
    """
    return np.where(turns > 0, Does.RUNS, Does.OFF).astype(np.int8)


def heater_does(watt: FloatArray, rated_watt: FloatArray) -> Codes:
    """HEATS or OFF."""
    return np.where(watt > HEATS_SHARE * rated_watt, Does.HEATS, Does.OFF).astype(np.int8)


def coil_does(pulled: FloatArray, chatters: npt.NDArray[np.bool_] | None) -> Codes:
    """PULLED, CHATTERS or OFF: what never came to rest neither is in nor out."""
    rests = np.where(pulled > 0, Does.PULLED, Does.OFF)
    told = rests if chatters is None else np.where(chatters, Does.CHATTERS, rests)
    return told.astype(np.int8)
