"""A check that could be made next, with what it brings and costs."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.prices import PriceList

LEAST_TOLD = 1e-9
"""Bits under which a check tells nothing: what is left there is made by rounding."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A check not yet made.

    bits: expected information about the repair. minutes: its price, risk and set-up included.
    effort: the same and what it takes to be asked, by which it is chosen. cost: expected minutes of
    effort from here if it is made and then the best repair is done.
    """

    check: CheckCard
    bits: float
    minutes: float
    effort: float
    cost: float

    @classmethod
    def of(
        cls,
        card: CheckCard,
        last: CheckCard | None,
        prices: PriceList,
        *,
        bits: float,
        best_after: float,
    ) -> Candidate:
        """Priced as the check that comes right after `last`.

        best_after: expected probability of the most probable repair once it is made.
        """
        minutes = prices.price(card, last)
        effort = minutes + prices.asking_minutes
        return cls(card, bits, minutes, effort, effort + prices.wrong_repair(best_after))

    @property
    def rate(self) -> float:
        """Bits per minute of effort."""
        return self.bits / self.effort

    @property
    def loss(self) -> float:
        """The cost without the digits that rounding makes, to sort by."""
        return round(self.cost, 6)

    @property
    def rank(self) -> tuple[float, bool, float]:
        """Sorts the best first, by rate; of rates alike to two digits, dead checks first.

        What is alike in all of it stays in the order of the unit's file, as its checks are in.
        """
        rate = self.rate if self.bits >= LEAST_TOLD else 0.0
        return -float(f"{rate:.1e}"), self.check.live, self.minutes
