"""Counting over many shops: shares with their interval, and paired differences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from rungwise.maintenance.interval import Interval

BINS = (0.0, 0.01, 0.02, 0.04, 0.08, 0.15, 0.30, 0.50, 1.0)

Forecast = tuple[float, bool]
"""A chance that was told, and whether it came true."""


@dataclass(frozen=True)
class Counted:
    """`hits` of `of`, where `forecast` was promised or foretold."""

    forecast: float
    hits: int
    of: int

    @property
    def share(self) -> float:
        """The share that came true; 0 of none."""
        return self.hits / self.of if self.of else 0.0

    def interval(self, level: float = 0.95) -> tuple[float, float]:
        """Clopper and Pearson's exact binomial interval (scipy)."""
        if not self.of:
            return 0.0, 1.0
        found = stats.binomtest(self.hits, self.of).proportion_ci(level, method="exact")
        return float(found.low), float(found.high)


def bins_of(forecasts: Sequence[Forecast]) -> tuple[Counted, ...]:
    """Forecasts by size: the mean of each bin of `BINS`, and how often they came true."""
    told = np.array([chance for chance, _ in forecasts])
    true = np.array([came for _, came in forecasts], bool)
    number = np.clip(np.searchsorted(BINS, told, side="right") - 1, 0, len(BINS) - 2)
    return tuple(
        Counted(float(told[number == n].mean()), int(true[number == n].sum()), int(held))
        for n in range(len(BINS) - 1)
        if (held := int((number == n).sum()))
    )


def calibration(bins: Sequence[Counted]) -> tuple[float, float]:
    """How far all bins together are from what was foretold, and the chance of that by luck alone.

    Hosmer and Lemeshow's sum of (came - foretold)^2 / (n p (1 - p)). It is chi-squared with as many
    degrees of freedom as bins, because the forecasts were not fitted to what came true.
    """
    far = sum(
        (each.hits - each.of * each.forecast) ** 2
        / (each.of * each.forecast * (1.0 - each.forecast))
        for each in bins
    )
    return far, float(stats.chi2.sf(far, len(bins)))


def brier(forecasts: Sequence[Forecast]) -> tuple[float, float]:
    """Mean squared error of the forecasts, and of the base rate told for every one."""
    told = np.array([chance for chance, _ in forecasts])
    true = np.array([came for _, came in forecasts], float)
    return float(((told - true) ** 2).mean()), float(true.var())


def paired(differences: Sequence[float], level: float = 0.95) -> Interval:
    """Mean of paired differences with Student's interval; without end for a single pair."""
    data = np.array(differences)
    middle = float(data.mean())
    if len(data) < 2:
        return Interval(-np.inf, middle, np.inf, level)
    reach = float(stats.t.ppf(0.5 + 0.5 * level, len(data) - 1))
    half = reach * float(data.std(ddof=1)) / len(data) ** 0.5
    return Interval(middle - half, middle, middle + half, level)
