"""A rate whose prior is not of one strength: gamma beliefs weighed against each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import optimize, stats

from rungwise.maintenance.interval import LEVEL, Interval, ends_of
from rungwise.parts.element import FloatArray

__all__ = ["GammaMix"]


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
