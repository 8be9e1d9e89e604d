"""How many of each part the van should carry.

Newsvendor: carry the smallest number that meets demand with the critical ratio short / (short +
over), where `short` is what one missing part costs and `over` what one carried for nothing
does. Demand until the next fill is the shop's own, negative binomial from a gamma belief that
starts at half a use in two weeks at the most, so that a year of counting stands nearly by itself.
Nahmias, "Production and operations analysis", the newsboy model (memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rungwise.errors import BadQuantity
from rungwise.maintenance.gamma_rate import GammaRate
from rungwise.maintenance.history import StockLine
from rungwise.maintenance.prices import ShopPrices

START_USES = 0.5
"""Uses that the start belief is worth: Jeffreys' shape for a Poisson rate. Any less, and a part
that happened not to be used is left off the van though one missing costs a second trip."""

START_WEEKS = 2.0
"""Weeks of counting that the start belief is worth at most (our own choice). A guess of one use a
year, held to be worth half a use, would be 25 weeks and halve the stock of a busy part."""

WEEKS_A_YEAR = 52.18


@dataclass(frozen=True, slots=True)
class Carry:
    """One part on the van: how many, and the chance that they do not last until the next fill."""

    part: str
    quantity: int
    cost: float
    ratio: float
    expected: float
    chance_short: float


def critical_ratio(short: float, over: float) -> float:
    """The service level to stock to. Raises BadQuantity unless both costs are above 0."""
    if not (short > 0.0 and over > 0.0):
        raise BadQuantity(what="What is short and what is over must both cost something.",
                          value=f"{short:g} short, {over:g} over")  # fmt: skip
    return short / (short + over)


def least_enough(demand: Any, ratio: float) -> int:
    """The smallest number Q with P(demand <= Q) >= ratio; demand a frozen scipy distribution."""
    return max(int(demand.ppf(ratio)), 0)


def van_stock(lines: Iterable[StockLine], *, weeks: float, prices: ShopPrices) -> tuple[Carry, ...]:
    """What to carry of each part until the next fill in `weeks`, most often short first."""
    found = []
    for line in lines:
        demand = demand_of(line, weeks)
        ratio = critical_ratio(prices.second_trip, _over(line, weeks, prices))
        found.append(_carry(line, least_enough(demand, ratio), ratio, demand))
    return tuple(sorted(found, key=lambda each: (-each.expected, each.part)))


def within_money(
    lines: Sequence[StockLine], *, weeks: float, prices: ShopPrices, money: float
) -> tuple[Carry, ...]:
    """The same when no more than `money` may lie on the van.

    One piece after the other goes where it saves most for its cost; what a further piece of a part
    saves only falls, so this is the best stock but for the last piece that no longer fits.
    """
    demands = [demand_of(line, weeks) for line in lines]
    taken = [0] * len(lines)
    heap = [(-_saved(line, demands[i], 0, weeks, prices), i) for i, line in enumerate(lines)]
    heapq.heapify(heap)
    while heap:
        gain, i = heapq.heappop(heap)
        if gain >= 0.0 or lines[i].cost > money:
            continue
        taken[i] += 1
        money -= lines[i].cost
        again = _saved(lines[i], demands[i], taken[i], weeks, prices)
        heapq.heappush(heap, (-again, i))
    return tuple(
        _carry(line, n, critical_ratio(prices.second_trip, _over(line, weeks, prices)), demand)
        for line, n, demand in zip(lines, taken, demands, strict=True)
    )


def demand_of(line: StockLine, weeks: float) -> Any:
    """Uses until the next fill, as a frozen negative binomial."""
    guess = max(line.expected_a_week, 1e-4)
    start = GammaRate(START_USES, min(START_USES / guess, START_WEEKS))
    return start.after(line.used, line.weeks).count_in(weeks)


def _saved(line: StockLine, demand: Any, held: int, weeks: float, prices: ShopPrices) -> float:
    """What one more piece saves, per money laid out for it."""
    wanted = float(demand.sf(held))
    over = _over(line, weeks, prices)
    return (wanted * prices.second_trip - (1.0 - wanted) * over) / line.cost


def _over(line: StockLine, weeks: float, prices: ShopPrices) -> float:
    return line.cost * prices.holding_a_year * weeks / WEEKS_A_YEAR


def _carry(line: StockLine, quantity: int, ratio: float, demand: Any) -> Carry:
    return Carry(line.part, quantity, line.cost, ratio, float(demand.mean()),
                 float(np.clip(demand.sf(quantity), 0.0, 1.0)))  # fmt: skip
