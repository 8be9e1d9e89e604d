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

ROWS = 64
"""Particles whose bins are laid together: of 400 checks they are 200 kB."""

Bins = npt.NDArray[np.uint8]
Shares = npt.NDArray[np.float32]
Chances = npt.NDArray[np.floating]


class Cells(NamedTuple):
    """What a table foretells of m checks on some particles before any reading.

    rows: int [n]. middle, variance, tangent: of all particles [N, m]. follows: int [N]. prior:
    float [Q, m], what the unknowns leave uncertain.
    """

    rows: IntArray
    middle: RealArray
    variance: RealArray
    tangent: RealArray
    follows: IntArray
    prior: FloatArray


class Learned(NamedTuple):
    """What readings have told of the same particles; d readings, P slopes that are followed.

    place: int [Q], of each slopes that is followed. shared: float [P, d, m]. told: float [P, m],
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
    checks = mean.shape[1]
    for i in range(len(cells.rows)):
        row = cells.rows[i]
        q = cells.follows[row]
        place, shift, left = learned.place[q], learned.shift[i], learned.left[i]
        middle, tangent, here = cells.middle[row], cells.tangent[row], mean[i]
        variance, prior, told, about = (
            cells.variance[row],
            cells.prior[q],
            learned.told[place],
            sd[i],
        )
        for m in range(checks):
            here[m] = middle[m] + shift * tangent[m]
        for d in range(learned.sound.shape[1]):
            sound, shared = learned.sound[i, d], learned.shared[place, d]
            for m in range(checks):
                here[m] += sound * shared[m]
        for m in range(checks):
            unknown = max(prior[m] - told[m], 0.0)
            about[m] = np.sqrt(variance[m] + left * np.float64(tangent[m]) ** 2 + unknown)


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
    precision: float [P, d, d]. Gives float [P, d, m] and float [P, m].
    """
    groups, readings, _ = basis.shape
    shared = np.zeros((groups, readings, len(checks)))
    told = np.zeros((groups, len(checks)))
    drawn, of_check = np.empty(len(checks)), np.empty(readings)
    for p in range(groups):
        # By what is followed: what a check has in common with all readings lies together.
        followed = np.ascontiguousarray(basis[p].T)
        for m in range(len(checks)):
            _share(slopes, checks[m], some[p], followed, of_check)
            for d in range(readings):
                shared[p, d, m] = of_check[d]
        # Check by check in the innermost loops, which the compiler turns into vectors.
        for d in range(readings):
            drawn[:] = 0.0
            for e in range(readings):
                share, other = precision[p, d, e], shared[p, e]
                for m in range(len(checks)):
                    drawn[m] += share * other[m]
            here, whole = shared[p, d], told[p]
            for m in range(len(checks)):
                whole[m] += here[m] * drawn[m]
    return shared, told


@njit(cache=True, nogil=True, error_model="numpy")
def _share(slopes: Slopes, check: int, own: int, basis: FloatArray, shared: FloatArray) -> None:
    """Covariance of one check with each reading, by the slopes `own`; basis: float [D + F, d]."""
    # Number by number: a view of a row costs as much as the row.
    shared[:] = 0.0
    for k in range(slopes.by.shape[2]):
        by = np.float64(slopes.by[own, check, k])
        if by == 0.0:
            break  # the rest of a list only fills it up
        unknown = slopes.unknown[own, check, k]
        for d in range(len(shared)):
            shared[d] += by * basis[unknown, d]
    families = slopes.families.shape[1]
    for f in range(families):
        by = slopes.families[check, f]
        if by != 0.0:
            for d in range(len(shared)):
                shared[d] += by * basis[len(basis) - families + f, d]


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
    lower, share = np.empty((checks, n), np.uint8), np.empty((checks, n), np.float32)
    number, used = np.empty(checks, np.intp), np.zeros(checks, np.uint64)
    # Row by row in the table and check by check in the bins: a few rows at a time are laid as they
    # stand, all checks of each in one go, and then turned.
    places, rests = np.empty((ROWS, checks), np.uint8), np.empty((ROWS, checks), np.float32)
    for start in range(0, n, ROWS):
        count = min(ROWS, n - start)
        for i in range(count):
            _laid(mean[start + i], scale, places[i], rests[i], used)
        for m in range(checks):
            for i in range(count):
                lower[m, start + i] = places[i, m]
                share[m, start + i] = rests[i, m]
    for m in range(checks):
        number[m] = _numbered(lower[m], used[m])
    return lower, share, number


@njit(cache=True, nogil=True, error_model="numpy")
def _laid(
    mean: FloatArray, scale: Scale, lower: Bins, share: Shares, used: npt.NDArray[np.uint64]
) -> None:
    """Lay one particle into the bins of the checks, `used` with a bit for each that is reached."""
    rounding, one, none = scale.rounding, np.uint64(1), np.uint64(0)
    for m in range(len(mean)):
        reading = mean[m]
        at = (reading - scale.low[m]) / scale.width[m]
        over = (reading > scale.top[m]) | (reading == np.inf)
        number = not (np.isnan(reading) or over)
        floor = np.floor(at + rounding)
        rest = at - floor
        held = number & (rest > rounding)
        place = np.int64(floor) if number else 0
        bits = (one | (one + one if held else none)) << np.uint64(place)
        used[m] |= bits if number else none
        lower[m] = place if number else (_OVER if over else _UNMADE)
        share[m] = rest if held else 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def mass_of_numbers(
    lower: Bins, share: Shares, weight: FloatArray, group: IntArray, mass: FloatArray
) -> None:
    """Add the weight of each group in each bin, to float [checks, groups, bins + 1].

    lower, share: [checks, n]. weight, group: [n].
    """
    for c in range(len(lower)):
        for i in range(len(weight)):
            # Number by number: a view of a group's bins costs as much as both sums.
            own, place, upper = group[i], lower[c, i], share[c, i] * weight[i]
            mass[c, own, place] += weight[i] - upper
            if upper != 0.0:
                mass[c, own, place + 1] += upper


@njit(cache=True, nogil=True, error_model="numpy")
def mass_of_choices(chance: Chances, weight: FloatArray, group: IntArray, mass: FloatArray) -> None:
    """Add the weight of each group in each choice of one check, to float [groups, choices].

    chance: [choices, n].
    """
    for c in range(len(chance)):
        for i in range(len(weight)):
            mass[group[i], c] += weight[i] * chance[c, i]


_UNMADE, _OVER = 255, 254


@njit(cache=True, nogil=True, error_model="numpy")
def _numbered(lower: Bins, used: np.uint64) -> int:
    """Number the bins of one check anew, those that somebody reaches; gives how many there are."""
    place, last = np.zeros(256, np.uint8), 0
    for at in range(64):
        place[at] = last
        if (used >> np.uint64(at)) & np.uint64(1):
            last += 1
    over = 0
    for i in range(len(lower)):
        over |= lower[i] == _OVER
    count = max(last + over, 1)
    place[_UNMADE], place[_OVER] = count, last
    for i in range(len(lower)):
        lower[i] = place[lower[i]]
    return int(count)
