"""Weibull lives with parts that have not failed yet, by maximum likelihood.

S(t) = exp(-(t / scale)^shape). A part that was first watched at age `entry` tells nothing of
those that failed before: its likelihood is divided by S(entry) (left truncation). Rates of a
constant hazard are the special case shape = 1.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import exp, gamma, log, sqrt

import numpy as np
from scipy import optimize, stats

from rungwise.errors import BadQuantity
from rungwise.maintenance.interval import LEVEL, Interval
from rungwise.parts import FloatArray

__all__ = ["Life", "WeibullFit", "exact_mean_interval", "fit_weibull"]

_FARTHEST = 4.0
"""Profile ends are looked for within exp(±4) of the estimate: wider means nothing is known."""


@dataclass(frozen=True, slots=True)
class Life:
    """One part: watched from age `entry` to age `exit`, where it `failed` or was left.

    Any unit of time. Raises BadQuantity unless 0 <= entry < exit.
    """

    exit: float
    failed: bool
    entry: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.entry < self.exit:
            raise BadQuantity(
                what="A part must be watched from some age to a greater one.",
                value=f"{self.entry:g} to {self.exit:g}",
                next_step="put the dates in order: fitted, first seen, ended",
            )


@dataclass(frozen=True, slots=True)
class WeibullFit:
    """The fit, with intervals from the profile likelihood. `log_likelihood` is at the best."""

    shape: Interval
    scale: Interval
    log_likelihood: float
    failures: int

    @property
    def mean(self) -> float:
        """Mean life, scale · Γ(1 + 1/shape)."""
        return self.scale.middle * gamma(1.0 + 1.0 / self.shape.middle)

    @property
    def sd(self) -> float:
        """Standard deviation of the lives."""
        k = self.shape.middle
        spread = gamma(1.0 + 2.0 / k) - gamma(1.0 + 1.0 / k) ** 2
        return self.scale.middle * sqrt(spread)

    @property
    def aic(self) -> float:
        """Akaike's criterion of the two parameters."""
        return 4.0 - 2.0 * self.log_likelihood

    def survives(self, age: float) -> float:
        """Chance that a new part reaches `age`."""
        return exp(-((age / self.scale.middle) ** self.shape.middle))


def fit_weibull(lives: Iterable[Life], level: float = LEVEL) -> WeibullFit:
    """The most likely Weibull, and its profile-likelihood intervals.

    For a given shape the best scale is scale^shape = Σ(exit^shape - entry^shape) / failures, so
    only the shape is searched for. Raises BadQuantity with fewer than two failures at different
    ages.
    """
    data = _Lives.of(tuple(lives))
    found = optimize.minimize_scalar(lambda z: -data.profile(z), bounds=(-3.0, 4.0),
                                     method="bounded", options={"xatol": 1e-10})  # fmt: skip
    z, best = float(found.x), -float(found.fun)
    drop = 0.5 * float(stats.chi2.ppf(level, 1))
    log_scale = data.log_scale(z)
    scales = _profile_ends(lambda s: data.profile_at_scale(s, z) - best + drop, log_scale)
    shapes = _profile_ends(lambda s: data.profile(s) - best + drop, z)
    return WeibullFit(
        Interval(exp(shapes[0]), exp(z), exp(shapes[1]), level),
        Interval(exp(scales[0]), exp(log_scale), exp(scales[1]), level),
        best,
        data.failures,
    )


def exact_mean_interval(total: float, failures: int, level: float = 0.95) -> Interval:
    """Mean life at a constant hazard: 2·total / χ² with 2·failures degrees of freedom, exact."""
    tail = 0.5 * (1.0 - level)
    low, high = (2.0 * total / float(stats.chi2.ppf(q, 2 * failures)) for q in (1.0 - tail, tail))
    return Interval(low, total / failures, high, level)


@dataclass(frozen=True)
class _Lives:
    """Lives as arrays of logs (of entry 0: -inf)."""

    log_entry: FloatArray
    log_exit: FloatArray
    log_failed: FloatArray

    @classmethod
    def of(cls, lives: Sequence[Life]) -> _Lives:
        failed = [each.exit for each in lives if each.failed]
        if len(set(failed)) < 2:
            raise BadQuantity(
                what="Too few parts have failed to tell how they age.",
                value=f"{len(failed)} failures among {len(lives)} parts",
                allowed="at least two failures, at different ages",
                next_step="wait for more closed calls; until then the start lives stand",
            )
        with np.errstate(divide="ignore"):
            entry = np.log([each.entry for each in lives])
        return cls(entry, np.log([each.exit for each in lives]), np.log(failed))

    @property
    def failures(self) -> int:
        return len(self.log_failed)

    def watched(self, z: float, log_scale: float) -> float:
        """Σ (exit / scale)^shape - (entry / scale)^shape."""
        shape = exp(z)
        terms = np.exp(shape * (self.log_exit - log_scale))
        return float((terms - np.exp(shape * (self.log_entry - log_scale))).sum())

    def log_scale(self, z: float) -> float:
        middle = float(self.log_failed.mean())
        return middle + log(self.watched(z, middle) / self.failures) / exp(z)

    def told(self, z: float, log_scale: float) -> float:
        """Log-likelihood of shape exp(z) and this scale."""
        free = float((self.log_failed - log_scale).sum())
        fixed = self.failures * (z - log_scale) + (exp(z) - 1.0) * free
        return fixed - self.watched(z, log_scale)

    def profile(self, z: float) -> float:
        return self.told(z, self.log_scale(z))

    def profile_at_scale(self, log_scale: float, start: float) -> float:
        found = optimize.minimize_scalar(
            lambda z: -self.told(z, log_scale), bracket=(start - 0.3, start + 0.3), tol=1e-9
        )
        return -float(found.fun)


def _profile_ends(above: Callable[[float], float], best: float) -> tuple[float, float]:
    """Where the profile falls to the bound on either side of `best`; far off if never."""
    return _end(above, best, -1.0), _end(above, best, 1.0)


def _end(above: Callable[[float], float], best: float, side: float) -> float:
    reach = 0.05
    while above(best + side * reach) > 0.0:
        reach *= 1.6
        if reach > _FARTHEST:
            return side * 700.0  # exp of it is as good as 0 or infinity
    near, far = best, best + side * reach
    return float(optimize.brentq(above, near, far))
