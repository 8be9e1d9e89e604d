"""Upkeep against published figures: source and tolerance beside each check."""

from __future__ import annotations

import pytest
from scipy import stats

from rungwise.maintenance.gamma_rate import GammaRate, by_consensus
from rungwise.maintenance.van_stock import critical_ratio, least_enough, normal_order
from rungwise.maintenance.weibull import Life, exact_mean_interval, fit_weibull

NIST_FAILED_H = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
PLANE_9_H = (3, 5, 7, 18, 43, 85, 91, 98, 100, 130, 230, 487)
PLANE_7_H = (3, 5, 5, 13, 14, 15, 22, 22, 23, 30, 36, 39, 44, 46, 50, 72, 79, 88, 97, 102, 139,
             188, 197, 210)  # fmt: skip


def test_weibull_matches_the_nist_censored_example() -> None:
    """NIST/SEMATECH e-Handbook 8.4.1.3, seen: to the places printed there (1 in 10^4 here)."""
    failed = [Life(float(h), failed=True) for h in NIST_FAILED_H]
    fit = fit_weibull([*failed, *[Life(500.0, failed=False)] * 10])
    assert fit.scale.middle == pytest.approx(606.5280, rel=1e-4)
    assert fit.shape.middle == pytest.approx(1.7208, abs=1e-4)
    assert fit.log_likelihood == pytest.approx(-75.135, abs=1e-3)
    assert fit.aic == pytest.approx(154.27, abs=0.005)
    assert fit.mean == pytest.approx(540.737, rel=1e-4)
    assert fit.sd == pytest.approx(323.806, rel=1e-4)


def test_weibull_matches_scipys_censored_fit() -> None:
    """Fitted against scipy's own censored maximum likelihood, an independent search: 1 in 1000."""
    data = stats.CensoredData.right_censored(
        [*NIST_FAILED_H, *[500] * 10], [False] * 10 + [True] * 10
    )
    shape, _, scale = stats.weibull_min.fit(data, floc=0)
    failed = [Life(float(h), failed=True) for h in NIST_FAILED_H]
    fit = fit_weibull([*failed, *[Life(500.0, failed=False)] * 10])
    assert fit.shape.middle == pytest.approx(shape, rel=1e-3)
    assert fit.scale.middle == pytest.approx(scale, rel=1e-3)
    assert fit.shape.holds(shape)
    assert fit.scale.low < scale < fit.scale.high


@pytest.mark.parametrize(
    ("hours", "shape", "scale", "told"),
    [
        (PLANE_9_H, 0.79394, 94.965, -67.61851),
        (PLANE_7_H, 1.02492, 64.792, -123.84830),
    ],
)
def test_weibull_of_the_aircraft_air_conditioning_computed(
    hours: tuple[int, ...], shape: float, scale: float, told: float
) -> None:
    """Data: Proschan, Technometrics 5 (1963), seen. Fits computed with scipy: to their places."""
    fit = fit_weibull([Life(float(h), failed=True) for h in hours])
    assert fit.shape.middle == pytest.approx(shape, abs=2e-5)
    assert fit.scale.middle == pytest.approx(scale, abs=2e-3)
    assert fit.log_likelihood == pytest.approx(told, abs=2e-5)


@pytest.mark.parametrize(
    ("hours", "mean", "low", "high"),
    [(PLANE_9_H, 108.0833, 65.898, 209.174), (PLANE_7_H, 64.125, 44.594, 100.083)],
)
def test_mean_life_of_the_aircraft_air_conditioning_computed(
    hours: tuple[int, ...], mean: float, low: float, high: float
) -> None:
    """Exact chi-square interval, 95 %, of the same data (computed): to the places given."""
    found = exact_mean_interval(float(sum(hours)), len(hours))
    assert found.middle == pytest.approx(mean, abs=1e-4)
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-3)


def test_gamma_update_matches_nist_8_4_6_from_memory() -> None:
    """NIST 8.4.6: formulas seen, the example's numbers from memory; computed ones to 1 in 10^4."""
    after = GammaRate(2.0, 1400.0).after(2, 1909.0)
    assert (after.shape, after.exposure) == (4.0, 3309.0)
    waits = [1.0 / after.quantile(q) for q in (0.5, 0.8, 0.9, 0.95, 0.05)]
    assert waits == pytest.approx([901.13, 599.995, 495.30, 426.77, 2421.84], rel=1e-4)
    assert 1.0 / after.mean == pytest.approx(827.25, rel=1e-4)
    assert after.below(1.0 / 600.0) == pytest.approx(0.79999, abs=1e-5)


def test_gamma_prior_by_consensus_matches_nist_8_2_5_from_memory() -> None:
    """NIST 8.2.5: method seen, numbers from memory (2.863, 1522.5); computed to 1 in 10^5."""
    found = by_consensus(600.0, 250.0, 0.95)
    assert found.shape == pytest.approx(2.86306, rel=1e-5)
    assert found.exposure == pytest.approx(1522.51, rel=1e-5)


def test_planned_test_time_matches_nist_8_3_1_5() -> None:
    """NIST 8.3.1.5, formula seen: after 1909 h with 2 failures one is 80 % sure of 600 h."""
    after = GammaRate(2.0, 1400.0).after(2, 1909.03)
    assert after.below(1.0 / 600.0) == pytest.approx(0.80, abs=1e-5)


def test_newsvendor_matches_nahmias_from_memory() -> None:
    """Nahmias, "Mac's Computer Journal": mean, sd, rule seen; the rest memory: Q 15.24 -> 15.

    The book reads z from a table (0.74), hence 0.02 on Q; computed 15.220 to 1 in 1000.
    """
    ratio = critical_ratio(0.75 - 0.25, 0.25 - 0.10)
    assert ratio == pytest.approx(0.76923, abs=1e-5)
    order = normal_order(11.73, 4.74, ratio)
    assert order == pytest.approx(15.24, abs=0.025)
    assert order == pytest.approx(15.220, abs=1e-3)


@pytest.mark.parametrize(
    ("mean", "sd", "short", "over", "order"),
    [
        # Textbook exercise, price 15, cost 10, salvage 3: seen without answer; computed.
        (10000.0, 2000.0, 5.0, 7.0, 9579.14),
        # Published exercise, gain 40, loss 10: seen without answer; computed.
        (1000.0, 200.0, 40.0, 10.0, 1168.32),
    ],
)
def test_newsvendor_exercises_computed(
    mean: float, sd: float, short: float, over: float, order: float
) -> None:
    """Normal demand: to the places computed."""
    assert normal_order(mean, sd, critical_ratio(short, over)) == pytest.approx(order, abs=0.01)


@pytest.mark.parametrize(("mean", "ratio", "stock"), [(2, 0.8, 3), (3, 0.9, 5), (5, 0.75, 6)])
def test_poisson_stock_rows_computed(mean: float, ratio: float, stock: int) -> None:
    """Smallest stock that meets Poisson demand with the ratio (computed with scipy): exact."""
    assert least_enough(stats.poisson(mean), ratio) == stock
