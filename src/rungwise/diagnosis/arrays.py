"""Array types of this room, and the one sum it lives on."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

FloatArray: TypeAlias = npt.NDArray[np.float64]
IntArray: TypeAlias = npt.NDArray[np.intp]
BoolArray: TypeAlias = npt.NDArray[np.bool_]
RealArray: TypeAlias = npt.NDArray[np.floating[Any]]
"""Of either length: float32 where there are many."""


def ranked(values: npt.ArrayLike) -> IntArray:
    """Places of the values, the largest first; of equals the first.

    What differs by rounding alone is equal: it may be summed in another order elsewhere.
    """
    return np.argsort(-np.round(np.asarray(values, dtype=np.float64), DIGITS), kind="stable")


DIGITS = 10
"""After the point, of a probability and the like; what comes behind is rounding."""


def sum_by(cell: IntArray, weight: FloatArray, cells: int) -> FloatArray:
    """Sum of the weights [n] that fall in each cell [n], float [cells]."""
    return np.asarray(np.bincount(cell, weight, cells), dtype=np.float64)


def log_sum(log_weight: FloatArray) -> float:
    """Logarithm of the sum of exponentials, nats; minus infinity when every term is."""
    top = float(log_weight.max())
    return top if np.isneginf(top) else top + float(np.log(np.exp(log_weight - top).sum()))
