"""The few unknowns of a motor that meet its plate best: damped Gauss-Newton steps between walls.

K. Levenberg 1944 and D. Marquardt 1963.  A library would do it too, and would take longer to load
than all fits of a unit take.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from rungwise.parts import FloatArray

STEP = 1e-6
"""Of each unknown to either side, for what the misfit makes of it: the unknowns are logarithms."""

ENOUGH = 1e-12
"""A step shorter than this is none."""

STEPS = 200
"""Most steps of a search; plates of motors come to rest in 5 to 40."""

LEAST_DAMPING, MOST_DAMPING = 1e-12, 1e12

Misfit = Callable[[FloatArray], FloatArray]


def least_squares(
    misfit: Misfit, start: FloatArray, low: FloatArray, high: FloatArray
) -> FloatArray:
    """Unknowns between `low` and `high` of the least squares of `misfit`, from `start` on."""
    x, damping = start, 1e-3
    off = misfit(x)
    for _ in range(STEPS):
        slope = _slope(misfit, x)
        pull = slope.T @ off
        free = ~((x <= low) & (pull > 0) | (x >= high) & (pull < 0))
        while damping < MOST_DAMPING:
            to = np.clip(x + _step(slope, off, free, damping), low, high)
            better = misfit(to)
            if better @ better <= off @ off:
                break
            damping *= 4.0
        else:
            return x
        moved = float(np.abs(to - x).max())
        x, off, damping = to, better, max(damping / 9.0, LEAST_DAMPING)
        if moved < ENOUGH:
            break
    return x


def _slope(misfit: Misfit, x: FloatArray) -> FloatArray:
    """Change of each part of the misfit with each unknown, [parts, unknowns]."""
    sides = STEP * np.eye(len(x))
    return np.stack([(misfit(x + side) - misfit(x - side)) / (2 * STEP) for side in sides], axis=1)


def _step(
    slope: FloatArray, off: FloatArray, free: npt.NDArray[np.bool_], damping: float
) -> FloatArray:
    """A step of the unknowns that are `free`; the others lean on their walls."""
    step, some = np.zeros(len(free)), slope[:, free]
    square = some.T @ some
    step[free] = -np.linalg.solve(square + damping * np.diag(np.diag(square)), some.T @ off)
    return step
