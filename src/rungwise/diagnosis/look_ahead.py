"""A second step of look-ahead, where the belief is small enough to afford it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.candidate import Candidate
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.diagnosis.outlook import Outlook
from rungwise.diagnosis.prices import PriceList

__all__ = ["LookAhead"]

FIRST_STEPS = 4  # the best candidates that are looked beyond
SECOND_STEPS = 16  # checks considered after each
MOST_WORK = 400_000  # particles times second checks times outcomes
LIKELY = 0.01  # rarer outcomes are not looked beyond


@dataclass(frozen=True, slots=True, eq=False)
class LookAhead:
    """Candidates judged by the expected minutes to the end of the call.

    After the second step, what is left unknown is priced at the best present rate.
    ranked: candidates by information per minute, at least one, the first telling something.
    """

    table: FaultTable
    outlook: Outlook
    prices: PriceList
    ranked: Sequence[Candidate]

    def reordered(self) -> list[Candidate]:
        """All candidates, the affordable few of the best put in the order of two steps."""
        first = self._affordable()
        minutes = {candidate.check.id: self._minutes(candidate) for candidate in first}
        best = sorted(first, key=lambda each: (round(minutes[each.check.id], 2), each.rank))
        return [*best, *self.ranked[len(first) :]]

    def _column(self, candidate: Candidate) -> int:
        return self.table.check_index(candidate.check.id)

    def _affordable(self) -> list[Candidate]:
        chosen: list[Candidate] = []
        work = 0
        for candidate in self.ranked[:FIRST_STEPS]:
            likely = int((self.outlook.outcomes(self._column(candidate)) >= LIKELY).sum())
            work += likely * len(self.outlook.weight) * min(SECOND_STEPS, len(self.ranked))
            if work > MOST_WORK or candidate.bits < self.prices.least_bits:
                break
            chosen.append(candidate)
        return chosen

    def _minutes(self, candidate: Candidate) -> float:
        """Expected minutes from making this check to the end of the call."""
        column = self._column(candidate)
        chances = self.outlook.outcomes(column)
        minutes = candidate.minutes
        for outcome in np.flatnonzero(chances >= LIKELY):
            after = self.outlook.after(column, int(outcome))
            minutes += float(chances[outcome]) * self._minutes_after(after, candidate)
        return minutes

    def _minutes_after(self, after: Outlook, made: Candidate) -> float:
        """The cheapest of acting at once, of going on at the present rate, and of each check."""
        minutes_per_bit = 1.0 / self.ranked[0].rate
        unknown = after.entropy_bits
        minutes = [self.prices.wrong_repair(after.best), unknown * minutes_per_bit]
        others = [each for each in self.ranked[:SECOND_STEPS] if each.check != made.check]
        prospects = after.prospects([self._column(other) for other in others])
        for other, told in zip(others, prospects, strict=True):
            price = self.prices.price(other.check, made.check)
            minutes.append(price + max(unknown - told.bits, 0.0) * minutes_per_bit)
        return min(minutes)
