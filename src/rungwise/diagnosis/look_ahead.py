"""A second step of look-ahead, where the belief is small enough to afford it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray, sum_by
from rungwise.diagnosis.candidate import Candidate
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.value_of_information import Outlook

FIRST_STEPS = 8  # the best candidates that are looked beyond
SECOND_STEPS = 16  # checks considered after each
MOST_WORK = 100_000  # particles times second checks over all outcomes
LIKELY = 0.01  # rarer outcomes are not looked beyond
NEGLIGIBLE = 1e-3  # of the belief that an outcome leaves
PAIR_BITS = 0.2  # chance and noise let less than this appear where there is nothing
LATE_BITS = 2.0  # the last bits of a call cost about this much more than the first


@dataclass(slots=True, eq=False)
class _Forks:
    """The outcomes looked beyond, one after the other.

    particle: of the present outlook, those that count after the outcome. weight: joint
    probability of each with the outcome. none: joint probability of the outcome with an unlisted
    culprit. first: the candidate's place. chance: probability of the outcome.
    """

    particle: list[IntArray] = field(default_factory=list)
    weight: list[FloatArray] = field(default_factory=list)
    none: list[float] = field(default_factory=list)
    first: list[int] = field(default_factory=list)
    chance: list[float] = field(default_factory=list)

    @property
    def particles(self) -> int:
        return sum(map(len, self.particle))

    def expected(self, worth: FloatArray, firsts: int) -> FloatArray:
        """Expectation of something known of each outcome, for each first check; float [firsts]."""
        return sum_by(np.array(self.first), np.array(self.chance) * worth, firsts)

    def add(self, outlook: Outlook, first: int, check: int) -> None:
        """Every likely outcome of one check; that it may be a slip is not foreseen."""
        mass, none = outlook.mass(np.array([check]))
        none = none[0, 0]
        chances = mass[0].sum(axis=0) + none
        for outcome in np.flatnonzero(chances >= LIKELY):
            weight = outlook.weight * outlook.bins.likelihood(check, int(outcome))
            kept = np.flatnonzero(weight > NEGLIGIBLE * chances[outcome] / len(weight))
            if not len(kept):
                continue  # only an unlisted culprit, or a slip, gives it
            self.particle.append(kept)
            self.weight.append(weight[kept])
            self.none.append(float(none[outcome]))
            self.first.append(first)
            self.chance.append(float(chances[outcome]))


@dataclass(frozen=True, slots=True, eq=False)
class LookAhead:
    """Candidates judged by the expected minutes to the end of the call.

    After the second step, what is left unknown is priced at the best present rate, made dearer
    by `LATE_BITS`.
    ranked: candidates by information per minute, at least one, the first telling something.
    """

    table: FaultTable
    outlook: Outlook
    prices: PriceList
    ranked: Sequence[Candidate]

    def reordered(self) -> list[Candidate]:
        """All candidates, the affordable few of the best put in the order of two steps."""
        forks, looked_at = self._forks(self.prices.least_bits)
        if looked_at < 2 or not forks.particles:
            return list(self.ranked)
        beyond = forks.expected(self._minutes_after(forks), looked_at)
        minutes = [each.effort + more for each, more in zip(self.ranked, beyond, strict=False)]
        order = sorted(range(looked_at), key=lambda at: (round(minutes[at], 2), at))
        return [*(self.ranked[at] for at in order), *self.ranked[looked_at:]]

    def first_of_pair(self) -> Candidate | None:
        """The candidate that with a second check tells most, where no single check tells anything.

        Supply volts and volts behind a bad joint are such a pair. None if there is
        no such pair. The candidate's `bits` are half of what the pair brings.
        """
        forks, looked_at = self._forks(least_bits=0.0)
        if not forks.particles:
            return None
        _, bits = self._bits_after(forks)
        brought = forks.expected(bits.max(axis=0), looked_at)
        at = int(np.argmax(brought))
        if brought[at] < PAIR_BITS:
            return None
        return replace(self.ranked[at], bits=0.5 * float(brought[at]))

    def _column(self, candidate: Candidate) -> int:
        return self.table.check_index(candidate.check.id)

    def _forks(self, least_bits: float) -> tuple[_Forks, int]:
        """The outcomes of as many of the best candidates as work allows, and their number."""
        forks = _Forks()
        second = min(SECOND_STEPS, len(self.ranked))
        for place, candidate in enumerate(self.ranked[:FIRST_STEPS]):
            if candidate.bits < least_bits or forks.particles * second > MOST_WORK:
                return forks, place
            forks.add(self.outlook, place, self._column(candidate))
        return forks, min(FIRST_STEPS, len(self.ranked))

    def _minutes_after(self, forks: _Forks) -> FloatArray:
        """Expected minutes after each outcome, float [outcomes].

        The cheapest of acting at once, of going on at the present rate, and of each second check.
        """
        minutes_per_bit = LATE_BITS / self.ranked[0].rate
        after, bits = self._bits_after(forks)
        unknown = after.entropy_bits
        left = np.maximum(unknown - bits, 0.0) * minutes_per_bit  # [second, outcomes]
        at_once = np.minimum(self.prices.wrong_repair(after.best), unknown * minutes_per_bit)
        price = self._second_prices()[:, forks.first]
        return np.asarray(np.minimum(at_once, (left + price).min(axis=0)))

    def _bits_after(self, forks: _Forks) -> tuple[Outlook, FloatArray]:
        """The outlook after each outcome, and what each second check would bring then.

        float [second, outcomes], bits.
        """
        second = np.array([self._column(each) for each in self.ranked[:SECOND_STEPS]])
        bins = self.outlook.bins.of_checks(second).of_particles(np.concatenate(forks.particle))
        groups = [self.outlook.row[rows] for rows in forks.particle]
        none = np.array(forks.none)
        after = Outlook.stacked(bins, self.outlook.doubts, forks.weight, groups, none)
        bits = after.prospects(range(len(second))).bits
        bits[forks.first, np.arange(len(none))] = 0.0  # the first check again
        return after, bits

    def _second_prices(self) -> FloatArray:
        """Effort of each second check after each first, float [second, first]."""
        effort = self.prices.effort
        first, second = self.ranked[:FIRST_STEPS], self.ranked[:SECOND_STEPS]
        return np.array([[effort(then.check, now.check) for now in first] for then in second])
