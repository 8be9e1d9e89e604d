"""Upkeep against published figures: source and tolerance beside each check."""

from __future__ import annotations

import pytest
from scipy import stats

from rungwise.maintenance.gamma_rate import GammaRate
from rungwise.maintenance.van_stock import critical_ratio, least_enough


def test_gamma_update_matches_nist_8_4_6_from_memory() -> None:
    """NIST 8.4.6: formulas seen, the example's numbers from memory; computed ones to 1 in 10^4."""
    after = GammaRate(2.0, 1400.0).after(2, 1909.0)
    assert (after.shape, after.exposure) == (4.0, 3309.0)
    waits = [1.0 / after.quantile(q) for q in (0.5, 0.8, 0.9, 0.95, 0.05)]
    assert waits == pytest.approx([901.13, 599.995, 495.30, 426.77, 2421.84], rel=1e-4)
    assert 1.0 / after.mean == pytest.approx(827.25, rel=1e-4)
    assert after.below(1.0 / 600.0) == pytest.approx(0.79999, abs=1e-5)


def test_planned_test_time_matches_nist_8_3_1_5() -> None:
    """NIST 8.3.1.5, formula seen: after 1909 h with 2 failures one is 80% sure of 600 h."""
    after = GammaRate(2.0, 1400.0).after(2, 1909.03)
    assert after.below(1.0 / 600.0) == pytest.approx(0.80, abs=1e-5)


def test_newsvendor_matches_nahmias_from_memory() -> None:
    """Nahmias, "Mac's Computer Journal": mean, sd, rule seen; the rest memory: Q 15.24 -> 15.

    The book reads z from a table (0.74), hence 0.02 on Q; computed 15.220 to 1 in 1000.
    """
    ratio = critical_ratio(0.75 - 0.25, 0.25 - 0.10)
    assert ratio == pytest.approx(0.76923, abs=1e-5)
    order = stats.norm.ppf(ratio, 11.73, 4.74)
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
    ratio = critical_ratio(short, over)
    assert stats.norm.ppf(ratio, mean, sd) == pytest.approx(order, abs=0.01)


@pytest.mark.parametrize(("mean", "ratio", "stock"), [(2, 0.8, 3), (3, 0.9, 5), (5, 0.75, 6)])
def test_poisson_stock_rows_computed(mean: float, ratio: float, stock: int) -> None:
    """Smallest stock that meets Poisson demand with the ratio (computed with scipy): exact."""
    assert least_enough(stats.poisson(mean), ratio) == stock
