"""Reading a shop file: units with their parts and readings, closed calls, the van, the prices.

::

    title = "Maple Hollow"
    today = 2026-04-01

    [[units]]
    name = "Mill Street 4"
    installed = 2014-06-01
    watched = 2019-05-01          # in the shop's care since
    visits = [2024-04-10, 2025-04-12]
    [[units.parts]]
    part = "capacitor"
    kind = "dual_capacitor"
    rated = "45 µF"
    [[units.parts.readings]]
    date = 2025-04-12
    quantity = "capacitance"
    value = "43.1 µF"
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungwise.diagnosis.chips import CHIPS
from rungwise.errors import BadInput, BadShopFile
from rungwise.files.document import Document, Table
from rungwise.maintenance.contact_wear import pace
from rungwise.maintenance.history import (
    ClosedCall,
    PartLife,
    Reading,
    ShopHistory,
    StockLine,
    UnitHistory,
    years,
)
from rungwise.maintenance.measure import MEASURES
from rungwise.maintenance.outlook import Plan
from rungwise.maintenance.prices import PartPrice, ShopPrices
from rungwise.maintenance.ways import family_of, ways_of
from rungwise.parts import KINDS

__all__ = ["ShopFile", "read_shop"]

MOST_PRICE = 100_000.0


@dataclass(frozen=True)
class ShopFile:
    """All that a shop file holds."""

    title: str
    history: ShopHistory
    prices: ShopPrices
    plan: Plan


def _shop_in(document: Document) -> Table:
    """The file's own table, where it is no file of a call or a unit."""
    others = {"unit": "call", "arrangement": "unit", "nameplate": "unit", "parts": "unit"}
    kind = next((kind for key, kind in others.items() if key in document.data), "")
    if kind and "today" not in document.data:
        raise BadShopFile(
            what=f"This is a {kind} file, and a shop file is asked for.",
            file=document.file,
            next_step="name the shop's file, or none and the records are read",
        )
    return document.root


def read_shop(path: str | os.PathLike[str]) -> ShopFile:
    """The shop in the file at ``path``.

    Raises BadShopFile with file, line, key, what is allowed and the next step.
    """
    root = _shop_in(Document.read(path, error=BadShopFile, limit_bytes=20_000_000))
    title = root.text("title", default="")
    today = _day(root, "today")
    units = tuple(_unit(table, today) for table in root.tables("units"))
    calls = tuple(_call(table, today) for table in root.tables("calls"))
    plan, weeks = _plan(root.table("plan", required=False))
    prices = _prices(root.table("prices", required=False))
    stock = tuple(_stock(table, weeks) for table in root.tables("stock"))
    root.done()
    if not (units or calls or stock):
        raise root.bad(
            what="The file tells of no unit, no call and no part of the van.",
            next_step='begin with [[units]], then name = "..." and installed = 2014-06-01',
        )
    return ShopFile(title, ShopHistory(today, units, calls, stock), prices, plan)


def _unit(table: Table, today: dt.date) -> UnitHistory:
    name = table.text("name")
    installed = _day(table, "installed", last=today)
    watched = _day_or(table, "watched", first=installed, last=today) or installed
    visits = tuple(_days(table, "visits", installed, today))
    base = _base_pace(table)
    parts = tuple(
        _part(each, name, (installed, watched, today), base) for each in table.tables("parts")
    )
    table.done()
    return UnitHistory(name, installed, parts, visits)


def _base_pace(table: Table) -> tuple[float, float] | None:
    """Starts a year and amps through the contactor, where both are told."""
    starts = table.number("starts_a_year", unit="", low=1.0, high=200_000.0, default=None)
    amps = table.number("amps", unit="A", low=0.1, high=400.0, default=None)
    return None if starts is None or amps is None else (starts, amps)


def _part(
    table: Table,
    unit: str,
    days: tuple[dt.date, dt.date, dt.date],
    base: tuple[float, float] | None,
) -> PartLife:
    installed, watched, today = days
    name = table.text("part")
    kind = table.text("kind", choices=KINDS)
    fitted = _day_or(table, "fitted", last=today) or installed
    ended = _day_or(table, "ended", first=fitted, last=today)
    mode = table.text("mode", default="", choices=[mode.name for mode in KINDS[kind].modes])
    if mode and ended is None:
        raise table.bad(
            "mode",
            what="A part that failed needs the day on which it did.",
            value=mode,
            next_step="write ended = 2025-07-14, or take mode out",
        )
    life = PartLife(
        unit, name, kind, fitted, max(fitted, min(watched, ended or today)), ended, mode,
        rated=table.number("rated", unit=_rated_unit(kind), low=1e-3, high=1e4, default=0.0),
        pace=_pace(table, kind, base),
    )  # fmt: skip
    life = replace(life, readings=tuple(_readings(table, life, ended or today)))
    table.done()
    return life


def _rated_unit(kind: str) -> str:
    return "µF" if family_of(kind) == "capacitor" else "A"


def _pace(table: Table, kind: str, base: tuple[float, float] | None) -> float:
    """How fast a contactor wears, by its unit's starts and amps and its own rating."""
    rated = table.number("fla_a", unit="A", low=1.0, high=400.0, default=None)
    if family_of(kind) != "contactor" or base is None or rated is None:
        return 1.0
    return pace(base[0], base[1], rated)


def _readings(table: Table, part: PartLife, last: dt.date) -> Iterator[Reading]:
    known = [way.measure for way in ways_of(part.kind) if way.measure]
    for each in table.tables("readings"):
        day = _day(each, "date", first=part.fitted, last=last)
        quantity = each.text("quantity", choices=known)
        measure = MEASURES[quantity]
        # Insulation testers differ in range far more than other meters: a generous top.
        most = 100.0 * measure.meter.top
        value = each.number("value", unit=measure.meter.unit, low=0.0, high=most)
        each.done()
        try:
            measure.on_scale(value, part.rated)
        except BadInput as error:
            raise each.bad("value", what=error.what, value=value, allowed=error.allowed,
                           next_step=error.next_step) from error  # fmt: skip
        yield Reading(day, quantity, value)


def _call(table: Table, today: dt.date) -> ClosedCall:
    kind = table.text("kind", choices=KINDS)
    mode = table.text("mode", choices=[mode.name for mode in KINDS[kind].modes])
    day = _day(table, "date", last=today)
    installed = _day_or(table, "installed", last=day)
    age = table.number("age", unit="", low=0.0, high=100.0, default=None)
    said = table.strings("complaint", choices=[chip.id for chip in CHIPS], default=())
    table.done()
    if age is None:
        if installed is None:
            raise table.bad(
                what="The call does not say how old the unit was.",
                next_step="write installed = 2014-06-01, or age = 11 in years",
            )
        age = years(installed, day)
    return ClosedCall(kind, mode, age, said)


def _plan(table: Table) -> tuple[Plan, float]:
    """The plan, and the weeks over which uses of parts were counted."""
    visits = table.number("visits", unit="", low=0.0, high=1e5, default=None)
    plan = Plan(
        ahead_y=table.number("ahead_years", unit="", low=0.05, high=10.0, default=1.0),
        visits=None if visits is None else int(visits),
        fill_weeks=table.number("fill_weeks", unit="", low=0.1, high=52.0, default=1.0),
        money=table.number("van_money", unit="", low=0.0, high=1e6, default=None),
    )
    weeks = table.number("counted_weeks", unit="", low=1.0, high=2000.0, default=52.0)
    table.done()
    return plan, weeks


def _stock(table: Table, weeks: float) -> StockLine:
    used = table.number("used", unit="", low=0.0, high=1e5)
    line = StockLine(
        table.text("part"),
        round(used),
        table.number("weeks", unit="", low=1.0, high=2000.0, default=weeks),
        table.number("cost", unit="", low=0.01, high=MOST_PRICE),
        table.number("expected_a_week", unit="", low=1e-4, high=100.0, default=0.02),
    )
    table.done()
    return line


def _prices(table: Table) -> ShopPrices:
    """The default prices, with what the file says put in their place."""
    base = ShopPrices()

    def amount(key: str, old: float, *, low: float = 0.0, high: float = 10_000.0) -> float:
        return table.number(key, unit="", low=low, high=high, default=old)

    found = replace(
        base,
        labour_an_hour=amount("labour_an_hour", base.labour_an_hour),
        visit=amount("visit", base.visit),
        breakdown=amount("breakdown", base.breakdown),
        second_trip=amount("second_trip", base.second_trip, low=0.01),
        holding_a_year=amount("holding_a_year", base.holding_a_year, low=0.001, high=5.0),
        discount=amount("discount", base.discount, low=0.001, high=0.5),
    )
    named = table.table("parts", required=False)
    parts = {family: _part_price(named, family, old) for family, old in base.parts.items()}
    named.done()
    table.done()
    return replace(found, parts=parts)


def _part_price(named: Table, family: str, old: PartPrice) -> PartPrice:
    table = named.table(family, required=False)
    found = PartPrice(
        table.number("price", unit="", low=0.0, high=MOST_PRICE, default=old.price),
        table.number("minutes", unit="", low=0.0, high=5000.0, default=old.minutes),
    )
    table.done()
    return found


def _days(table: Table, key: str, first: dt.date, last: dt.date) -> Iterator[dt.date]:
    raw = table.value(key, default=[])
    if not isinstance(raw, list):
        raise table.bad(key, what="Visits are a list of days.", value=str(raw),
                        next_step="write them like visits = [2024-04-10, 2025-04-12]")  # fmt: skip
    for each in raw:
        yield _checked(table, key, each, first, last)


def _day(
    table: Table, key: str, *, first: dt.date | None = None, last: dt.date | None = None
) -> dt.date:
    """The day under ``key``, within bounds."""
    return _checked(table, key, table.value(key), first, last)


def _day_or(
    table: Table, key: str, *, first: dt.date | None = None, last: dt.date | None = None
) -> dt.date | None:
    """The same, None where it is missing."""
    raw = table.value(key, default=None)
    return None if raw is None else _checked(table, key, raw, first, last)


def _checked(
    table: Table, key: str, raw: object, first: dt.date | None, last: dt.date | None
) -> dt.date:
    day = raw.date() if isinstance(raw, dt.datetime) else raw
    if isinstance(day, str):
        try:
            day = dt.date.fromisoformat(day.strip())
        except ValueError:
            day = None
    ends = f"from {first or 'any day'} to {last or 'any day'}"
    if not isinstance(day, dt.date):
        raise table.bad(key, what="This is not a day.", value=str(raw), allowed="year-month-day",
                        next_step=f"write it like {key} = 2025-07-14")  # fmt: skip
    if not (first or day) <= day <= (last or day):
        raise table.bad(
            key,
            what="This day is out of order.",
            value=str(day),
            allowed=ends,
            next_step="put the days in order: fitted, visited, ended, today",
        )
    return day
