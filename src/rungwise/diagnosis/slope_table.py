"""Slopes of all readings by all unknowns, of which few are not zero.

A reading follows few of a unit's unknowns, about one in thirty.  So each reading keeps a short list
of the unknowns that it follows; all lists have the length of the longest, and are filled up with
other unknowns and zeros.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray


@dataclass(frozen=True, slots=True, eq=False)
class SlopeTable:
    """Change of each reading on the scale by one standard deviation of each unknown.

    unknown: int [Q, M, K], which unknowns the reading of a check follows. by: float32 [Q, M, K],
    by how much. unknowns: how many there are.
    """

    unknown: npt.NDArray[np.unsignedinteger[Any]]
    by: npt.NDArray[np.float32]
    unknowns: int

    @classmethod
    def of(cls, slope: RealArray) -> SlopeTable:
        """From slopes in full, float [Q, M, D]."""
        order = _followed_first(slope != 0.0)
        by = np.take_along_axis(slope, order, axis=2).astype(np.float32)
        return cls(order.astype(np.min_scalar_type(slope.shape[2])), by, slope.shape[2])

    def __len__(self) -> int:
        """Q."""
        return len(self.by)

    @property
    def checks(self) -> int:
        """M."""
        return int(self.by.shape[1])

    def of_checks(self, checks: IntArray | list[int]) -> SlopeTable:
        """Of some checks, by column."""
        return SlopeTable(self.unknown[:, checks], self.by[:, checks], self.unknowns)

    def full(self, checks: IntArray | None = None) -> FloatArray:
        """In full, float [Q, checks, D], all of them by default."""
        some = self if checks is None else self.of_checks(checks)
        found = np.zeros((*some.by.shape[:2], self.unknowns))
        np.put_along_axis(found, some.unknown.astype(np.intp), some.by, axis=2)
        return found

    def variance(self) -> FloatArray:
        """What the unknowns leave uncertain together, float [Q, M]."""
        return np.asarray((self.by.astype(np.float64) ** 2).sum(axis=2))


def _followed_first(follows: npt.NDArray[np.bool_]) -> IntArray:
    """Unknowns of each list, int [Q, M, K]: those followed, rising, then others, rising.

    follows: bool [Q, M, D]. K: what the longest list needs.
    """
    count = follows.sum(axis=2)
    longest = int(count.max(initial=0))
    # Of the first K unknowns so many at least are not followed as a list is short of K.
    others = np.argsort(follows[:, :, :longest], axis=2, kind="stable")
    short = np.maximum(np.arange(longest) - count[:, :, None], 0)
    order = np.take_along_axis(others, short, axis=2)
    group, check, unknown = np.nonzero(follows)
    begin = np.cumsum(count.ravel()) - count.ravel()
    order[group, check, np.arange(len(unknown)) - np.repeat(begin, count.ravel())] = unknown
    return order
