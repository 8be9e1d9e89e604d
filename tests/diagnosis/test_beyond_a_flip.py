"""Beyond a flip a reading is as uncertain as those that read alike, and no less."""

from __future__ import annotations

import numpy as np

from rungwise.diagnosis.beyond_a_flip import as_uncertain_as_alike, beyond_a_flip
from rungwise.diagnosis.slopes import Raw

FLOOR = np.array([0.01])


def test_a_reading_far_from_its_anchors_lies_beyond_a_flip() -> None:
    """Three particles, then one anchor that reads 24: open, closed, and one that cannot be read."""
    reading = np.array([[24.5], [0.0], [np.nan], [24.0]])
    raw = Raw(reading, np.full((4, 1), 0.1), {}, 1, FLOOR)
    found = beyond_a_flip(raw, 3, 3, np.zeros((1, 3), dtype=np.intp), 1)
    assert found[:, 0].tolist() == [False, True, False]


def test_it_borrows_the_spread_of_the_particle_that_reads_most_like_it() -> None:
    """24 V of a circuit whose volts nobody told are good to a tenth, and not to the last digit."""
    reading = np.array([[0.0], [25.0], [24.0], [12.0]])
    sd = np.full((4, 1), 0.05)
    beyond = np.array([[False], [False], [True], [False]])
    variance = np.array([[0.0], [0.01], [0.04]])
    wider = as_uncertain_as_alike(reading, sd, beyond, variance, np.array([0, 1, 0, 2]), FLOOR)
    assert np.allclose(wider[:, 0], [0.05, 0.05, np.hypot(0.05, 24.0 * 0.1), 0.05], rtol=1e-6)


def test_where_nothing_reads_near_its_anchor_a_reading_keeps_its_own_error() -> None:
    alone = as_uncertain_as_alike(
        np.array([[24.0]]), np.array([[0.05]]), np.array([[True]]), np.array([[0.01]]),
        np.array([0]), FLOOR,
    )  # fmt: skip
    assert alone[0, 0] == 0.05
