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

__all__ = ["HEATS_SHARE", "HUM_SHARE", "RUNNING_SLIP", "Codes", "Does", "coil_does", "heater_does",
           "motor_does"]  # fmt: skip

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
    "is off", "runs", "hums", "runs backwards", "heats", "pulls in", "chatters"
)  # fmt: skip

RUNNING_SLIP: Final = 0.5
"""A rotor nearer to synchronous speed than this runs.

A good motor's slip is below 0.15.  A compressor has no steady speed between there and standstill,
where its torque falls with the speed; a fan, whose load goes with the square, can crawl on low
volts or a dragging bearing, and one at half its speed moves air and is seen to turn."""

HUM_SHARE: Final = 0.3
"""A motor that stands is off with less than this share of its rated amps in every winding.

Hum and torque go with the square: under a tenth of those at rated amps, nobody hears it in a yard
(common practice, no source).  What feeds back through another part's winding lies below, a start
winding alone on its capacitor above."""

HEATS_SHARE: Final = 0.3
"""A heater with less than this share of its rated watts does not keep the oil warm."""


def motor_does(slip: FloatArray, most_amp: FloatArray, rated_a: FloatArray) -> Codes:
    """RUNS, BACKWARDS, HUMS or OFF, by a rotor's slip and the greatest winding amps."""
    stands = np.where(most_amp >= HUM_SHARE * rated_a, Does.HUMS, Does.OFF)
    turns = np.where(slip > 2.0 - RUNNING_SLIP, Does.BACKWARDS, stands)
    return np.where(slip < RUNNING_SLIP, Does.RUNS, turns).astype(np.int8)


def heater_does(watt: FloatArray, rated_watt: FloatArray) -> Codes:
    """HEATS or OFF."""
    return np.where(watt > HEATS_SHARE * rated_watt, Does.HEATS, Does.OFF).astype(np.int8)


def coil_does(pulled: FloatArray, chatters: npt.NDArray[np.bool_] | None) -> Codes:
    """PULLED, CHATTERS or OFF: what never came to rest neither is in nor out."""
    rests = np.where(pulled > 0, Does.PULLED, Does.OFF)
    told = rests if chatters is None else np.where(chatters, Does.CHATTERS, rests)
    return told.astype(np.int8)
