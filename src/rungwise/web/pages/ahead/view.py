"""Forecast, as the pages show it: lines of the shop's page, and the parts of one unit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Any

from pydantic import Field

from rungwise.drawing import Limit, Visit, trend
from rungwise.maintenance import Measure, PartForecast, Trend, UnitForecast, WayForecast
from rungwise.parts import KINDS
from rungwise.quantity import format_quantity
from rungwise.services import (
    Notice,
    ShopAhead,
    followed_way,
    left_told,
    measured_now,
    moved_weights,
    why_told,
)
from rungwise.web.schemas import View
from rungwise.web.shown import Shown
from rungwise.wording import capital, mark, say


class AheadView(View):
    """What every page about what is coming begins with."""

    worked_out: dt.datetime | None = Field(description="null before the first time")
    worked_out_at: str
    working: bool = Field(description="whether it is being worked out anew")
    ahead_years: float


class VisitLine(Shown):
    """A unit on the season's list. why: of the part that is likeliest to fail; basis: its own."""

    number: int
    unit: str
    chance: float
    saves: float
    part: str
    part_chance: float
    why: str
    basis: str
    last_seen: dt.date


class RipeLine(Shown):
    """A part that is cheaper replaced than left, once somebody is there."""

    number: int
    unit: str
    part: str
    chance: float
    break_even: float
    saves: float
    why: str
    basis: str


class VanLine(Shown):
    """A part of the van. listed: whether a list of the shop has it; where: its bin or shelf."""

    part: str
    carry: int
    used: int
    expected: float
    short: float
    listed: bool
    where: str
    idle: bool = Field(description="on a list, and not used in the weeks that were counted")


class MovedLine(Shown):
    """A weight that the shop's calls moved, per thousand calls."""

    part: str
    mode: str
    start: float
    now: float
    low: float
    high: float
    calls: int


class NotedLine(Shown):
    """What has to be said of a unit."""

    number: int
    unit: str
    why: str


class WayLine(Shown):
    """A way for a part to end."""

    title: str
    chance: float
    left: str


class PartAhead(Shown):
    """Forecast for one part of a unit. reading: where the line through readings stands now.

    saves: what replacing now saves, less than nothing where leaving is cheaper. basis: what the
    forecast rests on, see `upkeep.forecast.Basis`. chart: the name of its picture, "" where it was
    never measured.
    """

    part: str
    title: str
    age_years: float
    chance: float
    replace: bool
    saves: float
    replace_cost: float
    leave_cost: float
    break_even: float
    why: str
    basis: str
    quantity: str
    reading: str
    limit: str
    readings: list[tuple[dt.date, str]]
    ways: list[WayLine]
    chart: str


class ShopLines(Shown):
    """All that the shop's page lists; nothing before it is worked out for the first time."""

    visits: list[VisitLine] = Field(default_factory=list)
    ripe: list[RipeLine] = Field(default_factory=list)
    van: list[VanLine] = Field(default_factory=list)
    moved: list[MovedLine] = Field(default_factory=list)
    left_out: list[NotedLine] = Field(default_factory=list)
    rough: list[NotedLine] = Field(default_factory=list)


def shop_lines(ahead: ShopAhead) -> ShopLines:
    """The lists of the shop's page."""
    return ShopLines(
        visits=[_visit(ahead, each) for each in ahead.foreseen.outlook.visits],
        ripe=[_ripe(ahead, each) for each in ahead.foreseen.replaced],
        van=list(_van(ahead)),
        moved=[
            MovedLine(
                part=KINDS[each.kind].title if each.kind in KINDS else each.kind,
                mode=each.mode.replace("_", " "),
                start=each.start,
                now=each.mean,
                low=each.now.low,
                high=each.now.high,
                calls=each.count,
            )
            for each in moved_weights(ahead.foreseen.outlook)
        ],
        left_out=_noted(ahead.records.left_out),
        rough=_noted(ahead.records.rough),
    )


def title_of(ahead: ShopAhead, part: PartForecast) -> str:
    """What a person calls the part."""
    return ahead.records.titles[part.part.unit, part.part.part]


def _visit(ahead: ShopAhead, each: UnitForecast) -> VisitLine:
    worst = each.reasons[0]
    return VisitLine(
        number=ahead.records.numbers[each.unit.name],
        unit=each.unit.name,
        chance=each.chance,
        saves=each.saves,
        part=title_of(ahead, worst),
        part_chance=worst.chance,
        why=why_told(worst),
        basis=worst.basis,
        last_seen=each.unit.last_seen,
    )


def _ripe(ahead: ShopAhead, each: PartForecast) -> RipeLine:
    return RipeLine(
        number=ahead.records.numbers[each.part.unit],
        unit=each.part.unit,
        part=title_of(ahead, each),
        chance=each.chance,
        break_even=each.choice.break_even,
        saves=each.choice.saves,
        why=why_told(each),
        basis=each.basis,
    )


def _van(ahead: ShopAhead) -> Iterator[VanLine]:
    """What to carry against what the lists have: the most used first."""
    used = {line.part: line.used for line in ahead.foreseen.shop.history.stock}
    for each in ahead.foreseen.outlook.stock:
        row: Any = ahead.records.carried.get(each.part)
        yield VanLine(
            part=each.part,
            carry=each.quantity,
            used=used.get(each.part, 0),
            expected=each.expected,
            short=each.chance_short,
            listed=row is not None,
            where=str(row.get("where", "")) if row else "",
            idle=row is not None and not used.get(each.part),
        )


def _noted(rows: Iterable[Notice]) -> list[NotedLine]:
    return [NotedLine(number=each.number, unit=each.unit, why=each.why) for each in rows]


def part_ahead(ahead: ShopAhead, each: PartForecast) -> PartAhead:
    """One part as the unit's page shows it."""
    way = followed_way(each)
    measure, now = (way.measure, measured_now(each, way)) if way else (None, None)
    unit = measure.meter.unit if measure else ""
    limit = measure.off_scale(measure.limit, each.part.rated) if measure else 0.0
    return PartAhead(
        part=each.part.part,
        title=title_of(ahead, each),
        age_years=each.age_y,
        chance=each.chance,
        replace=each.choice.replace,
        saves=each.choice.saves,
        replace_cost=each.choice.replace_cost,
        leave_cost=each.choice.leave_cost,
        break_even=each.choice.break_even,
        why=why_told(each),
        basis=each.basis,
        quantity=measure.title if measure else "",
        reading=format_quantity(now.middle, unit) if now else "",
        limit=format_quantity(limit, unit) if measure else "",
        readings=[
            (it.when, format_quantity(it.value, unit))
            for it in each.part.readings
            if measure and it.quantity == measure.name
        ],
        ways=[
            WayLine(title=it.way.title, chance=it.chance, left=left_told(it.remaining_y))
            for it in sorted(each.ways, key=lambda it: -it.chance)
        ],
        chart=f"trend-{each.part.part}" if now else "",
    )


def chart_of(ahead: ShopAhead, each: PartForecast, way: WayForecast) -> str:
    """The readings of a part over its visits, with the line through them as far as is believed."""
    measure, line = way.measure, way.trend
    if measure is None or line is None:
        return ""
    taken = {it.when: it.value for it in each.part.readings if it.quantity == measure.name}
    years = ahead.foreseen.outlook.plan.ahead_y
    later = ahead.foreseen.shop.history.today + dt.timedelta(days=round(years * 365.25))
    limit = measure.off_scale(measure.limit, each.part.rated)
    return trend(
        [_at(each, measure, line, day, value) for day, value in taken.items()],
        measure.meter.unit,
        title=say(
            "{title} of the {title_of}",
            title=capital(measure.title),
            title_of=title_of(ahead, each),
        ),
        limits=[Limit(limit, mark("changed"))],
        foretold=[_at(each, measure, line, later)],
        prefix=f"trend-{each.part.part}",
    ).svg


def _at(
    each: PartForecast, measure: Measure, line: Trend, day: dt.date, value: float | None = None
) -> Visit:
    """The line on a day with its interval, and what was measured on it."""
    there = line.at(each.part.age_y(day) * each.part.pace)
    low, middle, high = sorted(
        measure.off_scale(y, each.part.rated) for y in (there.low, there.middle, there.high)
    )
    shown = middle if value is None else value
    return Visit(f"{day:%Y-%m}", float(day.toordinal()), shown, low, high)
