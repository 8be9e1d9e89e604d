"""What the van's stock costs beside the best there is, where the true rates are known.

Each shop's parts are used at rates of their own, as Poisson counts. After the counted weeks the
van is stocked by `van_stock`; the best stock is the newsvendor's by the true rate. What either
costs until the next fill is in closed form: E(Q - D)+ = Q F(Q) - m F(Q - 1), and
E(D - Q)+ = m - Q + E(Q - D)+, for Poisson demand of mean m.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from scipy import stats

from rungwise.maintenance.history import StockLine
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.van_stock import WEEKS_A_YEAR, van_stock
from rungwise.parts import FloatArray

PARTS = 30
"""Parts on a van."""

RATES_A_WEEK = (0.02, 3.0)
"""Least and most uses of a part a week; any in between, alike by its logarithm."""

COSTS = (5.0, 15.0, 25.0, 40.0, 90.0, 180.0)


GRID, MOST = np.geomspace(*RATES_A_WEEK, 200), 80
"""Rates that the informed belief stands on, and the most pieces that it looks at."""


@dataclass(frozen=True, slots=True)
class VanCost:
    """Expected costs until the next fill, summed over the parts.

    ours: of the stock by `van_stock`. best: where the true rates are known. informed: the least
    that counting allows, by who knows from what spread the rates were drawn.
    """

    ours: float
    best: float
    informed: float


def stock_cost(held: Any, mean: Any, short: Any, over: Any) -> FloatArray:
    """Expected cost of `held` pieces against Poisson demand of this mean; arrays of one shape."""
    held, mean = np.asarray(held, float), np.asarray(mean, float)
    left = held * stats.poisson.cdf(held, mean) - mean * stats.poisson.cdf(held - 1.0, mean)
    return np.asarray(short * (mean - held + left) + over * left)


def try_van(
    seed: int, *, counted_weeks: float, fill_weeks: float, prices: ShopPrices | None = None
) -> VanCost:
    """One shop with its own rates, counted, stocked, and costed until the next fill."""
    prices = prices or ShopPrices()
    rng = np.random.default_rng([seed, 61])
    rates, costs = _parts(rng)
    used = rng.poisson(rates * counted_weeks)
    held = _carried(used, costs, counted_weeks, fill_weeks, prices)
    over = costs * prices.holding_a_year * fill_weeks / WEEKS_A_YEAR
    ratio, mean = prices.second_trip / (prices.second_trip + over), rates * fill_weeks
    ways = (held, stats.poisson.ppf(ratio, mean), _informed(used, counted_weeks, fill_weeks, ratio))
    return VanCost(*(float(stock_cost(way, mean, prices.second_trip, over).sum()) for way in ways))


def try_uneven(seed: int, spread: float, *, counted_weeks: int = 52) -> VanCost:
    """The same, filled weekly, where weeks are busy or slow for all parts alike.

    spread: standard deviation of a week over its mean. The best knows the rates and the spread:
    demand is then negative binomial, of which `van_stock`, which takes weeks as even, knows
    nothing. Nobody is informed here but the best.
    """
    prices, shape = ShopPrices(), spread**-2
    rng = np.random.default_rng([seed, 62])
    rates, costs = _parts(rng)
    weeks = rng.gamma(shape, 1.0 / shape, (counted_weeks, 1))
    used = rng.poisson(weeks * rates).sum(axis=0)
    held = _carried(used, costs, float(counted_weeks), 1.0, prices)
    asked, stocked = np.arange(200), np.arange(MOST)[:, None]
    ours = best = 0.0
    for at, rate in enumerate(rates):
        over = costs[at] * prices.holding_a_year / WEEKS_A_YEAR
        short = prices.second_trip * np.maximum(asked - stocked, 0)
        cost = short + over * np.maximum(stocked - asked, 0)
        expected = cost @ np.asarray(stats.nbinom.pmf(asked, shape, shape / (shape + rate)))
        ours += float(expected[held[at]])
        best += float(expected.min())
    return VanCost(ours, best, best)


def more_than_best(costs: Sequence[VanCost], *, informed: bool = False) -> float:
    """By what share all vans together cost more than the best; informed: the least possible."""
    ours = sum(each.informed if informed else each.ours for each in costs)
    return ours / sum(each.best for each in costs) - 1.0


def _parts(rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """The rates a week and the costs of the parts of one van."""
    low, high = np.log(RATES_A_WEEK)
    return np.exp(rng.uniform(low, high, PARTS)), rng.choice(COSTS, PARTS)


def _carried(
    used: Any, costs: Any, counted_weeks: float, fill_weeks: float, prices: ShopPrices
) -> list[int]:
    """What `van_stock` carries of each part."""
    lines = [
        StockLine(f"{at:02}", int(used[at]), counted_weeks, float(costs[at]), 0.02)
        for at in range(PARTS)
    ]
    carried = van_stock(lines, weeks=fill_weeks, prices=prices)
    return [each.quantity for each in sorted(carried, key=lambda each: each.part)]


def _informed(used: Any, counted_weeks: float, weeks: float, ratio: Any) -> FloatArray:
    """The stock of who knows how the rates were drawn: Bayes' rule on a grid of rates."""
    belief = np.asarray(stats.poisson.pmf(used[:, None], GRID * counted_weeks))
    belief /= belief.sum(axis=1, keepdims=True)
    met = belief @ _enough(weeks)
    return np.asarray((met < ratio[:, None]).sum(axis=1), float)


@cache
def _enough(weeks: float) -> FloatArray:
    """Chance that so many pieces (columns) meet the demand of each rate of the grid (rows)."""
    return np.asarray(stats.poisson.cdf(np.arange(MOST), GRID[:, None] * weeks))
