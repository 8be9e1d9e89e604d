"""What each check could still say, under one belief."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray, sum_by
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.bins import ReadingBins
from rungwise.diagnosis.fault_table import Grouping
from rungwise.diagnosis.reading_model import Doubts

__all__ = ["Outlook", "Prospect"]

TINY = 1e-300
CACHED = 80_000  # particles times checks handled in one go
NEGLIGIBLE = 1e-4  # of the belief: all particles left out together weigh less than this


@dataclass(frozen=True, slots=True)
class Prospect:
    """What one check is expected to bring.

    bits: expected information about the repair, bits, 0 or more.
    best_after: expected probability of the then most probable repair.
    """

    bits: float
    best_after: float


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """A belief reduced to the particles that still count, with their readings in bins.

    weight: float [n], group: int [n], the particle's group (its repair).
    posterior: float [groups + 1], of each group and last of an unlisted culprit; sums to 1.
    """

    bins: ReadingBins
    doubts: Doubts
    weight: FloatArray
    group: IntArray
    posterior: FloatArray

    @classmethod
    def of(cls, belief: Belief, grouping: Grouping | None = None) -> Outlook:
        """From a belief; groups are repairs unless another grouping is given."""
        table = belief.table
        groups = grouping or table.by_repair
        weight, none = belief.particle_weight()
        group = groups.of_suspect[table.suspect_of]
        return cls._reduced(belief.model.bins, belief.model.doubts, weight, group, none)

    @classmethod
    def _reduced(
        cls, bins: ReadingBins, doubts: Doubts, weight: FloatArray, group: IntArray, none: float
    ) -> Outlook:
        """Leave out negligible particles and groups without any, and make the sum 1 again."""
        rows = np.flatnonzero(weight > NEGLIGIBLE / len(weight))
        if len(rows) < len(weight):
            bins, weight, group = bins.of_particles(rows), weight[rows], group[rows]
        total = float(weight.sum()) + none
        present, group = np.unique(group, return_inverse=True)
        weight = weight / total
        posterior = np.append(sum_by(group, weight, len(present)), none / total)
        return cls(bins, doubts, weight, group, posterior)

    @property
    def best(self) -> float:
        """Probability of the most probable group."""
        return float(self.posterior[:-1].max(initial=0.0))

    @property
    def entropy_bits(self) -> float:
        """Uncertainty about the group, bits."""
        return float(_entropy_bits(self.posterior, (0,)))

    def mass(self, checks: IntArray) -> FloatArray:
        """Joint probability of group and outcome, float [checks, groups + 1, most bins].

        The last row is that of an unlisted culprit. Slips are in it: a part of every row is
        spread evenly. checks: columns, either all numbers or all choices.
        """
        groups = len(self.posterior) - 1
        rows = self.bins.mass(checks, self.weight, self.group, groups)
        count, slip = self.bins.count[checks], self._slip(int(checks[0]))
        even = (np.arange(rows.shape[2]) < count[:, None]) / count[:, None]  # [checks, bins]
        mass = np.empty((len(checks), groups + 1, rows.shape[2]))
        np.multiply(rows, 1.0 - slip, out=mass[:, :-1])
        mass[:, :-1] += self.posterior[None, :-1, None] * (slip * even[:, None, :])
        usual = mass[:, :-1].sum(axis=1) / max(1.0 - self.posterior[-1], TINY)
        broad = self.doubts.none_broad_share
        mass[:, -1] = self.posterior[-1] * ((1.0 - broad) * usual + broad * even)
        return mass

    def prospects(self, checks: Sequence[int]) -> list[Prospect]:
        """Expected information and decision value of each check.

        Information is H(repair) + H(outcome) - H(repair, outcome).
        """
        found: dict[int, Prospect] = {}
        unknown = self.entropy_bits
        for batch in self._batches(np.array(checks, dtype=np.intp)):
            mass = self.mass(batch)
            joint, outcome = _entropy_bits(mass, (1, 2)), _entropy_bits(mass.sum(axis=1), (1,))
            bits = np.maximum(unknown + outcome - joint, 0.0)
            best = mass[:, :-1].max(axis=1, initial=0.0).sum(axis=1)
            told = map(Prospect, bits.tolist(), best.tolist())
            found.update(zip(batch.tolist(), told, strict=True))
        return [found[check] for check in checks]

    def outcomes(self, check: int) -> FloatArray:
        """Probability of each outcome of a check, float [bins]."""
        return np.asarray(self.mass(np.array([check]))[0].sum(axis=0))

    def is_choice(self, check: int) -> bool:
        """Whether a check is a choice and not a number."""
        return bool(self.bins.first[check] >= 0)

    def _slip(self, check: int) -> float:
        doubts = self.doubts
        return doubts.choice_slip if self.is_choice(check) else doubts.reading_slip

    def _batches(self, checks: IntArray) -> Iterator[IntArray]:
        """Checks of one form and about as many bins each, few enough for the processor's cache."""
        at_once = max(1, CACHED // len(self.weight)) if len(self.weight) else len(checks)
        is_choice = self.bins.is_choice(checks)
        for form in (checks[is_choice], checks[~is_choice]):
            alike = form[np.argsort(self.bins.count[form], kind="stable")]
            yield from (alike[at : at + at_once] for at in range(0, len(alike), at_once))

    def after(self, check: int, outcome: int) -> Outlook:
        """The outlook once a check has had an outcome (a bin, or the number of a choice)."""
        slip = self._slip(check)
        even = slip / int(self.bins.count[check])
        weight = self.weight * ((1.0 - slip) * self.bins.likelihood(check, outcome) + even)
        none = float(self.mass(np.array([check]))[0, -1, outcome])
        total = float(weight.sum()) + none
        return Outlook._reduced(self.bins, self.doubts, weight / total, self.group, none / total)


def _entropy_bits(probability: FloatArray, axes: tuple[int, ...]) -> FloatArray:
    """-Σ p log2 p over some axes, with 0 log 0 = 0."""
    logs = np.log(np.maximum(probability, TINY))
    logs *= probability
    return np.asarray(logs.sum(axis=axes) / -np.log(2.0))
