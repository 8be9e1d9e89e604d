"""The search for a motor's constants, held to scipy's trust-region reflective one."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.optimize

from rungwise.circuit.least_squares import Misfit, least_squares
from rungwise.parts import FloatArray

PLACES = np.linspace(0.0, 3.0, 12)
MADE = 2.0 * np.exp(-1.3 * PLACES) + 0.1 * np.cos(7.0 * PLACES)


def decay(x: FloatArray) -> FloatArray:
    return np.asarray(np.exp(x[0]) * np.exp(-np.exp(x[1]) * PLACES) - MADE)


def valley(x: FloatArray) -> FloatArray:
    """H. H. Rosenbrock 1960: least, and 0, at (1, 1)."""
    return np.array([10.0 * (x[1] - x[0] ** 2), 1.0 - x[0]])


@pytest.mark.parametrize(
    ("misfit", "start", "wall"),
    [(decay, [0.0, 0.0], 3.0), (valley, [-1.2, 1.0], 3.0), (valley, [-0.8, 1.0], 1.1)],
    ids=["decay", "valley", "valley-walled-off"],
)
def test_the_search_ends_where_scipys_does(misfit: Misfit, start: list[float], wall: float) -> None:
    begun = np.array(start)
    low, high = begun - wall, begun + wall
    found = least_squares(misfit, begun, low, high)
    told = scipy.optimize.least_squares(misfit, begun, bounds=(low, high), xtol=1e-14, ftol=1e-14)
    assert (found >= low).all()
    assert (found <= high).all()
    assert (misfit(found) ** 2).sum() <= 2.0 * told.cost * (1.0 + 1e-9) + 1e-18
