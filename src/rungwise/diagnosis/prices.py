"""What checks and mistakes cost, in minutes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.fault_table import CheckCard

__all__ = ["PriceList"]

Probability = TypeVar("Probability", float, FloatArray)


@dataclass(frozen=True, slots=True)
class PriceList:
    """The shop's prices, all in minutes or shares of one. Defaults: common practice, no source.

    wrong_repair_minutes: a part swapped for nothing, with the way back to the truth.
    minutes_per_risk: a minute-equivalent of danger on a check's card counts as this.
    condition_change_minutes: to bring the unit into another condition than that of the last check.
    least_minutes: no check is cheaper, a look costs something too.
    enough_probability: no repair is advised under it while any check still informs.
    least_bits: a check expected to bring less says nothing.
    """

    wrong_repair_minutes: float = 150.0
    minutes_per_risk: float = 1.0
    condition_change_minutes: float = 3.0
    least_minutes: float = 0.25
    enough_probability: float = 0.9
    least_bits: float = 0.02

    def price(self, check: CheckCard, last: CheckCard | None) -> float:
        """Minutes that a check costs right after the check `last` (None: the first of the call)."""
        minutes = check.minutes + self.minutes_per_risk * check.risk
        if last is not None and check.condition != last.condition:
            minutes += self.condition_change_minutes
        return max(minutes, self.least_minutes)

    def informs(self, bits: float, minutes: float, *, unknown: float, act_cost: float) -> bool:
        """Whether a check that brings `bits` in `minutes` is worth making.

        At its rate, what is unknown (bits) must be settled before the minutes that acting now
        would lose (`act_cost`) have gone.
        """
        return bits >= self.least_bits and unknown * minutes <= act_cost * bits

    def wrong_repair(self, best: Probability) -> Probability:
        """Expected minutes lost by acting on a repair of probability `best`, number or array."""
        return self.wrong_repair_minutes * (1.0 - best)
