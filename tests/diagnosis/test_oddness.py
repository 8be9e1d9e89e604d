"""Odd is not impossible: what fits, what nothing gives, and which two cannot both be right."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chi2, norm
from tests.diagnosis.small_tables import suspect

from rungwise.diagnosis import Belief, CheckCard, FaultTable, ReadingModel

SUPPLY = 0.05
"""Deviation of the supply on the scale; both volt checks follow it."""


def start() -> Belief:
    """Two suspects: one makes the second place read half; both supplies are unknown alike."""
    reading = np.array([[240.0, 240.0, 10.0], [240.0, 120.0, 10.0]])
    cards = tuple(CheckCard(name, name, unit="V") for name in ("line", "load", "other"))
    slope = np.array([[[SUPPLY], [SUPPLY], [0.0]]])
    table = FaultTable(
        (suspect("good", 9.0), suspect("joint")),
        cards,
        np.arange(2),
        reading,
        np.full(reading.shape, 1.0),
        slope=slope,
        tangent=0.0 * reading,
    )
    return Belief.start(ReadingModel(table))


def test_a_true_reading_of_a_rare_fault_is_odd_and_not_impossible() -> None:
    belief = start().observe("line", 240.0).observe("load", 120.0)
    assert belief.best_repair()[0] == "repair joint"
    assert not belief.impossible(1)
    assert belief.fits()[1] > 0.05
    assert belief.clashes() == ()


def test_a_reading_that_no_suspect_gives_is_impossible() -> None:
    belief = start().observe("other", 40.0)
    assert belief.impossible(0)
    assert belief.misfit() < 1e-6


def test_two_readings_that_no_suspect_gives_together_are_named_as_a_pair() -> None:
    """250 V at one place and 225 V at the other: each is an ordinary supply, both are not."""
    belief = start().observe("line", 250.0).observe("load", 225.0).observe("other", 10.0)
    assert not belief.impossible(0)
    assert not belief.impossible(1)
    assert belief.clashes() == ((0, 1),)
    fitting = start().observe("line", 225.0).observe("load", 225.0)
    assert fitting.clashes() == ()


def test_the_tail_of_one_reading_is_the_normal_s() -> None:
    """By scipy.stats.norm, on the scale: 2 Φ(-|z| / sd); one reading, one suspect believed."""
    belief = Belief.start(start().model, {"joint": 0.0}).observe("line", 252.0)
    model = belief.model
    off = float(model.scale.of_reading(0, 252.0)) - model.z[0, 0]
    sd = np.sqrt(SUPPLY**2 + model.variance[0, 0])
    assert belief.fits()[0] == pytest.approx(2.0 * norm.sf(abs(off) / sd), rel=1e-6)


def test_the_misfit_is_the_tail_of_chi_square() -> None:
    """By scipy.stats.chi2 with as many degrees of freedom as readings."""
    belief = Belief.start(start().model, {"joint": 0.0})
    belief = belief.observe("line", 252.0).observe("other", 11.5)
    model = belief.model
    off = model.scale.of_reading(np.array([0, 2]), np.array([252.0, 11.5])) - model.z[0, [0, 2]]
    spread = model.variance[0, [0, 2]] + np.array([SUPPLY**2, 0.0])
    assert belief.misfit() == pytest.approx(chi2.sf((off**2 / spread).sum(), 2), rel=1e-6)


def test_a_reading_speaks_for_a_suspect_by_the_ratio_of_what_both_make_of_it() -> None:
    belief = start().observe("load", 120.0)
    ratio = belief.log_ratio("joint", 0, "good")
    table = belief.table
    one, other = (
        belief.model.log_likelihood(belief.readings)[table.suspect_of == place] for place in (1, 0)
    )
    assert ratio == pytest.approx(float((one - other)[0]))
    assert ratio > np.log(20.0)
