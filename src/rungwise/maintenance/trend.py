"""Where a measured value is heading: a straight line through readings of unequal worth.

y(t) = a + b·t; each reading scatters with its own known part (meter, and what else moves it) times
an unknown common factor. With a normal prior on (a, b) and an inverse-gamma prior on the factor's
square, line and forecasts are Student-t: the normal inverse-gamma regression of Gelman et al.,
"Bayesian data analysis", 3rd edition, section 14 (memory).

What the readings of a part say about its life: on its scale a quantity goes in a line from y0 at
age 0 to the limit at the end of life T,

    y(t) = y0 + (limit - y0) · t / T,    y0 ~ N(new, new_sd²),

and each reading adds its own error. Integrated over y0, the readings are jointly normal with a
diagonal plus a rank-one covariance (Sherman and Morrison; memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

import numpy as np
from scipy import stats

from rungwise.errors import BadQuantity
from rungwise.maintenance.history import PartLife
from rungwise.maintenance.interval import LEVEL, Interval, ends_of
from rungwise.maintenance.measure import Measure, measure_named
from rungwise.parts import FloatArray

SURE_OF_SCATTER = 6.0
"""Degrees of freedom with which the known scatter is trusted, against the readings' own."""


@dataclass(frozen=True, slots=True)
class TrendPoint:
    """A reading `y` at `t` whose error has the standard deviation `sd` (above 0)."""

    t: float
    y: float
    sd: float


@dataclass(frozen=True, slots=True)
class Start:
    """What is believed before any reading: value at t = 0 and slope, each with its sd."""

    value: float
    value_sd: float
    slope: float = 0.0
    slope_sd: float = inf


@dataclass(frozen=True, slots=True)
class Trend:
    """A line as believed: `mean` (value at 0, slope), `scale` matrix, degrees of freedom."""

    mean: FloatArray
    scale: FloatArray
    freedom: float
    readings: int

    def at(self, t: float, level: float = LEVEL) -> Interval:
        """The true value on the line at `t`."""
        middle, spread = self._line(t)
        return ends_of(lambda q: float(stats.t.ppf(q, self.freedom, middle, spread)), level)

    def slope(self, level: float = LEVEL) -> Interval:
        """Change of the value per unit of t."""
        spread = float(np.sqrt(self.scale[1, 1]))
        return ends_of(
            lambda q: float(stats.t.ppf(q, self.freedom, float(self.mean[1]), spread)), level
        )

    def _line(self, t: float) -> tuple[float, float]:
        row = np.array([1.0, t])
        return float(row @ self.mean), float(np.sqrt(row @ self.scale @ row))


def trend_of(points: Sequence[TrendPoint], start: Start) -> Trend:
    """The line through the readings and the start belief.

    Raises BadQuantity when a reading has no error, or when neither readings nor start belief say
    anything of the slope.
    """
    _refuse_hopeless(points, start)
    before = np.array([start.value_sd, start.slope_sd]) ** -2.0
    rows = np.array([[1.0, each.t] for each in points]).reshape(-1, 2)
    y = np.array([each.y for each in points])
    worth = np.array([each.sd for each in points]) ** -2.0
    guess = np.array([start.value, start.slope])
    precision = np.diag(before) + rows.T @ (rows * worth[:, None])
    mean = np.linalg.solve(precision, before * guess + rows.T @ (worth * y))
    # Both priors are in units of the common factor, whose square is 1 before the readings.
    misfit = float(worth @ (y - rows @ mean) ** 2 + before @ (mean - guess) ** 2)
    freedom = SURE_OF_SCATTER + len(points)
    factor = (SURE_OF_SCATTER + misfit) / freedom
    spread = np.asarray(factor * np.linalg.inv(precision), float)
    return Trend(np.asarray(mean, float), spread, freedom, len(points))


def _refuse_hopeless(points: Sequence[TrendPoint], start: Start) -> None:
    if any(not each.sd > 0.0 for each in points):
        raise BadQuantity(what="A reading needs an error above 0; every meter has one.", value=0.0)
    if start.slope_sd == inf and len({each.t for each in points}) < 2:
        raise BadQuantity(
            what="One visit shows no trend.",
            value=f"{len(points)} readings at one time",
            next_step="measure again at the next visit",
        )


def points_of(life: PartLife, quantity: str) -> tuple[TrendPoint, ...]:
    """The part's readings of a quantity, by age in its own time, on the quantity's scale."""
    measure = measure_named(quantity)
    return tuple(
        TrendPoint(
            life.age_y(each.when) * life.pace,
            measure.on_scale(each.value, life.rated),
            measure.sd(each.value, life.rated),
        )
        for each in life.readings
        if each.quantity == quantity
    )


def log_told(points: tuple[TrendPoint, ...], measure: Measure, lives_y: FloatArray) -> FloatArray:
    """Log-likelihood of the readings for each possible life, up to a constant; shape of lives."""
    if not points:
        return np.zeros_like(lives_y)
    t, y, sd = (np.array(row) for row in zip(*((p.t, p.y, p.sd) for p in points), strict=True))
    spent = t / lives_y[:, None]
    off = y - measure.new - measure.span * spent
    leaning = 1.0 - spent  # how much of its start value a part still shows
    worth = sd**-2.0
    across = 1.0 + measure.new_sd**2 * (leaning**2 @ worth)
    misfit = off**2 @ worth - (measure.new_sd * ((off * leaning) @ worth)) ** 2 / across
    return np.asarray(-0.5 * (misfit + np.log(across)))
