"""What readings of one part say about its life: the likelihood of each possible life.

On its scale a quantity goes in a line from y0 at age 0 to the limit at the end of life T,

    y(t) = y0 + (limit - y0) · t / T,    y0 ~ N(new, new_sd²),

and each reading adds its own error. Integrated over y0, the readings are jointly normal with a
diagonal plus a rank-one covariance (Sherman and Morrison; memory).
"""

from __future__ import annotations

import numpy as np

from rungwise.maintenance.history import PartLife
from rungwise.maintenance.measure import Measure, measure_named
from rungwise.maintenance.trend import Point
from rungwise.parts.element import FloatArray

__all__ = ["log_told", "points_of"]


def points_of(life: PartLife, quantity: str) -> tuple[Point, ...]:
    """The part's readings of a quantity, by age in its own time, on the quantity's scale."""
    measure = measure_named(quantity)
    return tuple(
        Point(
            life.age_y(each.when) * life.pace,
            measure.on_scale(each.value, life.rated),
            measure.sd(each.value, life.rated),
        )
        for each in life.readings
        if each.quantity == quantity
    )


def log_told(points: tuple[Point, ...], measure: Measure, lives_y: FloatArray) -> FloatArray:
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
