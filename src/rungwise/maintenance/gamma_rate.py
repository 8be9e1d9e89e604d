"""How often something happens: a Poisson rate with a gamma belief, and what it foretells.

Counts n over an exposure T update Gamma(a, b) to Gamma(a + n, b + T); the count over a further
exposure t is then negative binomial with a successes and success probability b / (b + t).
NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.6.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import optimize, stats

from rungwise.errors import BadQuantity
from rungwise.maintenance.interval import LEVEL, Interval, ends_of
from rungwise.parts import FloatArray

STRENGTHS = np.geomspace(0.1, 64.0, 29)
"""Gamma shapes that are tried when the data say how far to trust a prior."""


@dataclass(frozen=True, slots=True)
class GammaRate:
    """Belief in a rate per unit of exposure: `shape` a events seen in `exposure` b.

    Raises BadQuantity unless both are above 0.
    """

    shape: float
    exposure: float

    def __post_init__(self) -> None:
        if not (self.shape > 0.0 and self.exposure > 0.0):
            what = "A rate needs a count and an exposure above 0 to start from."
            raise BadQuantity(what=what, value=f"{self.shape:g} in {self.exposure:g}")

    @classmethod
    def around(cls, mean: float, shape: float) -> GammaRate:
        """A start belief of this mean, as sure as if `shape` events had been seen."""
        return cls(shape, shape / mean)

    @property
    def mean(self) -> float:
        """The expected rate, a / b."""
        return self.shape / self.exposure

    def after(self, events: float, exposure: float) -> GammaRate:
        """The belief once `events` were seen in a further `exposure`."""
        return GammaRate(self.shape + events, self.exposure + exposure)

    def quantile(self, share: float) -> float:
        """The rate below which `share` of the belief lies."""
        return float(stats.gamma.ppf(share, self.shape, scale=1.0 / self.exposure))

    def interval(self, level: float = LEVEL) -> Interval:
        """The rate with its equal-tailed interval."""
        return ends_of(self.quantile, level)

    def below(self, rate: float) -> float:
        """Belief that the true rate is at most `rate`."""
        return float(stats.gamma.cdf(rate, self.shape, scale=1.0 / self.exposure))

    def count_in(self, exposure: float) -> Any:
        """The count over a further exposure, as a frozen scipy negative binomial."""
        return stats.nbinom(self.shape, self.exposure / (self.exposure + exposure))


def strength_of(counts: Any, expected: Any) -> float:
    """How many events a prior is worth, learned from how the counts scatter round it.

    The mean over `STRENGTHS` (alike before) by the negative binomial likelihood of all counts, so
    that agreement makes the prior strong and disagreement weak. Empirical Bayes: Carlin and
    Louis, "Bayes and empirical Bayes methods for data analysis", 1996 (memory).
    """
    n, mean = np.asarray(counts, float), np.asarray(expected, float)
    shape = STRENGTHS[:, None]
    told = np.asarray(stats.nbinom.logpmf(n, shape, shape / (shape + mean))).sum(axis=1)
    weight = np.exp(told - told.max())
    return float(np.exp((weight * np.log(STRENGTHS)).sum() / weight.sum()))


@dataclass(frozen=True, eq=False)
class GammaMix:
    """Σ `weight` · Gamma(`shape`, `exposure`); arrays of one length, weights summing to 1."""

    weight: FloatArray
    shape: FloatArray
    exposure: FloatArray

    @property
    def mean(self) -> float:
        """The expected rate."""
        return float(self.weight @ (self.shape / self.exposure))

    def below(self, rate: float) -> float:
        """Belief that the true rate is at most `rate`."""
        return float(self.weight @ stats.gamma.cdf(rate, self.shape, scale=1.0 / self.exposure))

    def quantile(self, share: float) -> float:
        """The rate below which `share` of the belief lies."""
        ends = np.asarray(stats.gamma.ppf(share, self.shape, scale=1.0 / self.exposure))
        told = ends[self.weight > 1e-9]
        low, high = float(told.min()), float(told.max())
        if high - low <= 1e-12 * high:
            return high
        found = optimize.brentq(lambda rate: self.below(rate) - share, low, high, xtol=1e-12)
        return float(found)

    def interval(self, level: float = LEVEL) -> Interval:
        """The rate with its equal-tailed interval."""
        return ends_of(self.quantile, level)
