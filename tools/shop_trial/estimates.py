"""One simulated shop judged: do the intervals hold the truth, do the forecasts come true?"""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.maintenance.forecast import Beliefs, WayForecast, beliefs_of, forecast_part
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.shop_weights import BANDS_Y, learn_weights, start_weights
from rungwise.maintenance.ways import way_of
from shop_trial.counted import Forecast
from shop_trial.shop import SimShop
from shop_trial.true_weights import true_weights
from shop_trial.truth import SLOTS, TruePart

CARE_Y = 6
SPRING = 0.05
"""Visits fall this far into the year."""


@dataclass(frozen=True)
class JudgedForecast:
    """What came of one shop: whether each 90% interval held the truth, by what it was about.

    forecasts: chance that each running part fails within a year, and whether it did.
    """

    held: dict[str, tuple[bool, ...]]
    forecasts: tuple[Forecast, ...]
    calls: int


def lived(seed: int, units: int, *, every: int = 1) -> SimShop:
    """A shop after six years in which each unit is visited every `every` years."""
    shop = SimShop(seed, units)
    for year in range(CARE_Y):
        shop.run(year + SPRING)
        for unit in shop.units:
            if unit.number % every == year % every:
                shop.visit(unit)
    shop.run(float(CARE_Y))
    return shop


def judge(seed: int, units: int) -> JudgedForecast:
    """Let a shop live, learn from it, and compare with its truth.

    Weights are judged in its twin that visits nobody: where worn parts are taken out in time, the
    expected calls are no longer the hazards' sums, and the truth would not be known exactly.
    """
    unseen = SimShop(seed, units)
    unseen.run(float(CARE_Y))
    shop = lived(seed, units)
    history = shop.history()
    beliefs = beliefs_of(history.parts, history.today)
    held = {
        "weight over all ages": _weights_held(unseen, banded=False),
        "weight by age band": _weights_held(unseen, banded=True),
        **_lives_held(shop, beliefs),
        "wear today": [],
        "years left of what wears": [],
    }
    forecasts = []
    for unit in shop.units:
        for part in unit.now.values():
            told = forecast_part(
                shop.told(unit, part), beliefs, history.today, ahead_y=1.0, prices=ShopPrices()
            )
            forecasts.append((told.chance, part.end_y <= shop.time_y + 1.0))
            for number, way in enumerate(told.ways):
                _way_held(held, shop, part, number, way)
    return JudgedForecast({k: tuple(v) for k, v in held.items()}, tuple(forecasts), len(shop.calls))


def _weights_held(shop: SimShop, *, banded: bool) -> list[bool]:
    truth = true_weights(shop)
    start = {cause: weight for cause, weight in start_weights().items() if cause in truth}
    share = 1000.0 / sum(start.values())
    learned = learn_weights(
        {cause: weight * share for cause, weight in start.items()}, shop.history().calls
    )
    ages = BANDS_Y[:-1] if banded else (None,)
    return [
        learned.interval(cause, age).holds(float(truth[cause][band if banded else -1]))
        for cause in start
        for band, age in enumerate(ages)
    ]


def _lives_held(shop: SimShop, beliefs: Beliefs) -> dict[str, list[bool]]:
    shapes, scales = [], []
    for slot, ends in shop.truth.ends.items():
        for end in ends:
            belief = beliefs[way_of(SLOTS[slot][0], next(iter(end.modes))).key]
            shapes.append(belief.shape().holds(end.shape))
            scales.append(belief.scale_y().holds(end.scale_y))
    return {"Weibull shape": shapes, "Weibull scale": scales}


def _way_held(
    held: dict[str, list[bool]], shop: SimShop, part: TruePart, number: int, told: WayForecast
) -> None:
    wear = shop.truth.ends[part.slot][number].wear
    if wear is None:
        return
    held["years left of what wears"].append(
        told.remaining_y.holds(part.ends_y[number] - shop.time_y)
    )
    if told.trend is not None and len(part.readings) > 1:
        now = told.trend.at(shop.time_y - part.born_y)
        held["wear today"].append(now.holds(part.wear_at(number, wear, shop.time_y)))
