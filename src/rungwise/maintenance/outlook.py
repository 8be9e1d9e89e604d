"""Everything upkeep has to say about a shop, from its history and its prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.maintenance.forecast import Beliefs, beliefs_of, forecast_part
from rungwise.maintenance.history import ShopHistory
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.shop_weights import ShopWeights, learn_weights, start_weights
from rungwise.maintenance.van_stock import Carry, van_stock, within_money
from rungwise.maintenance.visit_list import UnitForecast, unit_forecast, visit_list


@dataclass(frozen=True, slots=True)
class VisitPlan:
    """What the shop asks for.

    ahead_y: years to the next visit, the horizon of every chance. visits: how many units can be
    visited before the season, or None for all. fill_weeks: weeks between fills of the van.
    money: the most that may lie on the van, or None.
    """

    ahead_y: float = 1.0
    visits: int | None = None
    fill_weeks: float = 1.0
    money: float | None = None


@dataclass(frozen=True)
class ShopOutlook:
    """Units in the order in which to visit them, the lives behind it, the weights, the van."""

    units: tuple[UnitForecast, ...]
    beliefs: Beliefs
    weights: ShopWeights
    stock: tuple[Carry, ...]
    plan: VisitPlan

    @property
    def visits(self) -> tuple[UnitForecast, ...]:
        """The season's list: the first units that a visit saves money on, as many as can be."""
        return tuple(each for each in self.units[: self.plan.visits] if each.saves > 0.0)


def shop_outlook(
    shop: ShopHistory, prices: ShopPrices | None = None, plan: VisitPlan | None = None
) -> ShopOutlook:
    """The outlook of a shop; default prices and plan where none are given."""
    prices, plan = prices or ShopPrices(), plan or VisitPlan()
    beliefs = beliefs_of(shop.parts, shop.today)
    units = [
        unit_forecast(
            unit,
            [
                forecast_part(part, beliefs, shop.today, ahead_y=plan.ahead_y, prices=prices)
                for part in unit.parts
                if part.running
            ],
            prices,
        )
        for unit in shop.units
    ]
    return ShopOutlook(
        visit_list(units),
        beliefs,
        learn_weights(start_weights(_kinds(shop)), shop.calls),
        _stock(shop, prices, plan),
        plan,
    )


def _kinds(shop: ShopHistory) -> Iterator[str]:
    """The part kinds that the shop has met."""
    yield from (part.kind for part in shop.parts)
    yield from (call.kind for call in shop.calls)


def _stock(shop: ShopHistory, prices: ShopPrices, plan: VisitPlan) -> tuple[Carry, ...]:
    if plan.money is None:
        return van_stock(shop.stock, weeks=plan.fill_weeks, prices=prices)
    return within_money(shop.stock, weeks=plan.fill_weeks, prices=prices, money=plan.money)
