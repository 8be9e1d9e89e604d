"""The scale on which readings are compared: alike errors everywhere, from millivolts to mains.

A meter errs by a share of the reading and a floor.  On z = asinh(y / y0), with y0 about the floor,
equal steps are equally easy to tell apart: near zero z is linear, far above y0 it is the
logarithm, so that an unknown that scales a reading moves it by the same step wherever it stands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray
from rungwise.diagnosis.fault_table import FaultTable

FLOOR_ERRORS = 2.0
"""y0 in standard deviations of the meter near zero."""

OVER_RANGE_STEP = 2.0
"""An open circuit lies this far above the top of an ohmmeter's range, on the scale (e² times)."""


def floors_of(reading: RealArray, reading_sd: RealArray) -> FloatArray:
    """y0 of each check, float [M], from readings and meter errors, float [N, M] each."""
    finite = np.isfinite(reading)
    sd = np.where(finite, reading_sd, np.inf).min(axis=0)
    return np.asarray(FLOOR_ERRORS * np.where(np.isfinite(sd), sd, 1.0), dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class ReadingScale:
    """The scale of every check of a table.

    floor: float [M], y0 in the check's unit. top: float [M], the end of the meter's range on the
    scale; infinite where it has none. low, high: float [M], between which a wild reading may lie.
    most: float [M], the largest reading of the table.
    over_range: float [M], chance that a wild reading is OL.
    """

    floor: FloatArray
    top: FloatArray
    low: FloatArray
    high: FloatArray
    over_range: FloatArray
    most: FloatArray

    @classmethod
    def of(cls, table: FaultTable) -> ReadingScale:
        """From a table's readings and the tops of its cards."""
        floor = floors_of(table.reading, table.reading_sd)
        top = np.arcsinh(np.array([card.top for card in table.checks]) / floor)
        finite = np.isfinite(table.reading)
        z = np.arcsinh(np.where(finite, table.reading, 0.0) / floor)
        low = np.minimum(np.where(finite, z, np.inf).min(axis=0), 0.0) - BEYOND
        most = np.maximum(np.where(finite, z, -np.inf).max(axis=0), 0.0)
        high = most + BEYOND
        any_over = np.isposinf(table.reading).any(axis=0)
        over = np.where(any_over, *OVER_RANGE_CHANCE)
        return cls(floor, top, low, np.minimum(high, np.maximum(top, low + 1.0)), over, most)

    def of_reading(self, check: int | IntArray, value: FloatArray | float) -> FloatArray:
        """Z of readings in the check's unit."""
        return np.asarray(np.arcsinh(np.asarray(value) / self.floor[check]))

    def to_reading(self, check: int, z: FloatArray | float) -> FloatArray:
        """Readings in the check's unit; infinite (OL) above the top of its range."""
        z = np.asarray(z)
        return np.where(z > self.top[check], np.inf, self.floor[check] * np.sinh(z))

    def stretch(self, check: int | IntArray, value: FloatArray | float) -> FloatArray:
        """dz/dy at a reading, per unit of the check."""
        return np.asarray(1.0 / np.hypot(np.asarray(value), self.floor[check]))

    def wild(self, check: int) -> float:
        """Density on the scale of a reading that may be anything."""
        return float((1.0 - self.over_range[check]) / (self.high[check] - self.low[check]))


BEYOND = 2.0
"""How far on the scale a wild reading may lie outside all known ones."""

OVER_RANGE_CHANCE = (0.25, 0.01)
"""Of a wild reading being OL: where some particle reads OL, and where none does."""
