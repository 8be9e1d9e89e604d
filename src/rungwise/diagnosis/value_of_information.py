"""What each check could still say, under one belief or under several at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis.arrays import FloatArray, IntArray, sum_by
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.bins import ReadingBins
from rungwise.diagnosis.fault_table import Grouping
from rungwise.diagnosis.reading_model import Doubts

TINY = 1e-300
CACHED = 80_000  # particles times checks handled in one go


@dataclass(frozen=True, slots=True, eq=False)
class Prospects:
    """What checks are expected to bring, for D checks and B beliefs.

    bits: float [D, B], expected information about the group, 0 or more.
    best_after: float [D, B], expected probability of the then most probable group.
    """

    bits: FloatArray
    best_after: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """B beliefs reduced to the particles that still count, with their readings in bins.

    Usually B is 1; looking ahead it is the beliefs that outcomes of a check would leave. Each
    belief has a row for each group (repair) that is not ruled out.

    weight: float [n]. row: int [n], of each particle. start: int [B], the first row of each
    belief. posterior: float [rows]. none: float [B], of an unlisted culprit. A belief's rows and
    its none sum to 1.
    """

    bins: ReadingBins
    doubts: Doubts
    weight: FloatArray
    row: IntArray
    start: IntArray
    posterior: FloatArray
    none: FloatArray

    @classmethod
    def of(cls, belief: Belief, grouping: Grouping | None = None) -> Outlook:
        """From a belief; groups are repairs unless another grouping is given."""
        table, foresight = belief.table, belief.foresight
        rows, none = foresight.rows, belief.none_of_these
        group = (grouping or table.by_repair).of_suspect[table.suspect_of][rows]
        weight = np.maximum(belief.particle_weight()[0][rows], TINY)
        return cls.stacked(belief.bins, belief.model.doubts, [weight], [group], np.array([none]))

    @classmethod
    def stacked(
        cls,
        bins: ReadingBins,
        doubts: Doubts,
        weights: Sequence[FloatArray],
        groups: Sequence[IntArray],
        none: FloatArray,
    ) -> Outlook:
        """From the particles of each belief, one after the other in `bins`; sums become 1."""
        total = np.array([weight.sum() for weight in weights]) + none
        weight = np.concatenate([each / by for each, by in zip(weights, total, strict=True)])
        most = 1 + max(int(group.max(initial=0)) for group in groups)
        cell = np.concatenate([each + most * place for place, each in enumerate(groups)])
        mass = sum_by(cell, weight, most * len(groups))
        present = np.flatnonzero(mass > 0.0)
        row = np.searchsorted(present, cell)
        start = np.searchsorted(present, most * np.arange(len(groups)))
        return cls(bins, doubts, weight, row, start, mass[present], none / total)

    def thinned(self, count: int) -> Outlook:
        """About the same single belief with at most `count` particles, picked evenly by weight."""
        rise = np.cumsum(self.weight)
        # At even steps and not by lot: the same belief must give the same advice each time it is
        # asked.
        picked = np.searchsorted(rise, rise[-1] * (np.arange(count) + 0.5) / count)
        rows, times = np.unique(picked, return_counts=True)
        weight = times * (rise[-1] / count)
        bins = self.bins.of_particles(rows)
        return Outlook.stacked(bins, self.doubts, [weight], [self.row[rows]], self.none)

    @property
    def best(self) -> FloatArray:
        """Probability of the most probable group, float [B]."""
        return np.asarray(np.maximum.reduceat(self.posterior, self.start))

    @property
    def entropy_bits(self) -> FloatArray:
        """Uncertainty about the group, bits, float [B]."""
        return np.add.reduceat(_surprisal(self.posterior), self.start) + _surprisal(self.none)

    def is_choice(self, check: int) -> bool:
        """Whether a check is a choice and not a number."""
        return bool(self.bins.first[check] >= 0)

    def slip(self, check: int) -> float:
        """Probability that a reading of the check says nothing."""
        doubts = self.doubts
        return doubts.choice_slip if self.is_choice(check) else doubts.reading_slip

    def mass(self, checks: IntArray) -> tuple[FloatArray, FloatArray]:
        """Joint probability of row and outcome, and of none and outcome.

        float [D, rows, most bins] and [D, B, most bins], zeros beyond a check's own bins. Slips
        are in it: a part of every row is spread evenly.
        checks: columns, either all numbers or all choices.
        """
        mass = self.bins.mass(checks, self.weight, self.row, len(self.posterior))
        count, slip = self.bins.count[checks], self.slip(int(checks[0]))
        even = (np.arange(mass.shape[2]) < count[:, None]) / count[:, None]  # [D, bins]
        mass *= 1.0 - slip
        mass += self.posterior[None, :, None] * (slip * even[:, None, :])
        listed = np.maximum(1.0 - self.none, TINY)[None, :, None]
        usual = np.add.reduceat(mass, self.start, axis=1) / listed
        broad = self.doubts.none_broad_share
        spread = (1.0 - broad) * usual + broad * even[:, None, :]
        return mass, self.none[None, :, None] * spread

    def prospects(self, checks: Sequence[int]) -> Prospects:
        """Expected information and decision value of each check under each belief.

        Information is H(group) + H(outcome) - H(group, outcome).
        """
        bits = np.zeros((len(checks), len(self.start)))
        best_after = np.zeros_like(bits)
        unknown = self.entropy_bits
        for places, batch in self._batches(np.array(checks, dtype=np.intp)):
            mass, none = self.mass(batch)
            outcome = np.add.reduceat(mass, self.start, axis=1) + none
            joint = np.add.reduceat(_surprisal(mass).sum(axis=2), self.start, axis=1)
            joint += _surprisal(none).sum(axis=2)
            # Information is never negative; a difference of entropies is, by rounding, where a
            # check tells nothing, and would then be ranked under one that tells nothing exactly.
            bits[places] = np.maximum(unknown + _surprisal(outcome).sum(axis=2) - joint, 0.0)
            best_after[places] = np.maximum.reduceat(mass, self.start, axis=1).sum(axis=2)
        return Prospects(bits, best_after)

    def _batches(self, checks: IntArray) -> Iterator[tuple[npt.NDArray[np.intp], IntArray]]:
        """Places and columns of checks of one form and about as many bins each.

        Few enough at once for the processor's cache.
        """
        at_once = max(1, CACHED // max(1, len(self.weight)))
        is_choice = self.bins.is_choice(checks)
        for form in (np.flatnonzero(is_choice), np.flatnonzero(~is_choice)):
            alike = form
            if len(form) > at_once:
                alike = form[np.argsort(self.bins.count[checks[form]], kind="stable")]
            for at in range(0, len(alike), at_once):
                places = alike[at : at + at_once]
                yield places, checks[places]


def _surprisal(probability: FloatArray) -> FloatArray:
    """-p log2 p, with 0 log 0 = 0."""
    # Clipped and not masked: 0 times a finite log is the 0 that is wanted, without a branch.
    logs = np.log(np.maximum(probability, TINY))
    logs *= probability
    logs *= -1.0 / np.log(2.0)
    return np.asarray(logs)
