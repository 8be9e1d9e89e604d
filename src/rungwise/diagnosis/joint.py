"""Likelihood of several meter readings together, on every particle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis.arrays import FloatArray, IntArray

__all__ = ["JointReadings", "loudness_levels", "severity_steps"]

Levels = npt.NDArray[np.int8]
Mask = npt.NDArray[np.bool_]

UNRELATED = 0.01  # chance that this unit's deviations are not related as in the clouds
LOUDNESS = np.array([1.0, 4.0, 12.0])
"""Relative noise of a particle's reading, as multiples of the check's usual one, by level."""
LOUDEST = 0.3  # relative; a reading lost in noise as this goes for itself
LOG_2PI = float(np.log(2.0 * np.pi))


@dataclass(frozen=True, slots=True, eq=False)
class JointReadings:
    """Numbers read by d checks, and what each of n particles makes of them.

    value: float [d].
    middle: float [n, d], the particle's readings with tolerances taken out;
        inf for OL, NaN where the check cannot be made.
    noise: float [n, d], standard deviation of the meter's error and the cloud's kernel together.
    covariance: float [d, d], of the logs of readings by tolerance.
    usual_noise: float [d], the meter's relative error on the unit that faults leave alone.
    level: int8 [n, d], see `loudness_levels`.
    suspect_of: int [n]. step: float [S, d], see `severity_steps`.
    slip, wild: float [d], chance of a wild reading, and its density at `value`.
    """

    value: FloatArray
    middle: FloatArray
    noise: FloatArray
    covariance: FloatArray
    usual_noise: FloatArray
    level: Levels
    suspect_of: IntArray
    step: FloatArray
    slip: FloatArray
    wild: FloatArray

    def log_likelihood(self) -> FloatArray:
        """Log likelihood of all readings on every particle, float [n], nats.

        Readings that deviate together are taken together, with at most one slip among them; to
        allow for more slips, and for a unit that is built otherwise, every particle keeps
        `UNRELATED` of the likelihood of readings taken each for itself.
        """
        apart = self.log_apart()
        related = self._related()
        several = related.sum(axis=1) > 1
        total = np.asarray(apart.sum(axis=1))
        if not several.any():
            return total
        rest = np.where(related, 0.0, apart).sum(axis=1)
        together = np.where(several, rest + self._log_together(related), total)
        either = np.logaddexp(np.log1p(-UNRELATED) + together, np.log(UNRELATED) + total)
        return np.asarray(either)

    def log_apart(self) -> FloatArray:
        """Log likelihood of each reading by itself, float [n, d]."""
        core = self._core_apart()
        return _log((1.0 - self.slip) * core + self.slip * self.wild)

    def _core_apart(self) -> FloatArray:
        finite = np.isfinite(self.middle)
        middle = np.where(finite, self.middle, 0.0)
        tolerance = np.sqrt(np.diag(self.covariance)) * middle
        width = np.where(finite, np.hypot(self.noise, tolerance), 1.0)
        off = (self.value - middle) / width
        core = np.where(finite, np.exp(-0.5 * off * off - 0.5 * LOG_2PI) / width, 0.0)
        return np.where(np.isnan(self.middle), self.wild, core)

    def _related(self) -> Mask:
        """Which readings of which particles follow the shared deviations, bool [n, d].

        Those well above their noise, and of checks that share a deviation with another one here.
        """
        off_diagonal = self.covariance - np.diag(np.diag(self.covariance))
        return np.asarray((off_diagonal != 0.0).any(axis=1) & (self.level >= 0))

    def _log_together(self, related: Mask) -> FloatArray:
        """Log likelihood of the related readings, float [n]; particles alike in them at once."""
        together = np.zeros(len(related))
        for rows in _alike(np.where(related, self.level, -1)):
            columns = np.flatnonzero(related[rows[0]])
            if len(columns) > 1:
                together[rows] = self._log_normal(rows, columns)
        return together

    def _log_normal(self, rows: IntArray, columns: IntArray) -> FloatArray:
        """Log of the multivariate normal density of some readings, with none or one slip.

        rows: particles of the same levels. Leaving one reading out of a normal density divides it
        by the density of that reading given the others, a normal one of mean y - (P r)_i / P_ii
        and variance 1 / P_ii.
        """
        middle = self.middle[np.ix_(rows, columns)]
        off = (self.value[columns] - middle) / middle
        pull, own, log_det = self._precision(rows, columns, off)
        log_middle = np.log(middle)
        quadratic = (pull * off).sum(axis=1)
        log_all = -0.5 * (quadratic + len(columns) * LOG_2PI - log_det) - log_middle.sum(axis=1)
        log_given = -0.5 * (pull * pull / own + LOG_2PI - np.log(own)) - log_middle
        slip, wild = self.slip[columns], self.wild[columns]
        log_odds = _log(slip * wild / (1.0 - slip)) - log_given
        one_slip = np.logaddexp(0.0, np.logaddexp.reduce(log_odds, axis=1))
        return np.asarray(np.log1p(-slip).sum() + log_all + one_slip)

    def _precision(
        self, rows: IntArray, columns: IntArray, off: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """P r and the diagonal of P, float [rows, columns] both, and log det P, float [rows].

        P inverts tolerance, meter error and the suspect's step t together; with P0 of the first
        two, P = P0 - u u' / (1 + t' u), u = P0 t (Sherman and Morrison 1950).
        """
        noise = self.usual_noise[columns] * LOUDNESS[self.level[rows[0], columns]]
        covariance = self.covariance[np.ix_(columns, columns)] + np.diag(noise**2)
        base = np.linalg.inv(covariance)
        step = self.step[:, columns]
        turned = step @ base
        stretch = 1.0 + (step * turned).sum(axis=1)
        suspect = self.suspect_of[rows]
        turned, stretch = turned[suspect], stretch[suspect]
        share = (off * turned).sum(axis=1) / stretch
        pull = off @ base - share[:, None] * turned
        own = np.diag(base) - turned**2 / stretch[:, None]
        return pull, own, -np.linalg.slogdet(covariance)[1] - np.log(stretch)


def loudness_levels(relative: FloatArray, suspect_of: IntArray) -> Levels:
    """Level of `LOUDNESS` of every particle's meter error, int8 [N, M]; -1 if it goes for itself.

    One level for all particles of a suspect, so that many of them can be worked at once.
    relative: float [N, M], meter error over reading, inf where there is no reading above 0.
    """
    usual = np.median(relative, axis=0)
    level = np.full(relative.shape, -1, np.int8)
    edges = np.sqrt(LOUDNESS[1:] * LOUDNESS[:-1])
    for suspect in range(int(suspect_of.max()) + 1):
        rows = np.flatnonzero(suspect_of == suspect)
        with np.errstate(invalid="ignore"):
            louder = np.median(relative[rows], axis=0) / usual
        level[rows] = np.searchsorted(edges, louder)
    level[~(relative <= LOUDEST)] = -1
    return level


def severity_steps(middle: FloatArray, kernel: FloatArray, suspect_of: IntArray) -> FloatArray:
    """How far each suspect's readings move together from one severity to the next, float [S, M].

    Relative, the cloud's kernel with the sign of its direction: between two particles all
    readings lie between theirs, so the kernel is one shared deviation and not many.
    middle, kernel: float [N, M].
    """
    suspects = int(suspect_of.max()) + 1
    steps = np.zeros((suspects, middle.shape[1]))
    for suspect in range(suspects):
        rows = np.flatnonzero(suspect_of == suspect)
        cloud, width = middle[rows], kernel[rows]
        moves = np.flatnonzero((np.isfinite(cloud) & (cloud > 0.0) & (width > 0.0)).any(axis=0))
        if len(moves):
            steps[suspect, moves] = _signed(cloud[:, moves], width[:, moves])
    return steps


def _signed(cloud: FloatArray, width: FloatArray) -> FloatArray:
    """Middle relative width of each column, with the sign of its trend along the widest one."""
    usable = np.isfinite(cloud) & (cloud > 0.0)
    relative = np.divide(width, cloud, out=np.full(cloud.shape, np.nan), where=usable)
    typical = np.nanmedian(relative, axis=0)
    rank = np.argsort(np.argsort(cloud, axis=0), axis=0) - 0.5 * (len(cloud) - 1)
    trend = rank.T @ rank[:, int(np.argmax(typical))]
    return np.asarray(typical * np.where(trend < 0.0, -1.0, 1.0))


def _alike(level: Levels) -> list[IntArray]:
    """The rows of [n, d], those that are the same put together."""
    # Two different rows share a random number by chance once in about 2^60 pairs.
    numbers = np.random.default_rng(0).integers(2**62, size=level.shape[1])
    number = level.astype(np.int64) @ numbers
    order = np.argsort(number, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(number[order])) + 1)


def _log(likelihood: FloatArray) -> FloatArray:
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(likelihood))
