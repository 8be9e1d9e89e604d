"""Several meter readings together: their density, their slips, and what they share."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import multivariate_normal, norm
from tests.diagnosis.small_tables import suspect

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, ReadingModel
from rungwise.diagnosis.joint_likelihood import UNRELATED, JointReadings

BASIS = np.array([[[0.20, 0.00], [0.15, 0.10], [0.00, 0.05]]])
TANGENT = np.array([[0.00, 0.05, 0.08]])
VALUE = np.array([4.65, 3.95, 2.97])
MIDDLE = np.array([[4.60, 3.91, 3.00]])
VARIANCE = np.array([[0.01, 0.02, 0.015]]) ** 2
SLIP = np.array([0.01, 0.02, 0.03])
WILD = np.array([0.1, 0.2, 0.15])


def readings(slip: np.ndarray = SLIP) -> JointReadings:
    """Three readings that share two unknowns and the severity, on one particle."""
    follows = np.zeros(1, dtype=np.intp)
    return JointReadings(VALUE, MIDDLE, VARIANCE, BASIS, follows, TANGENT, slip, WILD)


def covariance() -> np.ndarray:
    return np.asarray(
        BASIS[0] @ BASIS[0].T + np.outer(TANGENT[0], TANGENT[0]) + np.diag(VARIANCE[0])
    )


def density(columns: list[int]) -> float:
    """Of some of the readings, by scipy."""
    spread = covariance()[np.ix_(columns, columns)]
    return float(multivariate_normal(MIDDLE[0, columns], spread).pdf(VALUE[columns]))


def apart(slip: np.ndarray) -> float:
    """Of the readings each for itself."""
    core = norm(MIDDLE[0], np.sqrt(np.diag(covariance()))).pdf(VALUE)
    return float(np.prod((1.0 - slip) * core + slip * WILD))


def test_without_slips_it_is_the_multivariate_normal_density() -> None:
    """Against scipy.stats.multivariate_normal, with the share of readings taken apart."""
    none = np.zeros(3)
    exact = (1.0 - UNRELATED) * density([0, 1, 2]) + UNRELATED * apart(none)
    assert np.exp(readings(none).log_likelihood[0]) == pytest.approx(exact, rel=1e-9)


def test_integrating_the_unknowns_is_what_the_covariance_does() -> None:
    """One unknown x ~ N(0, 1) moves two readings: ∫ Π N(y_i; m_i + b_i x, s_i) φ(x) dx."""
    two = replace(
        readings(np.zeros(3)),
        value=VALUE[:2],
        middle=MIDDLE[:, :2],
        variance=VARIANCE[:, :2],
        basis=BASIS[:, :2, :1],
        tangent=0.0 * TANGENT[:, :2],
        slip=np.zeros(2),
        wild=WILD[:2],
    )
    slope, sd = BASIS[0, :2, 0], np.sqrt(VARIANCE[0, :2])

    def given(x: float) -> float:
        return float(np.prod(norm(MIDDLE[0, :2] + slope * x, sd).pdf(VALUE[:2])) * norm.pdf(x))

    assert np.exp(two.log_all[0]) == pytest.approx(quad(given, -8, 8, points=[0.3])[0], rel=1e-6)


def test_one_slip_is_counted_exactly() -> None:
    """Sum over no slip and over each single one, every term by scipy."""
    right = 1.0 - SLIP
    together = np.prod(right) * density([0, 1, 2])
    for at in range(3):
        others = [each for each in range(3) if each != at]
        together += SLIP[at] * WILD[at] * np.prod(right[others]) * density(others)
    exact = (1.0 - UNRELATED) * together + UNRELATED * apart(SLIP)
    assert np.exp(readings().log_likelihood[0]) == pytest.approx(exact, rel=1e-9)


def test_each_reading_given_the_others_is_a_ratio_of_densities() -> None:
    given = np.exp(readings().log_given[0])
    for at in range(3):
        others = [each for each in range(3) if each != at]
        assert given[at] == pytest.approx(density([0, 1, 2]) / density(others), rel=1e-9)


def test_readings_one_after_the_other_multiply_to_all_of_them() -> None:
    """The chain rule: without slips the steps are the joint density."""
    none = readings(np.zeros(3))
    assert none.log_steps[0].sum() == pytest.approx(none.log_all[0], abs=1e-9)


def test_a_wild_reading_leaves_what_the_others_say() -> None:
    """240 V typed as 24: two particles that the other readings tell apart stay told apart."""
    middle = np.vstack([MIDDLE[0], MIDDLE[0] + np.array([0.0, 0.0, 1.1])])
    both = replace(
        readings(),
        value=VALUE - [2.3, 0.0, 0.0],
        middle=middle,
        variance=np.tile(VARIANCE, (2, 1)),
        tangent=np.tile(TANGENT, (2, 1)),
        follows=np.zeros(2, dtype=np.intp),
    )
    right, wrong = both.log_likelihood
    assert right - wrong > 2.0
    assert right > np.log(SLIP[0] * WILD[0]) - 12.0


def test_what_a_slip_pulls_on_is_what_the_others_pull_on_without_it() -> None:
    """Against the same readings taken without the one that is far off (numpy's own inverse)."""
    off = replace(readings(np.full(3, 1e-3)), value=VALUE + np.array([0.0, 2.5, 0.0]))
    kept = [0, 2]
    left = np.linalg.inv(covariance()[np.ix_(kept, kept)]) @ (VALUE - MIDDLE[0])[kept]
    np.testing.assert_allclose(off.sound[0, kept], left, rtol=1e-6)
    assert off.sound[0, 1] == pytest.approx(0.0, abs=1e-6)
    # With it the first reading is asked to make up for what it is off.
    assert np.abs(off.pull[0, 0]) > 20.0 * np.abs(left[0])


def test_a_reading_that_cannot_be_made_says_nothing_of_the_particle() -> None:
    unmade = replace(readings(), middle=np.array([[np.nan, np.inf, 3.0]]))
    told = np.exp(unmade.log_apart[0])
    assert told[0] == pytest.approx(WILD[0])
    assert told[1] == pytest.approx(SLIP[1] * WILD[1])
    without = density([2]) * (1.0 - SLIP[2]) + SLIP[2] * WILD[2]
    exact = WILD[0] * SLIP[1] * WILD[1] * without
    assert np.exp(unmade.log_together[0]) == pytest.approx(exact, rel=1e-9)


def tolerant_table(checks: int) -> FaultTable:
    """Two suspects that differ in the last check only, and a third like the first.

    Every check has an unknown of its own of 5%, except that the first two share one, as two
    places that show the supply volts do.
    """
    reading = np.full((3, checks), 100.0)
    reading[1, -1] = 200.0
    slope = 0.05 * np.eye(checks)
    slope[1] = slope[0]
    cards = tuple(CheckCard(f"c{at}", f"c{at}", unit="V") for at in range(checks))
    suspects = (suspect("usual"), suspect("moved"), suspect("like usual"))
    sd = np.full(reading.shape, 0.2)
    return FaultTable(
        suspects, cards, np.arange(3), reading, sd, slope=slope[None], tangent=0.0 * reading
    )


def test_many_readings_of_what_a_fault_leaves_alone_do_not_tell_suspects_apart() -> None:
    """Twenty unknowns at once; they must not pass for evidence."""
    rng = np.random.default_rng(4)
    belief = Belief.start(ReadingModel(tolerant_table(21)))
    before = belief.by_suspect()
    for at in range(2, 20):
        belief = belief.observe(f"c{at}", 100.0 * float(np.exp(rng.normal(0.0, 0.05))))
    after = belief.by_suspect()
    for name, chance in before.items():
        assert after[name] == pytest.approx(chance, rel=0.05)
    belief = belief.observe("c20", 195.0)
    assert belief.by_suspect()["moved"] > 0.95


def test_two_places_that_show_the_same_volts_are_compared_with_each_other() -> None:
    """10% low at both is a low supply, within its spread; at one of the two it fits nothing."""
    belief = Belief.start(ReadingModel(tolerant_table(6), Doubts()))
    both = belief.observe("c0", 90.0).observe("c1", 90.0)
    one = belief.observe("c0", 100.0).observe("c1", 90.0)
    assert both.surprise().max() < 0.0
    assert one.surprise().max() > 0.0
    # Seen alone, 90 V is as ordinary as when it is seen twice.
    assert belief.observe("c1", 90.0).surprise()[0] < 0.0


def test_a_reading_narrows_what_another_place_is_expected_to_read() -> None:
    """Kalman's update by hand: x̂ = b y / (b² + s²), variance left b² s² / (b² + s²)."""
    belief = Belief.start(ReadingModel(tolerant_table(6))).observe("c0", 105.0)
    model = belief.model
    told = belief.foresee(np.array([0]), np.array([1]))
    off = float(model.scale.of_reading(0, 105.0)) - model.z[0, 0]
    variance = model.variance[0, 0]
    mean = model.z[0, 1] + 0.05**2 * off / (0.05**2 + variance)
    left = 0.05**2 * variance / (0.05**2 + variance) + model.variance[0, 1]
    # A hundredth of the pull is held back for a slip.
    assert told.mean[0, 0] == pytest.approx(mean, rel=2e-3)
    assert told.sd[0, 0] == pytest.approx(np.sqrt(left), rel=1e-9)


def test_a_slip_moves_nothing_of_what_it_shares_with_sound_readings() -> None:
    """Half the volts at one place of three that show the same supply.

    The two sound ones foretell a fourth place as they would alone (left out of the joint normal by
    dropping its row): what they pull against the slip must not move the supply the other way.
    """
    table = tolerant_table(6)
    table.slopes.by[:, 2:5] = table.slopes.by[:, :1]
    table.slopes.unknown[:, 2:5] = table.slopes.unknown[:, :1]
    model = ReadingModel(table)
    sound = Belief.start(model).observe("c0", 103.0).observe("c1", 103.0)
    slipped = sound.observe("c2", 50.0)
    rows, column = np.array([0]), np.array([3])
    alone, beside = (each.foresee(rows, column).mean[0, 0] for each in (sound, slipped))
    usual = float(model.z[0, 3])
    assert alone - usual > 0.02
    assert beside == pytest.approx(alone, abs=0.1 * (alone - usual))
