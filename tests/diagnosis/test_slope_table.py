"""Slopes kept as short lists are the slopes in full."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.foretold import Slopes, shared_by
from rungwise.diagnosis.slope_table import SlopeTable


@pytest.fixture
def full() -> FloatArray:
    """Of 5 suspects, 7 checks and 30 unknowns, a tenth of them not zero; one check follows none."""
    rng = np.random.default_rng(4)
    slope = rng.normal(size=(5, 7, 30)) * (rng.random((5, 7, 30)) < 0.1)
    slope[:, 3] = 0.0
    return slope.astype(np.float32).astype(np.float64)


def test_the_short_lists_hold_every_slope(full: FloatArray) -> None:
    table = SlopeTable.of(full)
    np.testing.assert_array_equal(table.full(), full)
    np.testing.assert_array_equal(table.full(np.array([6, 3, 0])), full[:, [6, 3, 0]])
    assert table.by.shape[2] < 30
    assert (len(table), table.checks, table.unknowns) == (5, 7, 30)


def test_what_checks_share_with_readings_is_the_product_of_their_slopes(full: FloatArray) -> None:
    """Against the full slopes and numpy: B·R', and the variance B·R'·P·R·B' that readings take."""
    rng = np.random.default_rng(5)
    families, readings = rng.normal(size=(7, 2)), rng.normal(size=(1, 4, 32))
    root = rng.normal(size=(4, 4))
    precision, checks = root @ root.T, np.array([0, 3, 5])
    table = SlopeTable.of(full)
    slopes = Slopes(table.unknown, table.by, families)
    shared, told = shared_by(slopes, checks, np.array([2]), readings, precision[None])
    whole = np.hstack([full[2, checks], families[checks]]) @ readings[0].T
    np.testing.assert_allclose(shared[0].T, whole, rtol=1e-6, atol=1e-7)
    np.testing.assert_allclose(told[0], ((whole @ precision) * whole).sum(axis=1), rtol=1e-6)


def test_the_variance_is_the_sum_of_squares(full: FloatArray) -> None:
    np.testing.assert_allclose(SlopeTable.of(full).variance(), (full**2).sum(axis=2), rtol=1e-6)


def test_no_unknown_at_all_is_a_table_too() -> None:
    table = SlopeTable.of(np.zeros((1, 3, 0)))
    assert table.full().shape == (1, 3, 0)
