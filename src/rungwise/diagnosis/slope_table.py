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

    @classmethod
    def owned(cls, slope: RealArray, owner: IntArray, unknowns: int) -> SlopeTable:
        """From slopes [Q, groups, M], each by the unknown `owner` (int [groups, M]).

        Those with an owner below 0 are left out; a check has no owner twice.
        """
        mine = owner >= 0
        ranked = np.argsort(np.where(mine, owner, unknowns), axis=0, kind="stable")
        rising = np.take_along_axis(owner, ranked, axis=0)
        by = np.take_along_axis(slope, ranked[None], axis=1)
        follows = (by != 0.0) & (rising >= 0)
        # Most lists of a check follow the same: each sort of list is made once.
        bits = np.left_shift(1, np.arange(len(owner)))
        sort = np.einsum("g,qgm->qm", bits, follows) + (np.arange(slope.shape[2]) << len(owner))
        _, first, which = np.unique(sort, return_index=True, return_inverse=True)
        group, check = np.divmod(first, slope.shape[2])
        place, unknown = _lists(follows[group, :, check], rising.T[check], unknowns)
        which = which.reshape(sort.shape)
        held = np.where(place < 0, 0, place)[which]
        found = np.take_along_axis(by.transpose(0, 2, 1), held, axis=2)
        found[(place < 0)[which]] = 0.0
        return cls(unknown.astype(np.min_scalar_type(unknowns))[which], found, unknowns)

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

    def times(self, share: float) -> SlopeTable:
        """All slopes so many times as steep."""
        return SlopeTable(self.unknown, np.float32(share) * self.by, self.unknowns)

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


def _lists(
    follows: npt.NDArray[np.bool_], unknown: IntArray, unknowns: int
) -> tuple[IntArray, IntArray]:
    """Of lists that follow some of the groups: the groups, -1 behind them, and the unknowns.

    follows, unknown: [lists, groups], of each group the unknown, rising where it is followed. Both
    int [lists, K]; behind those followed stand others, rising.
    """
    full = np.zeros((len(follows), unknowns), dtype=bool)
    at, group = np.nonzero(follows)
    full[at, unknown[at, group]] = True
    order = _followed_first(full[:, None])[:, 0]
    place = np.full(order.shape, -1)
    count = follows.sum(axis=1)
    begin = np.cumsum(count) - count
    place[at, np.arange(len(at)) - np.repeat(begin, count)] = group
    return place, order
