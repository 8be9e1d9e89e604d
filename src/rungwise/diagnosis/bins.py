"""Foretold readings in bins some errors wide, so that noise does not pass for information."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis import foretold
from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray
from rungwise.diagnosis.foresight import Foresight

SPACING = 3.0  # deviations from one bin's middle to the next
MOST_BINS = 40  # a check that tells more apart gets a wider spacing
ROUNDING = 1e-9  # of a spacing: what lies nearer to a bin's middle lies on it


@dataclass(frozen=True, slots=True, eq=False)
class ReadingBins:
    """The outcome of every check on every particle, as shares of bins.

    A number's mass is split between the two nearest bin middles in proportion to nearness (a
    linear hat), so two readings that noise hides from each other get nearly the same shares.
    Bins nobody reaches are left out. OL has a bin of its own, and a choice is its own bin.

    count: int [M], bins (or choices) of each check.
    lower: uint8 [M, N], the lower of the two bins; `count` where the check cannot be made.
    share: float32 [M, N], the share of the upper one, `lower + 1`.
    chance: float [C, N], the choices of all choice checks below each other.
    first: int [M], the row in `chance` of a check's first choice, -1 for a number.
    partial: bool [M], whether a check cannot be made on some particle.
    """

    count: IntArray
    lower: npt.NDArray[np.uint8]
    share: npt.NDArray[np.float32]
    chance: FloatArray
    first: IntArray
    partial: npt.NDArray[np.bool_]

    @classmethod
    def of(cls, foresight: Foresight, weight: FloatArray) -> ReadingBins:
        """From what is foretold on some particles, float [n], and how much each is believed."""
        table = foresight.model.table
        # Whatever rounds otherwise, the phone that works a call without signal too, must come to
        # the same bins: one that only rounding reaches is none.
        lower, share, count = foretold.binned(foresight.mean, _scale(foresight, weight))
        choice = np.array([table.checks[check].form == "choice" for check in foresight.checks])
        told = [table.choice_probability[int(check)] for check in foresight.checks[choice]]
        count[choice] = [each.shape[1] for each in told]
        first = np.full(len(foresight.checks), -1, np.intp)
        first[choice] = np.cumsum(count[choice]) - count[choice]
        chance = np.empty((int(count[choice].sum()), len(foresight.rows)), _sort_of(told))
        for start, each in zip(first[choice], told, strict=True):
            chance[start : start + each.shape[1]] = each[foresight.rows].T
        partial = (lower == count[:, None]).any(axis=1) & (first < 0)
        # One byte for a bin and single precision for a share: both are read for each check weighed,
        # over all particles, and the time goes into memory. A share is not known to seven digits.
        return cls(count, lower, share, chance, first, partial)

    def of_particles(self, rows: IntArray) -> ReadingBins:
        """The same checks on some of the particles."""
        return replace(
            self,
            lower=self.lower.take(rows, axis=1),
            share=self.share.take(rows, axis=1),
            chance=self.chance.take(rows, axis=1),
        )

    def of_checks(self, checks: IntArray) -> ReadingBins:
        """The same particles with some of the checks."""
        return replace(
            self,
            count=self.count[checks],
            lower=self.lower[checks],
            share=self.share[checks],
            first=self.first[checks],
            partial=self.partial[checks],
        )

    def is_choice(self, checks: IntArray) -> npt.NDArray[np.bool_]:
        """Which checks are choices."""
        return self.first[checks] >= 0

    def mass(
        self, checks: IntArray, weight: FloatArray, group: IntArray, groups: int
    ) -> FloatArray:
        """Weight of each group in each bin, float [checks, groups, most bins], zeros to the right.

        checks: columns, either all numbers or all choices. weight: float [N]. group: int [N].
        Particles on which a check cannot be made are spread evenly over its bins.
        """
        most = int(self.count[checks].max())
        if self.is_choice(checks).any():
            return self._choice_mass(checks, most, weight, group, groups)
        # What cannot be made lies in the column behind a check's last bin.
        cells = np.zeros((len(checks), groups, most + 1))
        told = self.lower[checks], self.share[checks]
        foretold.mass_of_numbers(*told, weight, group, cells)
        if self.partial[checks].any():
            self._spread(checks, cells)
        return np.asarray(cells[:, :, :-1])

    def likelihood(self, check: int, outcome: int) -> FloatArray:
        """Probability of one bin (or choice) on every particle, float [N]."""
        if self.first[check] >= 0:
            return np.asarray(self.chance[self.first[check] + outcome])
        lower, share = self.lower[check], self.share[check].astype(np.float64)
        here = (lower == outcome) * (1.0 - share) + (lower == outcome - 1) * share
        return np.where(lower == self.count[check], 1.0 / int(self.count[check]), here)

    def _choice_mass(
        self, checks: IntArray, most: int, weight: FloatArray, group: IntArray, groups: int
    ) -> FloatArray:
        mass = np.zeros((len(checks), groups, most))
        for place, check in enumerate(checks):
            first = self.first[check]
            chance = self.chance[first : first + self.count[check]]
            foretold.mass_of_choices(chance, weight, group, mass[place])
        return mass

    def _spread(self, checks: IntArray, mass: FloatArray) -> None:
        """Take the column of those that cannot be made, at `count`, and spread it evenly."""
        count = self.count[checks]
        column = np.broadcast_to(count[:, None, None], (*mass.shape[:2], 1))
        unknown = np.take_along_axis(mass, column, axis=2)
        np.put_along_axis(mass, column, 0.0, axis=2)
        inside = np.arange(mass.shape[2]) < count[:, None]
        mass += unknown / count[:, None, None] * inside[:, None, :]


def _sort_of(told: Sequence[RealArray]) -> npt.DTypeLike:
    """In what precision choices are told."""
    return np.result_type(*told) if told else np.float64


def _scale(foresight: Foresight, weight: FloatArray) -> foretold.Scale:
    """The bins of each check, for readings foretold on particles of these weights."""
    top = foresight.model.scale.top[foresight.checks]
    low, high, sharpness = foretold.spans(foresight.mean, foresight.sd, weight, top)
    low, high = (np.where(np.isfinite(each), each, 0.0) for each in (low, high))
    # The harmonic mean: broad deviations at one end, such as near zero, must not hide what can be
    # told apart at the other. So many spacings have one bin more, and OL has its own: together the
    # most.
    width = np.maximum(SPACING / sharpness, (high - low) / (MOST_BINS - 2))
    # Where all particles read alike there is neither width nor deviation, and any width will do:
    # all fall into the first bin, and the check tells nothing.
    return foretold.Scale(low, np.maximum(width, 1e-12), top, MOST_BINS, ROUNDING)
