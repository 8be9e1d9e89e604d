"""The van follows what the shop used: its stock beside the best one, where the rates are known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from rungwise.maintenance.history import StockLine
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.van_stock import WEEKS_A_YEAR, critical_ratio, van_stock
from shop_trial.van_cost import more_than_best, stock_cost, try_uneven, try_van


@pytest.mark.parametrize("guess", [0.02, 0.2, 2.0])
@pytest.mark.parametrize(("used", "weeks"), [(52, 4.0), (156, 4.0), (520, 1.0)])
def test_a_busy_part_is_stocked_by_its_own_year_whatever_was_guessed(
    used: int, weeks: float, guess: float
) -> None:
    """Expected is what was counted within 4%, and the stock no lower than Poisson's by scipy."""
    line = StockLine("capacitor", used=used, weeks=52.0, cost=25.0, expected_a_week=guess)
    prices = ShopPrices()
    (carry,) = van_stock([line], weeks=weeks, prices=prices)
    mean = used / 52.0 * weeks
    ratio = critical_ratio(prices.second_trip, 25.0 * prices.holding_a_year * weeks / WEEKS_A_YEAR)
    best = int(stats.poisson.ppf(ratio, mean))
    assert carry.expected == pytest.approx(mean, rel=0.04)
    assert best <= carry.quantity <= best + 2


def test_a_part_that_nobody_needed_in_a_year_is_not_piled_up() -> None:
    line = StockLine("odd relay", used=0, weeks=52.0, cost=60.0, expected_a_week=0.02)
    (carry,) = van_stock([line], weeks=1.0, prices=ShopPrices())
    assert carry.quantity <= 1
    assert carry.expected < 0.02


@pytest.mark.parametrize(("held", "mean"), [(0, 0.3), (4, 2.5), (12, 7.0)])
def test_the_cost_of_a_stock_is_that_of_the_sum_over_all_demands(held: int, mean: float) -> None:
    """Against the plain sum of what is short and what is left, weighed by scipy's Poisson."""
    asked = np.arange(200)
    each = 130.0 * np.maximum(asked - held, 0) + 0.4 * np.maximum(held - asked, 0)
    summed = float(each @ stats.poisson.pmf(asked, mean))
    assert float(stock_cost(held, mean, 130.0, 0.4)) == pytest.approx(summed, rel=1e-9)


def test_after_one_counted_year_the_van_costs_within_5_percent_of_the_best() -> None:
    """Filled weekly, 40 vans of 30 parts, none of them among those of docs/upkeep.md.

    The best is scipy's newsvendor by the true rates; a year of counts cannot do better than
    somebody who also knows from what spread these were drawn.
    """
    vans = [try_van(seed, counted_weeks=52.0, fill_weeks=1.0) for seed in range(100, 140)]
    assert 0.0 < more_than_best(vans) < 0.05
    assert more_than_best(vans) < more_than_best(vans, informed=True) + 0.01


def test_uneven_weeks_cost_more_than_even_ones() -> None:
    """The rule takes weeks as even, and pays for it where they are not; docs/upkeep.md says how."""
    even, uneven = (
        more_than_best([try_uneven(seed, spread) for seed in range(8)]) for spread in (0.05, 0.5)
    )
    assert 0.0 < even < 0.1 < uneven
