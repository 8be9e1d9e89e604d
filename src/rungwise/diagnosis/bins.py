"""Foretold readings in bins some errors wide, so that noise does not pass for information."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis.arrays import FloatArray, IntArray, sum_by
from rungwise.diagnosis.foresight import Foresight

__all__ = ["ReadingBins"]

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
        table, scale = foresight.model.table, foresight.model.scale
        top = scale.top[foresight.checks]
        lower, share, count = _binned(foresight.mean.T, foresight.sd.T, weight, top)
        first = np.full(len(foresight.checks), -1, np.intp)
        rows: list[FloatArray] = []
        for place, check in enumerate(foresight.checks):
            card = table.checks[check]
            if card.form == "choice":
                count[place], first[place] = len(card.choices), len(rows)
                rows.extend(table.choice_probability[int(check)][foresight.rows].T)
        chance = np.array(rows).reshape(len(rows), len(foresight.rows))
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
        wide = most + 1
        block = np.arange(len(checks))[:, None] * (groups * wide)
        cell = (block + group * wide + self.lower[checks]).ravel()
        upper = (self.share[checks] * weight).ravel()
        mass = sum_by(cell, np.tile(weight, len(checks)) - upper, len(checks) * groups * wide)
        mass[1:] += sum_by(cell, upper, len(mass))[:-1]
        cells = mass.reshape(len(checks), groups, wide)
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
            for choice in range(int(self.count[check])):
                chance = self.chance[self.first[check] + choice]
                mass[place, :, choice] = sum_by(group, weight * chance, groups)
        return mass

    def _spread(self, checks: IntArray, mass: FloatArray) -> None:
        """Take the column of those that cannot be made, at `count`, and spread it evenly."""
        count = self.count[checks]
        column = np.broadcast_to(count[:, None, None], (*mass.shape[:2], 1))
        unknown = np.take_along_axis(mass, column, axis=2)
        np.put_along_axis(mass, column, 0.0, axis=2)
        inside = np.arange(mass.shape[2]) < count[:, None]
        mass += unknown / count[:, None, None] * inside[:, None, :]


def _binned(
    mean: FloatArray, sd: FloatArray, weight: FloatArray, top: FloatArray
) -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.float32], IntArray]:
    """Lower bin [M, N], share of the next one [M, N], number of bins [M].

    mean, sd: float [M, N]. weight: float [N]. top: float [M], above which a meter shows OL.
    """
    over = mean > top[:, None]  # an infinite reading without a top is over range too
    over |= np.isposinf(mean)
    number = np.isfinite(mean) & ~over
    coordinate = _coordinate(np.where(number, mean, np.nan), sd, weight)
    # Whatever rounds otherwise, the phone that works a call without signal too, must come to the
    # same bins: one that only rounding reaches is none.
    floor = np.where(number, np.floor(coordinate + ROUNDING), 0.0).astype(np.intp)
    share = np.where(number, coordinate - floor, 0.0)
    share = np.where(share > ROUNDING, share, 0.0)
    lower, count = _compacted(floor, share, number)
    lower[over] = np.broadcast_to(count[:, None], over.shape)[over]
    count = np.maximum(count + over.any(axis=1), 1)
    unmade = np.isnan(mean)
    lower[unmade] = np.broadcast_to(count[:, None], unmade.shape)[unmade]
    return lower.astype(np.uint8), share.astype(np.float32), count


def _coordinate(mean: FloatArray, sd: FloatArray, weight: FloatArray) -> FloatArray:
    """Readings in spacings above the lowest, NaN where there is no number."""
    low = np.fmin.reduce(mean, axis=1, initial=np.inf)
    high = np.fmax.reduce(mean, axis=1, initial=-np.inf)
    low, high = np.where(np.isfinite(low), low, 0.0), np.where(np.isfinite(high), high, 0.0)
    # The harmonic mean: broad deviations at one end, such as near zero, must not hide what can be
    # told apart at the other.
    width = SPACING * weight.sum() / ((1.0 / np.maximum(sd, 1e-12)) @ weight)
    # So many spacings have one bin more, and OL has its own: together the most.
    width = np.maximum(width, (high - low) / (MOST_BINS - 2))
    # Where all particles read alike there is neither width nor deviation, and any width will do:
    # all fall into the first bin, and the check tells nothing.
    return np.asarray((mean - low[:, None]) / np.maximum(width, 1e-12)[:, None])


def _compacted(
    floor: IntArray, share: FloatArray, number: npt.NDArray[np.bool_]
) -> tuple[IntArray, IntArray]:
    """The bins that somebody reaches, numbered anew; and their number."""
    checks, wide = len(floor), MOST_BINS + 1
    cell = floor + np.arange(checks)[:, None] * wide
    used = np.zeros(checks * wide, dtype=bool)
    used[cell[number]] = True
    used[cell[number & (share > 0.0)] + 1] = True
    place = np.cumsum(used.reshape(checks, wide), axis=1) - 1
    return np.take_along_axis(place, floor, axis=1) * number, place[:, -1] + 1
