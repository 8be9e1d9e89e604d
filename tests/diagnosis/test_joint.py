"""Several meter readings together: their density, their slips, and what they share."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm
from tests.diagnosis.small_tables import suspect

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, ReadingModel
from rungwise.diagnosis.joint import UNRELATED, JointReadings
from rungwise.diagnosis.tolerance import Tolerances

COVARIANCE = np.array([[0.04, 0.03, 0.0], [0.03, 0.05, 0.01], [0.0, 0.01, 0.02]])
VALUE = np.array([105.0, 52.0, 19.5])
MIDDLE = np.array([100.0, 50.0, 20.0])
NOISE = np.array([0.01, 0.02, 0.015])
SLIP = np.array([0.01, 0.02, 0.03])
WILD = np.array([1e-3, 2e-3, 5e-3])


def readings(slip: np.ndarray = SLIP) -> JointReadings:
    """Three readings that share tolerances, on one particle."""
    return JointReadings(
        value=VALUE,
        middle=MIDDLE[None, :],
        noise=(NOISE * MIDDLE)[None, :],
        covariance=COVARIANCE,
        usual_noise=NOISE,
        slip=slip,
        wild=WILD,
    )


def density(columns: list[int]) -> float:
    """Of some of the readings, by scipy."""
    shared = COVARIANCE + np.diag(NOISE**2)
    scale = np.outer(MIDDLE, MIDDLE)
    spread = (shared * scale)[np.ix_(columns, columns)]
    return float(multivariate_normal(MIDDLE[columns], spread).pdf(VALUE[columns]))


def apart(slip: np.ndarray) -> float:
    """Of the readings each for itself."""
    width = np.hypot(NOISE, np.sqrt(np.diag(COVARIANCE))) * MIDDLE
    core = norm(MIDDLE, width).pdf(VALUE)
    return float(np.prod((1.0 - slip) * core + slip * WILD))


def test_without_slips_it_is_the_multivariate_normal_density() -> None:
    """Against scipy.stats.multivariate_normal, with the share of readings taken apart."""
    none = np.zeros(3)
    exact = (1.0 - UNRELATED) * density([0, 1, 2]) + UNRELATED * apart(none)
    assert np.exp(readings(none).log_likelihood()[0]) == pytest.approx(exact, rel=1e-9)


def test_one_slip_is_counted_exactly() -> None:
    """Sum over no slip and over each single one, every term by scipy."""
    right = 1.0 - SLIP
    together = np.prod(right) * density([0, 1, 2])
    for at in range(3):
        others = [each for each in range(3) if each != at]
        together += SLIP[at] * WILD[at] * np.prod(right[others]) * density(others)
    exact = (1.0 - UNRELATED) * together + UNRELATED * apart(SLIP)
    assert np.exp(readings().log_likelihood()[0]) == pytest.approx(exact, rel=1e-9)


def test_a_wild_reading_leaves_what_the_others_say() -> None:
    """240 V typed as 24: two particles that the other readings tell apart stay told apart."""
    middle = np.array([MIDDLE, MIDDLE * [1.0, 1.0, 3.0]])
    both = replace(readings(), value=VALUE * [0.1, 1.0, 1.0], middle=middle, noise=NOISE * middle)
    right, wrong = both.log_likelihood()
    assert right - wrong > 2.0
    assert right > np.log(SLIP[0] * WILD[0]) - 12.0


def test_a_reading_that_cannot_be_made_says_nothing_of_the_particle() -> None:
    unmade = replace(readings(), middle=np.array([[np.nan, np.inf, 20.0]]))
    told = np.exp(unmade.log_apart()[0])
    assert told[0] == pytest.approx(WILD[0])
    assert told[1] == pytest.approx(SLIP[1] * WILD[1])


def tolerant_table(checks: int, seed: int, particles: int = 48) -> FaultTable:
    """Two suspects that differ in the last check only; every check has its own tolerance.

    The first two checks share most of theirs, as two places that show the supply volts do.
    """
    rng = np.random.default_rng(seed)
    own = rng.normal(0.0, 0.05, (particles, checks))
    own[:, 1] = own[:, 0] + rng.normal(0.0, 0.002, particles)
    reading = 100.0 * np.exp(own)
    moved = reading.copy()
    moved[:, -1] *= 2.0
    both = np.concatenate([reading, moved, reading])
    cards = tuple(CheckCard(f"c{at}", f"c{at}", unit="V") for at in range(checks))
    suspects = (suspect("usual"), suspect("moved"), suspect("like usual"))
    return FaultTable(
        suspects, cards, np.repeat(np.arange(3), particles), both, np.full(both.shape, 0.2)
    )


def test_tolerances_are_taken_out_and_found_again() -> None:
    table = tolerant_table(6, seed=1)
    tolerances = Tolerances.of(table)
    of_usual, of_moved = tolerances.middle[:48], tolerances.middle[48:96]
    assert np.ptp(of_usual, axis=0).max() < 1e-9
    np.testing.assert_allclose(of_moved[:, -1], 2.0 * of_usual[:, -1])
    covariance = tolerances.covariance(np.arange(6))
    log = np.log(table.reading[:48])
    np.testing.assert_allclose(np.diag(covariance), log.var(axis=0), rtol=1e-6)
    correlation = covariance[0, 1] / np.sqrt(covariance[0, 0] * covariance[1, 1])
    assert correlation == pytest.approx(np.corrcoef(log[:, 0], log[:, 1])[0, 1], abs=1e-6)
    assert covariance[2, 4] == 0.0
    np.testing.assert_allclose(tolerances.spread, log.std(axis=0), rtol=1e-6)


def test_suspects_without_common_draws_have_no_tolerances_to_part() -> None:
    table = tolerant_table(3, seed=2)
    rows = np.arange(table.particles - 1)
    uneven = FaultTable(
        table.suspects,
        table.checks,
        table.suspect_of[rows],
        table.reading[rows],
        table.reading_sd[rows],
    )
    assert Tolerances.of(uneven).spread.max() == 0.0
    belief = Belief.start(uneven).observe("c0", 101.0).observe("c2", 200.0)
    assert belief.best_repair()[0] == "repair moved"


def test_many_readings_of_what_a_fault_leaves_alone_do_not_tell_suspects_apart() -> None:
    """Twenty tolerances at once are beyond any cloud of 48; they must not pass for evidence."""
    table = tolerant_table(21, seed=3)
    rng = np.random.default_rng(4)
    belief = Belief.start(ReadingModel(table))
    before = belief.by_suspect()
    for at in range(2, 20):
        belief = belief.observe(f"c{at}", 100.0 * float(np.exp(rng.normal(0.0, 0.05))))
    after = belief.by_suspect()
    for name, chance in before.items():
        assert after[name] == pytest.approx(chance, rel=0.05)
    belief = belief.observe("c20", 195.0)
    assert belief.by_suspect()["moved"] > 0.95


def test_two_places_that_show_the_same_volts_are_compared_with_each_other() -> None:
    """10 % low at both is a low supply, within its tolerance; at one of the two it fits nothing."""
    belief = Belief.start(ReadingModel(tolerant_table(6, seed=5), Doubts()))
    both = belief.observe("c0", 90.0).observe("c1", 90.0)
    one = belief.observe("c0", 100.0).observe("c1", 90.0)
    assert both.surprise().max() < 0.0
    assert one.surprise().max() > 0.0
    # Seen alone, 90 V is as ordinary as when it is seen twice.
    assert belief.observe("c1", 90.0).surprise()[0] < 0.0
