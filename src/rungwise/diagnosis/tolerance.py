"""Parting what the fault does to a reading from what the unit's tolerances do.

A cloud of some tens of particles covers one severity well, but not twenty tolerances at once:
after a few exact readings no particle would fit any more, and suspects would be told apart by the
luck of their draws. So the tolerances are taken out of the particles and handled as what they
are, small correlated deviations:

    reading = (what the fault makes of a middling unit) x exp(deviation) + meter error

The deviations are seen in the clouds themselves. All suspects use the same draws, so for most
checks most suspects read the same on particle k: the reading of the unit that the fault leaves
alone. Its spread over k is the check's tolerance, and its correlation with other checks says what
they share (supply volts, the coil's ohms).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.fault_table import FaultTable

__all__ = ["Tolerances"]

AGREE = 0.5  # meter errors; suspects closer than this read the same on a particle
AGREEING = 0.1  # of the suspects must leave a check alone
SIGNIFICANT = 3.2  # correlations below this many standard errors, 1/√K, are taken for chance
WIDEST = 1.5  # a relative spread above this is no tolerance but two kinds of reading
MOST_FACTORS = 32
FEWEST_DRAWS = 8
SAMPLED = 6  # particles of each suspect that decide which suspect is the usual one


@dataclass(frozen=True, slots=True, eq=False)
class Tolerances:
    """What is known of the deviations, for each check.

    middle: float [N, M], each particle's reading on a middling unit, its tolerances taken out;
        the plain reading where the check has no tolerance of its own.
    loading: float [M, F], how the log of each reading follows each of F shared deviations of
        standard deviation 1.
    rest: float [M], variance of the log that is the check's own.
    score: float [K, F], the shared deviations of each draw. draw_of: int [N], each particle's draw.
    """

    middle: FloatArray
    loading: FloatArray
    rest: FloatArray
    score: FloatArray
    draw_of: IntArray

    @classmethod
    def of(cls, table: FaultTable) -> Tolerances:
        """From the clouds of a table; without common draws all deviations are 0."""
        checks = len(table.checks)
        each = np.bincount(table.suspect_of)
        together = bool((np.diff(table.suspect_of) >= 0).all())
        if (each != each[0]).any() or each[0] < FEWEST_DRAWS or not together:
            nothing = np.zeros((checks, 0)), np.zeros(checks), np.zeros((1, 0))
            return cls(table.reading, *nothing, np.zeros(table.particles, dtype=np.intp))
        shape = (len(table.suspects), int(each[0]), checks)
        clouds = table.reading.reshape(shape)
        deviation = _deviation(clouds, table.reading_sd.reshape(shape))
        middle = (clouds * np.exp(-deviation)).reshape(table.reading.shape)
        draw_of = np.tile(np.arange(each[0]), len(table.suspects))
        return cls(middle, *_factors(deviation), draw_of)

    @property
    def spread(self) -> FloatArray:
        """Relative standard deviation of each check, float [M]; 0 where it has none."""
        return np.asarray(np.sqrt((self.loading**2).sum(axis=1) + self.rest))

    def covariance(self, checks: IntArray) -> FloatArray:
        """Of the logs of some checks' readings, float [d, d]."""
        loading = self.loading[checks]
        return np.asarray(loading @ loading.T + np.diag(self.rest[checks]))


def _deviation(clouds: FloatArray, sd: FloatArray) -> FloatArray:
    """Log deviation of the unit that faults leave alone, float [K, M]; 0 where it is not seen.

    clouds, sd: float [S, K, M]. That unit is the suspect with which the others agree most often.
    """
    some = slice(None, None, max(1, clouds.shape[1] // SAMPLED))
    every = range(len(clouds))
    agreeing = [_agreeing(clouds[:, some], sd[:, some], suspect).sum() for suspect in every]
    usual = int(np.argmax(agreeing))
    reading = clouds[usual]
    whole = (np.isfinite(reading) & (reading > 0.0)).all(axis=0)
    whole &= _agreeing(clouds, sd, usual) >= max(2.0, AGREEING * len(clouds))
    deviation = np.zeros(reading.shape)
    log = np.log(reading[:, whole])
    deviation[:, whole] = log - np.median(log, axis=0)
    return np.where(deviation.std(axis=0) <= WIDEST, deviation, 0.0)


def _agreeing(clouds: FloatArray, sd: FloatArray, suspect: int) -> FloatArray:
    """How many suspects read like this one, on the mean over particles; float [M]."""
    with np.errstate(invalid="ignore"):
        alike = np.abs(clouds - clouds[suspect]) <= AGREE * sd[suspect]
    return np.asarray(alike.mean(axis=1).sum(axis=0))


def _factors(deviation: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Loadings [M, F], variance left over [M], scores [K, F]; chance correlations taken out.

    A pivoted Cholesky decomposition of the sample covariance, except that a check follows a pivot
    only where their correlation is significant; it stays a covariance whatever is left out.
    """
    left = deviation - deviation.mean(axis=0)
    loading, score = np.zeros((left.shape[1], 0)), np.zeros((len(left), 0))
    for _ in range(MOST_FACTORS):
        follows = _followers(left)
        pivot = int(np.argmax((follows**2).sum(axis=1)))
        if np.count_nonzero(follows[pivot]) < 2:
            break
        factor = left[:, pivot] / left[:, pivot].std()
        column = np.where(follows[pivot] != 0.0, left.T @ factor / len(left), 0.0)
        left = left - factor[:, None] * column
        loading, score = np.column_stack([loading, column]), np.column_stack([score, factor])
    return loading, left.var(axis=0), score


def _followers(left: FloatArray) -> FloatArray:
    """Significant correlations of what is left, float [M, M]; 0 for the others."""
    spread = left.std(axis=0)
    gone = spread < 1e-9
    scaled = np.where(gone, 0.0, left / np.where(gone, 1.0, spread))
    correlation = scaled.T @ scaled / len(left)
    chance = np.abs(correlation) < SIGNIFICANT / np.sqrt(len(left))
    return np.where(chance, 0.0, correlation)
