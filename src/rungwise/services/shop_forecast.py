"""Forecast for a shop, worked out once for printing, pages and JSON."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass

from rungwise.maintenance import (
    Carry,
    Interval,
    PartForecast,
    ShopFile,
    ShopOutlook,
    UnitForecast,
    WayForecast,
    read_shop,
    shop_outlook,
)
from rungwise.records import Store
from rungwise.services.as_json import strict
from rungwise.services.history.shop_records import Notice, ShopRecords, shop_records
from rungwise.services.outlook_result import (
    CarryResult,
    IntervalResult,
    NoticeResult,
    OutlookResult,
    PartAheadResult,
    ShopAheadResult,
    UnitAheadResult,
    WayResult,
)

LEAST_MOVE = 1.25
"""A weight counts as moved when it grew or shrank at least by this factor."""


@dataclass(frozen=True)
class ShopForecast:
    """A shop file and its outlook."""

    shop: ShopFile
    outlook: ShopOutlook

    @property
    def replaced(self) -> tuple[PartForecast, ...]:
        """Running parts that are cheaper replaced than left, the most saved first."""
        ripe = [p for unit in self.outlook.units for p in unit.parts if p.choice.replace]
        return tuple(sorted(ripe, key=lambda each: -each.choice.saves))


@dataclass(frozen=True, slots=True)
class MovedWeight:
    """One weight that the shop's calls moved: from its start to what it is now."""

    kind: str
    mode: str
    start: float
    now: Interval
    mean: float
    count: int


def foreseen(name: str) -> ShopForecast:
    """The outlook of the shop in the file `name`. Raises BadShopFile."""
    return foreseen_of(read_shop(name))


def foreseen_of(shop: ShopFile) -> ShopForecast:
    """The outlook of a shop, from a file or from records."""
    return ShopForecast(shop, shop_outlook(shop.history, shop.prices, shop.plan))


def moved_weights(outlook: ShopOutlook) -> tuple[MovedWeight, ...]:
    """Weights that closed calls moved by `LEAST_MOVE` or more, the heaviest first."""
    held = outlook.weights
    found = []
    for (kind, mode), start in held.start.items():
        mean, count = held.weight((kind, mode)), sum(held.counts[kind, mode])
        if start and abs(math.log(mean / start)) >= math.log(LEAST_MOVE) and any(held.calls):
            found.append(MovedWeight(kind, mode, start, held.interval((kind, mode)), mean, count))
    return tuple(sorted(found, key=lambda each: -each.mean))


def foreseen_json(answer: ShopForecast) -> OutlookResult:
    """The whole outlook with every figure."""
    outlook = answer.outlook
    return {
        "title": answer.shop.title,
        "today": answer.shop.history.today.isoformat(),
        "ahead_years": outlook.plan.ahead_y,
        "visits": [each.unit.name for each in outlook.visits],
        "units": [_unit(each) for each in outlook.units],
        "stock": [_carry(each) for each in outlook.stock],
        "lives": {
            key: {
                "shape": _interval(belief.shape()),
                "scale_years": _interval(belief.scale_y()),
                "failures": belief.failures,
            }
            for key, belief in outlook.beliefs.items()
        },
        "weights": [
            {
                "kind": each.kind, "mode": each.mode, "start": each.start, "mean": each.mean,
                "interval": _interval(each.now), "calls": each.count,
            }
            for each in moved_weights(outlook)
        ],
        "calls": sum(outlook.weights.calls),
    }  # fmt: skip


def _unit(each: UnitForecast) -> UnitAheadResult:
    return {
        "unit": each.unit.name,
        "chance": each.chance,
        "visit_saves": each.saves,
        "last_seen": each.unit.last_seen.isoformat(),
        "parts": [_part(part) for part in each.reasons],
    }


def _part(each: PartForecast) -> PartAheadResult:
    return {
        "part": each.part.part,
        "kind": each.part.kind,
        "age_years": each.age_y,
        "chance": each.chance,
        "advice": "replace" if each.choice.replace else "leave",
        "basis": each.basis,
        "readings": len(each.read_on),
        "replacing_saves": each.choice.saves,
        "replace_cost": each.choice.replace_cost,
        "leave_cost": each.choice.leave_cost,
        "break_even_chance": each.choice.break_even,
        "ways": [_way(way, each) for way in each.ways],
    }


def _way(way: WayForecast, of: PartForecast) -> WayResult:
    told: WayResult = {
        "way": way.way.key,
        "title": way.way.title,
        "chance": way.chance,
        "years_left": _interval(way.remaining_y),
    }
    measure = way.measure
    if measure is None or way.trend is None:
        return told
    now = way.trend.at(of.age_y * of.part.pace)
    low, middle, high = (
        measure.off_scale(y, of.part.rated) for y in (now.low, now.middle, now.high)
    )
    told["measured"] = {
        "quantity": measure.name,
        "unit": measure.meter.unit,
        "readings": way.trend.readings,
        "now": _interval(Interval(low, middle, high, now.level)),
        "limit": measure.off_scale(measure.limit, of.part.rated),
    }
    return told


def _carry(each: Carry) -> CarryResult:
    return {
        "part": each.part,
        "carry": each.quantity,
        "cost": each.cost,
        "service_level": each.ratio,
        "expected_use": each.expected,
        "chance_short": each.chance_short,
    }


def _interval(each: Interval) -> IntervalResult:
    return {"low": each.low, "middle": each.middle, "high": each.high, "level": each.level}


@dataclass(frozen=True)
class ShopAhead:
    """The records as upkeep read them, and what it makes of them."""

    records: ShopRecords
    foreseen: ShopForecast

    def unit(self, number: int) -> UnitForecast | None:
        """The forecast of a unit by its number, None where it was left out."""
        name = self.records.name_of(number)
        units = self.foreseen.outlook.units
        return next((each for each in units if each.unit.name == name), None) if name else None

    def as_json(self) -> ShopAheadResult:
        """What `rungwise upkeep --json` prints for these records."""
        everything: ShopAheadResult = {
            **foreseen_json(self.foreseen),
            "left_out": _noted(self.records.left_out),
            "taken_roughly": _noted(self.records.rough),
            "van_lists": sorted(self.records.carried),
        }
        plain: ShopAheadResult = strict(everything)
        return plain


def shop_ahead(store: Store, *, until: dt.date | None = None, also: int | None = None) -> ShopAhead:
    """Read the records and look ahead. Arguments as of `shop_records`."""
    with store.reading() as book:
        records = shop_records(book, until=until, also=also)
    return ShopAhead(records, foreseen_of(records.file))


def _noted(rows: Iterable[Notice]) -> list[NoticeResult]:
    return [{"unit": each.number, "title": each.unit, "why": each.why} for each in rows]
