"""Readings of one check measured in meter errors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray

__all__ = ["NoiseScale", "log_mean_steps"]

BEYOND_RANGE = 20.0  # meter errors by which a wild reading may lie outside all known ones
MOST_KNOTS = 129
OVER_RANGE_CHANCE = (0.01, 0.25)  # of a wild reading, when no particle reads OL and when some do


@dataclass(frozen=True, slots=True, eq=False)
class NoiseScale:
    """A check's readings measured in meter errors.

    The coordinate is u(x) = ∫ dx / sd(x), so that equal steps are equally easy to tell apart;
    sd is linear between the knots, as meters are specified (percent of reading plus digits).

    knots, sd: float [n], rising readings and the meter error there. length: of the plausible
    range, in meter errors. over_range_chance: of a wild reading being OL.
    """

    knots: FloatArray
    sd: FloatArray
    length: float
    over_range_chance: float

    @classmethod
    def of(cls, reading: FloatArray, reading_sd: FloatArray) -> NoiseScale:
        """From all particles' readings [N] and meter errors [N] of one check."""
        chance = OVER_RANGE_CHANCE[int(np.isposinf(reading).any())]
        finite = np.flatnonzero(np.isfinite(reading))
        if not len(finite):
            return cls(np.zeros(1), np.ones(1), 2.0 * BEYOND_RANGE, chance)
        rising = finite[np.argsort(reading[finite])]
        at = np.unique(np.linspace(0, len(rising) - 1, MOST_KNOTS).astype(np.intp))
        knots, sd = reading[rising[at]], reading_sd[rising[at]]
        if knots[0] > 0.0:  # a slip reads nothing more often than anything else
            knots, sd = np.append(0.0, knots), np.append(sd[0], sd)
        return cls(knots, sd, log_mean_steps(knots, sd).sum() + 2.0 * BEYOND_RANGE, chance)

    def density(self, value: float) -> float:
        """Probability density of a wild reading: even in meter errors; a mass for OL."""
        if np.isposinf(value):
            return self.over_range_chance
        return (1.0 - self.over_range_chance) / (self.length * self.sd_at(value))

    def sd_at(self, value: float) -> float:
        """Meter error at a reading, one sigma; that of the nearest knot outside their range."""
        return float(np.interp(value, self.knots, self.sd))


def log_mean_steps(rising: FloatArray, width: FloatArray) -> FloatArray:
    """∫ dx / width(x) over each step of `rising` [n], width [n] linear in between; float [n - 1].

    For a step from a to b that is (b - a) ln(w_b / w_a) / (w_b - w_a), the step over the
    logarithmic mean of the widths.
    """
    step, growth = np.diff(rising), np.diff(width)
    small = np.abs(growth) <= 1e-6 * width[:-1]
    mean = np.divide(growth, np.log(width[1:] / width[:-1]), out=width[:-1].copy(), where=~small)
    return np.asarray(step / mean, dtype=np.float64)
