"""Likelihood of several meter readings together, on every particle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis.arrays import FloatArray, IntArray

__all__ = ["JointReadings"]

Mask = npt.NDArray[np.bool_]

UNRELATED = 0.01  # chance that this unit's deviations are not related as in the clouds
NEAR_NOISE = 4.0  # a reading whose relative noise is this much above the usual goes for itself
LOG_2PI = float(np.log(2.0 * np.pi))


@dataclass(frozen=True, slots=True, eq=False)
class JointReadings:
    """Numbers read by d checks, and what each of n particles makes of them.

    value: float [d]. middle: float [n, d], the particle's readings with tolerances taken out;
    inf for OL, NaN where the check cannot be made. noise: float [n, d], standard deviation of
    meter and cloud together. covariance: float [d, d], of the logs of readings by tolerance.
    usual_noise: float [d], relative noise on the unit that faults leave alone. slip, wild: [d],
    chance of a wild reading, and its density at `value`.
    """

    value: FloatArray
    middle: FloatArray
    noise: FloatArray
    covariance: FloatArray
    usual_noise: FloatArray
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
        shares = (off_diagonal != 0.0).any(axis=1)
        with np.errstate(invalid="ignore", divide="ignore"):
            relative = self.noise / self.middle
            near = relative**2 <= NEAR_NOISE * self.usual_noise**2 + 0.25 * np.diag(self.covariance)
        return np.asarray(shares & near & np.isfinite(self.middle) & (self.middle > 0.0))

    def _log_together(self, related: Mask) -> FloatArray:
        """Log likelihood of the related readings, float [n]; particles alike in them at once."""
        together = np.zeros(len(related))
        for rows in _alike(related):
            columns = np.flatnonzero(related[rows[0]])
            if len(columns) > 1:
                together[rows] = self._log_normal(rows, columns)
        return together

    def _log_normal(self, rows: IntArray, columns: IntArray) -> FloatArray:
        """Log of the multivariate normal density of some readings, with none or one slip.

        Leaving one reading out of a normal density divides it by the density of that reading
        given the others, a normal one of mean y - (P r)_i / P_ii and variance 1 / P_ii.
        """
        value, middle = self.value[columns], self.middle[np.ix_(rows, columns)]
        noise = np.diag(self.usual_noise[columns] ** 2)
        precision = np.linalg.inv(self.covariance[np.ix_(columns, columns)] + noise)
        off = (value - middle) / middle
        pull = off @ precision
        _, log_det = np.linalg.slogdet(precision)
        size = len(columns)
        log_all = -0.5 * ((pull * off).sum(axis=1) + size * LOG_2PI - log_det)
        log_all -= np.log(middle).sum(axis=1)
        own = np.diag(precision)
        log_given = -0.5 * (pull * pull / own + LOG_2PI - np.log(own)) - np.log(middle)
        slip, wild = self.slip[columns], self.wild[columns]
        log_odds = _log(slip * wild / (1.0 - slip)) - log_given
        one_slip = np.logaddexp(0.0, np.logaddexp.reduce(log_odds, axis=1))
        return np.asarray(np.log1p(-slip).sum() + log_all + one_slip)


def _alike(related: Mask) -> list[IntArray]:
    """The rows of [n, d], those that are the same put together."""
    # Two different rows share a random number by chance once in about 2^60 pairs.
    numbers = np.random.default_rng(0).integers(2**62, size=related.shape[1])
    number = related @ numbers
    order = np.argsort(number, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(number[order])) + 1)


def _log(likelihood: FloatArray) -> FloatArray:
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(likelihood))
