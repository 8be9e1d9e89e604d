"""Loops over particles and checks, compiled: what is foretold, and in which bins it lies.

A table has some millions of such cells, and each step of a call goes through all of them.  Worked
cell by cell nothing but the answer is ever written down, where a formula over whole arrays writes
down each of its terms.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray

__all__ = [
    "Cells",
    "Learned",
    "Scale",
    "Slopes",
    "binned",
    "foretell",
    "shared_by",
    "spans",
]

TILE = 16
"""Checks whose bins are written side by side."""

Bins = npt.NDArray[np.uint8]
Shares = npt.NDArray[np.float32]


class Cells(NamedTuple):
    """What a table foretells of some particles and checks before any reading.

    rows: int [n]. checks: int [m]. middle, variance, tangent: of all particles and checks [N, M].
    follows: int [N]. prior: float [Q, M], what the unknowns leave uncertain.
    """

    rows: IntArray
    checks: IntArray
    middle: RealArray
    variance: RealArray
    tangent: RealArray
    follows: IntArray
    prior: FloatArray


class Learned(NamedTuple):
    """What readings have told of the same particles; d readings, P slopes that are followed.

    place: int [Q], of each slopes that is followed. shared: float [P, m, d]. told: float [P, m],
    variance that the readings have taken away. sound: float [n, d]. shift, left: float [n], how far
    the severity has moved, and the variance that is left of it.
    """

    place: IntArray
    shared: FloatArray
    told: FloatArray
    sound: FloatArray
    shift: FloatArray
    left: FloatArray


@njit(cache=True, nogil=True, error_model="numpy")
def foretell(cells: Cells, learned: Learned, mean: FloatArray, sd: FloatArray) -> None:
    """Mean and deviation [n, m] of each reading on the scale, given what was `learned`."""
    for i in range(len(cells.rows)):
        row = cells.rows[i]
        q = cells.follows[row]
        place, sound = learned.place[q], learned.sound[i]
        for m in range(len(cells.checks)):
            check = cells.checks[m]
            tangent = np.float64(cells.tangent[row, check])
            middle = np.float64(cells.middle[row, check]) + learned.shift[i] * tangent
            for d in range(len(sound)):
                middle += sound[d] * learned.shared[place, m, d]
            unknown = max(cells.prior[q, check] - learned.told[place, m], 0.0)
            variance = np.float64(cells.variance[row, check]) + learned.left[i] * tangent**2
            mean[i, m] = middle
            sd[i, m] = np.sqrt(variance + unknown)


class Slopes(NamedTuple):
    """Slopes as lists, as `SlopeTable` has them, and the families of checks, float [M, F]."""

    unknown: npt.NDArray[np.unsignedinteger]
    by: npt.NDArray[np.float32]
    families: FloatArray


@njit(cache=True, nogil=True, error_model="numpy")
def shared_by(
    slopes: Slopes, checks: IntArray, some: IntArray, basis: FloatArray, precision: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Covariance of checks with readings, and the variance that these take away.

    some: int [P], the slopes. basis: float [P, d, D + F], of the readings by all that they follow;
    precision: float [P, d, d]. Gives float [P, m, d] and float [P, m].
    """
    groups, readings, wide = basis.shape
    families = slopes.families.shape[1]
    shared = np.zeros((groups, len(checks), readings))
    told = np.zeros((groups, len(checks)))
    for p in range(groups):
        for m in range(len(checks)):
            check = checks[m]
            for d in range(readings):
                whole = 0.0
                for k in range(slopes.by.shape[2]):
                    by = np.float64(slopes.by[some[p], check, k])
                    whole += by * basis[p, d, slopes.unknown[some[p], check, k]]
                for f in range(families):
                    whole += slopes.families[check, f] * basis[p, d, wide - families + f]
                shared[p, m, d] = whole
            for d in range(readings):
                for e in range(readings):
                    told[p, m] += shared[p, m, d] * precision[p, d, e] * shared[p, m, e]
    return shared, told


@njit(cache=True, nogil=True, error_model="numpy")
def spans(
    mean: FloatArray, sd: FloatArray, weight: FloatArray, top: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Lowest and highest number of each check, and the mean of one over the deviations; [m]."""
    low, high = np.full(mean.shape[1], np.inf), np.full(mean.shape[1], -np.inf)
    sharpness = np.zeros(mean.shape[1])
    for i in range(len(mean)):
        for m in range(mean.shape[1]):
            sharpness[m] += weight[i] / max(sd[i, m], 1e-12)
            if np.isfinite(mean[i, m]) and mean[i, m] <= top[m]:
                low[m] = min(low[m], mean[i, m])
                high[m] = max(high[m], mean[i, m])
    return low, high, sharpness / weight.sum()


class Scale(NamedTuple):
    """The bins of each check: the lowest reading, spacings for one on the scale, end of the range.

    low, width, top: float [m]. most: bins at most. rounding: share of a bin that rounding makes.
    """

    low: FloatArray
    width: FloatArray
    top: FloatArray
    most: int
    rounding: float


@njit(cache=True, nogil=True, error_model="numpy")
def binned(mean: FloatArray, scale: Scale) -> tuple[Bins, Shares, IntArray]:
    """Lower bin [m, n], share of the next one [m, n], and number of bins [m].

    Bins that nobody reaches are left out; what is over range has the last one. The lower bin is
    the number of bins where the check cannot be made.
    """
    n, checks = mean.shape
    lower, share = np.zeros((checks, n), np.uint8), np.zeros((checks, n), np.float32)
    number = np.zeros(checks, np.intp)
    used = np.zeros((checks, scale.most + 1), np.bool_)
    over = np.zeros(checks, np.intp)
    for start in range(0, checks, TILE):
        for i in range(n):
            for m in range(start, min(start + TILE, checks)):
                reading = mean[i, m]
                if np.isnan(reading) or np.isneginf(reading):
                    lower[m, i] = _UNMADE
                elif reading > scale.top[m] or np.isinf(reading):
                    lower[m, i] = _OVER
                    over[m] = 1
                else:
                    at = (reading - scale.low[m]) / scale.width[m]
                    floor = np.floor(at + scale.rounding)
                    rest = at - floor
                    lower[m, i] = np.uint8(floor)
                    used[m, np.intp(floor)] = True
                    if rest > scale.rounding:
                        share[m, i] = rest
                        used[m, np.intp(floor) + 1] = True
    for m in range(checks):
        number[m] = _numbered(lower[m], used[m], over[m])
    return lower, share, number


_UNMADE, _OVER = 255, 254


@njit(cache=True, nogil=True, error_model="numpy")
def _numbered(lower: Bins, used: npt.NDArray[np.bool_], over: int) -> int:
    """Number the bins of one check anew, those that somebody reaches; gives how many there are."""
    place = np.cumsum(used) - 1
    last = place[-1] + 1
    count = max(last + over, 1)
    for i in range(len(lower)):
        if lower[i] == _UNMADE:
            lower[i] = count
        elif lower[i] == _OVER:
            lower[i] = last
        else:
            lower[i] = place[lower[i]]
    return int(count)
