"""Two ways to fill the same van with the same money, tried on the same year of calls.

The rule that upkeep is tried against is "most common part": by how often a part was used so far,
one of each, then round again, whatever it costs, until the money is laid out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.maintenance.history import StockLine
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.van_stock import within_money
from shop_trial.shop import SimShop, TrialCall
from shop_trial.truth import COMPRESSOR, DUAL, FAN, ONE_POLE, TRANSFORMER

SIZES: Mapping[str, int] = {DUAL: 6, ONE_POLE: 3, FAN: 5,
                            COMPRESSOR: 8, TRANSFORMER: 2}  # fmt: skip
"""In how many sizes units need a part; the first is the most common."""

COSTS: Mapping[str, float] = {DUAL: 25.0, ONE_POLE: 35.0, FAN: 220.0,
                              COMPRESSOR: 1600.0, TRANSFORMER: 40.0}  # fmt: skip
OTHER_COST = 45.0
WEEKS_A_YEAR = 52
MONEY = 700.0


@dataclass(frozen=True)
class Stocked:
    """Second trips in the year that was not seen, by each way to stock, and the parts asked for."""

    newsvendor: int
    most_common: int
    asked: int


def try_stock(shop: SimShop, years: int = 1, money: float = MONEY) -> Stocked:
    """Stock from what the shop has used so far, then let `years` pass and count second trips."""
    until = shop.time_y
    used = Counter(_part(call, shop.seed) for call in shop.calls)
    lines = [
        StockLine(part, used[part], until * WEEKS_A_YEAR, _cost(part), 0.02)
        for part in sorted(used)
    ]
    ours = {
        each.part: each.quantity
        for each in within_money(lines, weeks=1.0, prices=ShopPrices(), money=money)
    }
    theirs = _most_common(lines, money)
    shop.run(until + years)
    weeks = [Counter[str]() for _ in range(years * WEEKS_A_YEAR)]
    for call in shop.calls:
        if call.time_y > until:
            week = min(int((call.time_y - until) * WEEKS_A_YEAR), len(weeks) - 1)
            weeks[week][_part(call, shop.seed)] += 1
    asked = sum(sum(week.values()) for week in weeks)
    return Stocked(_short(weeks, ours), _short(weeks, theirs), asked)


def _most_common(lines: Sequence[StockLine], money: float) -> dict[str, int]:
    order = sorted(lines, key=lambda line: (-line.used, line.part))
    held: dict[str, int] = {line.part: 0 for line in lines}
    while any(line.cost <= money for line in order):
        for line in order:
            if line.cost <= money:
                held[line.part] += 1
                money -= line.cost
    return held


def _short(weeks: Sequence[Counter[str]], held: Mapping[str, int]) -> int:
    """Parts asked for that were not there; the van is full again each Monday."""
    return sum(max(asked - held.get(part, 0), 0) for week in weeks for part, asked in week.items())


def _part(call: TrialCall, seed: int) -> str:
    """The part that a call uses, in the size that its unit needs."""
    sizes = SIZES.get(call.kind, 1)
    likely = 1.0 / np.arange(1, sizes + 1)
    rng = np.random.default_rng([seed, 5, call.unit.number, sizes])
    return f"{call.kind} {rng.choice(sizes, p=likely / likely.sum()) + 1}"


def _cost(part: str) -> float:
    return COSTS.get(part.split(maxsplit=1)[0], OTHER_COST)
