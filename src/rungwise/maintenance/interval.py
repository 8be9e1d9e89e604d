"""A value with the interval in which it is believed to lie."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

LEVEL = 0.90
"""How much belief an interval holds when nothing else is said."""


@dataclass(frozen=True, slots=True)
class Interval:
    """`middle` is the median; `low` to `high` hold `level` of the belief, equal tails."""

    low: float
    middle: float
    high: float
    level: float = LEVEL

    def holds(self, value: float) -> bool:
        """Whether the value lies inside, ends included."""
        return self.low <= value <= self.high


def ends_of(quantile: Callable[[float], float], level: float = LEVEL) -> Interval:
    """The equal-tailed interval of a belief, from its quantile function."""
    tail = 0.5 * (1.0 - level)
    return Interval(quantile(tail), quantile(0.5), quantile(1.0 - tail), level)
