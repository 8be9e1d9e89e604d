"""Forecast for each part: chances of each way to end, remaining life, trend, and advice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.maintenance.choice import TimeChoice, chances_of, choose
from rungwise.maintenance.history import PartLife
from rungwise.maintenance.interval import Interval
from rungwise.maintenance.life_belief import MIDDLES_Y, LifeBelief, LifeEvidence, believe
from rungwise.maintenance.measure import Measure, measure_named
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.trend import Start, Trend, log_told, points_of, trend_of
from rungwise.maintenance.ways import WAYS, way_of, ways_of
from rungwise.parts import FloatArray, Way
from rungwise.wording import mark, say

Beliefs = Mapping[str, LifeBelief]
"""How long parts last, by `Way.key`."""

DAYS_A_YEAR = 365.25

PERIODS = 25
"""Periods that are looked ahead one by one when replacing is weighed against leaving."""


Basis = Literal["age", "fitted today", "one reading", "trend"]
"""What a forecast rests on: how old the part is and nothing else; a part put in today, of which
nothing can be foretold but that it is new; readings of one day, which show no direction; readings
of several days."""


@dataclass(frozen=True, slots=True)
class WayForecast:
    """One way for one part: chance of it before the horizon, and years until it happens."""

    way: Way
    chance: float
    remaining_y: Interval
    trend: Trend | None

    @property
    def measure(self) -> Measure | None:
        """The quantity that foretells it, if one does."""
        return measure_named(self.way.measure) if self.way.measure else None


@dataclass(frozen=True, slots=True)
class PartForecast:
    """One running part: its ways, the chance of any of them, and whether to replace it now."""

    part: PartLife
    age_y: float
    ways: tuple[WayForecast, ...]
    chance: float
    choice: TimeChoice

    @property
    def read_on(self) -> tuple[dt.date, ...]:
        """The days on which a quantity that foretells one of its ways was read."""
        followed = {each.way.measure for each in self.ways} - {""}
        days = {each.when for each in self.part.readings if each.quantity in followed}
        return tuple(sorted(days))

    @property
    def basis(self) -> Basis:
        """What the forecast rests on."""
        if self.age_y * DAYS_A_YEAR < 1.0:
            return "fitted today"
        days = len(self.read_on)
        return "trend" if days > 1 else "one reading" if days else "age"

    @property
    def basis_text(self) -> str:
        """In words: "trend of 4 readings"."""
        told = {
            "trend": mark("trend of {days} readings"),
            "one reading": mark("one reading"),
            "fitted today": mark("fitted today"),
            "age": mark("age"),
        }
        return say(told[self.basis], days=len(self.read_on))


def beliefs_of(parts: Iterable[PartLife], today: dt.date) -> dict[str, LifeBelief]:
    """What the shop's parts say about the lives of their kinds; start lives where they say nothing.

    A part that was not watched for a day says nothing.
    """
    by_key: dict[str, list[LifeEvidence]] = {way.key: [] for way in WAYS}
    for part in parts:
        if part.watched < (part.ended or today):
            for way in ways_of(part.kind):
                by_key[way.key].append(evidence_of(part, way, today))
    return {way.key: believe(by_key[way.key], shape=way.shape, scale_y=way.scale_y) for way in WAYS}


def evidence_of(part: PartLife, way: Way, today: dt.date) -> LifeEvidence:
    """What one part says about one way, in its own time."""
    exit_y = part.age_y(part.ended or today) * part.pace
    failed = bool(part.mode) and way_of(part.kind, part.mode) == way
    told = None
    if way.measure and not failed:
        told = log_told(points_of(part, way.measure), measure_named(way.measure), MIDDLES_Y)
    return LifeEvidence(part.age_y(part.watched) * part.pace, max(exit_y, 1e-3), failed, told)


def trend_of_part(part: PartLife, way: Way, lives: Interval) -> Trend | None:
    """The line through the readings of the way's quantity by age; None when there are none.

    lives: years that such a part may last, of which the slope's start belief is made.
    """
    points = points_of(part, way.measure) if way.measure else ()
    if not points:
        return None
    measure = measure_named(way.measure)
    slope = measure.span / max(lives.middle, 1.0)
    start = Start(measure.new, measure.new_sd, slope, abs(slope))
    return trend_of(points, start)


def forecast_part(
    part: PartLife, beliefs: Beliefs, today: dt.date, *, ahead_y: float, prices: ShopPrices
) -> PartForecast:
    """The forecast of a running part for the `ahead_y` years to the next visit."""
    edges: FloatArray = np.arange(PERIODS + 1, dtype=np.float64) * (ahead_y * part.pace)
    ahead = {
        way: beliefs[way.key].ahead(evidence_of(part, way, today)) for way in ways_of(part.kind)
    }
    own = {way: each.outlives(edges) for way, each in ahead.items()}
    ways = tuple(
        _way(part, way, each.remaining_y(), beliefs[way.key], float(1.0 - own[way][1]))
        for way, each in ahead.items()
    )
    fresh = np.prod([beliefs[way.key].survival(edges) for way in ahead], axis=0)
    chances = chances_of(np.prod(list(own.values()), axis=0))
    choice = choose(
        chances,
        chances_of(fresh),
        planned=prices.planned(part.kind),
        failure=_failure(ways, prices),
        discount=1.0 - (1.0 - prices.discount) ** ahead_y,
    )
    return PartForecast(part, part.age_y(today), ways, float(chances[0]), choice)


def _way(
    part: PartLife, way: Way, left: Interval, belief: LifeBelief, chance: float
) -> WayForecast:
    ends = Interval(
        left.low / part.pace, left.middle / part.pace, left.high / part.pace, left.level
    )
    trend = trend_of_part(part, way, belief.scale_y())
    return WayForecast(way, chance, ends, trend)


def _failure(ways: tuple[WayForecast, ...], prices: ShopPrices) -> float:
    """Cost of a failure, its ways weighed by their chances."""
    weight: FloatArray = np.array([max(each.chance, 1e-9) for each in ways])
    costs = np.array([prices.failure(each.way) for each in ways])
    return float(weight @ costs / weight.sum())
