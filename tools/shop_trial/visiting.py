"""Two ways to choose the units to visit, tried on twin shops that are alike to the last part.

Each twin makes as many visits a spring, and at a visit, with fresh readings, upkeep's own choice
says what is taken out, over the years until that twin's next visit. One goes round its units in
turn (the fixed interval); the other goes by upkeep's list.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.maintenance.forecast import beliefs_of, forecast_part
from rungwise.maintenance.outlook import shop_outlook
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.visit_list import visit_list
from rungwise.maintenance.ways import way_of
from shop_trial.estimates import CARE_Y, SPRING, lived
from shop_trial.shop import SimShop, SimUnit, day
from shop_trial.truth import SLOTS, TruePart

EVERY = 3
"""The fixed interval in years: each spring a third of the units is visited."""


@dataclass(frozen=True)
class Season:
    """What one twin came to: breakdowns of parts, parts taken out in time, and their cost."""

    breakdowns: int
    in_time: int
    cost: float


@dataclass(frozen=True)
class Visited:
    """The two twins over the same years."""

    by_list: Season
    by_turn: Season


def try_visits(seed: int, units: int, seasons: int = 2) -> Visited:
    """Six years by turn for both, then `seasons` years each in its own way."""
    turn, listed = (lived(seed, units, every=EVERY) for _ in range(2))
    for year in range(CARE_Y, CARE_Y + seasons):
        for shop in (turn, listed):
            shop.run(year + SPRING)
        due = [unit for unit in turn.units if unit.number % EVERY == year % EVERY]
        _visit(turn, due, ahead_y=float(EVERY))
        _visit(listed, _by_list(listed, len(due)), ahead_y=1.0)
    for shop in (turn, listed):
        shop.run(float(CARE_Y + seasons))
    return Visited(_season(listed), _season(turn))


def _by_list(shop: SimShop, at_most: int) -> list[SimUnit]:
    by_name = {unit.name: unit for unit in shop.units}
    order = visit_list(shop_outlook(shop.history()).units, at_most)
    return [by_name[each.unit.name] for each in order]


def _visit(shop: SimShop, units: list[SimUnit], *, ahead_y: float) -> None:
    known = shop.history()
    beliefs, prices = beliefs_of(known.parts, known.today), ShopPrices()

    def replace(unit: SimUnit, part: TruePart, time_y: float) -> bool:
        told = shop.told(unit, part)
        found = forecast_part(told, beliefs, day(time_y), ahead_y=ahead_y, prices=prices)
        return found.choice.replace

    for unit in units:
        shop.visit(unit, replace)


def _season(shop: SimShop) -> Season:
    """Since the twins parted. Calls about what does not age are alike in both, and left out."""
    prices = ShopPrices()
    broke = [c for c in shop.calls if c.slot and c.time_y > CARE_Y + SPRING]
    out = [c for c in shop.planned if c.time_y >= CARE_Y + SPRING]
    cost = sum(prices.failure(way_of(c.kind, c.mode)) for c in broke)
    cost += sum(prices.planned(SLOTS[c.slot][0]) for c in out)
    return Season(len(broke), len(out), cost)
