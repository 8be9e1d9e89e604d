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

from rungwise.diagnosis import CHIPS
from rungwise.errors import BadInput, BadShopFile
from rungwise.files import (
    Date,
    Dates,
    Document,
    Many,
    Measured,
    Named,
    Number,
    One,
    Row,
    Schema,
    Table,
    Text,
    TextBy,
    Texts,
    document_schema,
    key,
)
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
from rungwise.maintenance.outlook import VisitPlan
from rungwise.maintenance.prices import ShopPrices
from rungwise.maintenance.ways import rated_in, ways_of
from rungwise.parts import KINDS

MOST_PRICE = 100_000.0
MOST_USES = 1e5
MOST_WEEKS = 2000.0
USUAL_WEEKS = 52.0
"""Weeks over which uses of parts were counted, where a file does not tell."""

_KINDS = tuple(KINDS)
_USUAL = ShopPrices()
_PLAN = VisitPlan()
_MODES = {name: tuple(mode.name for mode in kind.modes) for name, kind in KINDS.items()}


@dataclass(frozen=True)
class ShopFile:
    """All that a shop file holds."""

    title: str
    history: ShopHistory
    prices: ShopPrices
    plan: VisitPlan


def _day(what: str, *, needed: bool = False) -> Date:
    return Date(f"{what}: 2025-07-14", needed=needed, noun="day")


def _price(what: str, usual: float, low: float = 0.0, high: float = 10_000.0) -> Number:
    return Number(what, low=low, high=high, usual=usual)


class ShopReadingRow(Row):
    """What was read of a part."""

    date: dt.date = key(_day("read on", needed=True))
    quantity: str = key(Text("what was measured", needed=True, choices=tuple(MEASURES)))
    value: float | str = key(Measured('what the meter showed: "43.1 µF", "18 A"', needed=True))


class PartRow(Row, rules={"dependentRequired": {"mode": ["ended"]}}):
    """One part of a unit, also one that was taken out."""

    part: str = key(Text("its name in the unit", needed=True))
    kind: str = key(Text("its kind", needed=True, choices=_KINDS))
    fitted: dt.date | None = key(_day("fitted on; the day of the unit where none is given"))
    ended: dt.date | None = key(_day("failed or taken out on"))
    mode: str = key(TextBy("the fault that ended it", by="kind", by_text=_MODES))
    rated: float | str = key(Measured('rated microfarads or amps: "43.1 µF", "18 A"'))
    fla_a: float | None = key(
        Number("full-load amps of a contactor", unit="A", low=1.0, high=400.0)
    )
    readings: tuple[ShopReadingRow, ...] = key(Many("what was read of it", row=ShopReadingRow))


class ShopUnitRow(Row):
    """A unit in the shop's care."""

    name: str = key(Text("what the shop calls it", needed=True))
    installed: dt.date = key(_day("installed on", needed=True))
    watched: dt.date | None = key(_day("in the shop's care since"))
    visits: tuple[dt.date, ...] = key(Dates("days on which somebody was there", noun="day"))
    starts_a_year: float | None = key(Number("starts a year", low=1.0, high=200_000.0))
    amps: float | None = key(Number("amps through the contactor", unit="A", low=0.1, high=400.0))
    parts: tuple[PartRow, ...] = key(Many("parts, also those that were taken out", row=PartRow))


class CallRow(Row, rules={"anyOf": [{"required": ["installed"]}, {"required": ["age"]}]}):
    """A closed call whose fault is known."""

    date: dt.date = key(_day("of the call", needed=True))
    kind: str = key(Text("kind of the part that failed", needed=True, choices=_KINDS))
    mode: str = key(TextBy("the fault that was found", needed=True, by="kind", by_text=_MODES))
    installed: dt.date | None = key(_day("the unit was installed on"))
    age: float | None = key(Number("age of the unit, in years", low=0.0, high=100.0))
    complaint: tuple[str, ...] = key(
        Texts("what the customer said", choices=tuple(chip.id for chip in CHIPS))
    )


class StockRow(Row):
    """What the van may carry."""

    part: str = key(Text("what the van calls it", needed=True))
    used: float = key(Number("how many were used", needed=True, low=0.0, high=MOST_USES))
    weeks: float | None = key(Number("in so many weeks", low=1.0, high=MOST_WEEKS))
    cost: float = key(Number("what one costs", needed=True, low=0.01, high=MOST_PRICE))
    expected_a_week: float = key(
        Number("uses a week before the shop has counted", missing=0.02, usual=0.02,
               low=1e-4, high=100.0)
    )  # fmt: skip


class PlanRow(Row):
    """What the shop asks for."""

    ahead_y: float | None = key(
        Number("how far to look ahead", low=0.05, high=10.0, usual=_PLAN.ahead_y),
        called="ahead_years",
    )
    visits: float | None = key(Number("how many visits there is time for", low=0.0, high=MOST_USES))
    fill_weeks: float | None = key(
        Number("weeks until the van is filled again", low=0.1, high=52.0, usual=_PLAN.fill_weeks)
    )
    money: float | None = key(
        Number("the most that may lie on the van", low=0.0, high=1e6), called="van_money"
    )
    counted_weeks: float | None = key(
        Number("weeks over which uses of parts were counted", low=1.0, high=MOST_WEEKS,
               usual=USUAL_WEEKS)
    )  # fmt: skip


class PartPriceRow(Row):
    """What a part of one family costs."""

    price: float | None = key(Number("of one", low=0.0, high=MOST_PRICE))
    minutes: float | None = key(Number("to put it in", low=0.0, high=5000.0))


class PricesRow(Row):
    """The shop's prices, in its own money."""

    labour_an_hour: float | None = key(_price("an hour's work", _USUAL.labour_an_hour))
    visit: float | None = key(_price("a planned visit, travel included", _USUAL.visit))
    breakdown: float | None = key(
        _price("a call in the season beyond the repair", _USUAL.breakdown)
    )
    second_trip: float | None = key(
        _price("when the part is not on the van", _USUAL.second_trip, low=0.01)
    )
    holding_a_year: float | None = key(
        _price("share of a part's cost that a year on the van costs", _USUAL.holding_a_year,
               low=0.001, high=5.0)
    )  # fmt: skip
    discount: float | None = key(
        _price("share by which next year's money counts less", _USUAL.discount,
               low=0.001, high=0.5)
    )  # fmt: skip
    parts: dict[str, PartPriceRow] = key(
        Named(each=One(row=PartPriceRow, absent=False), known=tuple(_USUAL.parts))
    )


class ShopRow(
    Row,
    what="A shop's units with their parts and readings, its closed calls, its van.",
    rules={"anyOf": [{"required": [each]} for each in ("units", "calls", "stock")]},
):
    """A shop file, as it stands."""

    title: str = key(Text("whose units they are"))
    today: dt.date = key(_day("the day that the shop is looked at", needed=True))
    units: tuple[ShopUnitRow, ...] = key(Many("units in the shop's care", row=ShopUnitRow))
    calls: tuple[CallRow, ...] = key(Many("closed calls whose fault is known", row=CallRow))
    stock: tuple[StockRow, ...] = key(Many("what the van may carry", row=StockRow))
    plan: PlanRow = key(One(row=PlanRow, absent=False))
    prices: PricesRow = key(One(row=PricesRow, absent=False))


def shop_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a shop file.

    That days are in order is judged where the file is read.
    """
    return document_schema(ShopRow, "Rungwise shop")


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
    """The shop in the file at `path`.

    Raises BadShopFile with file, line, key, what is allowed and the next step.
    """
    row = ShopRow.read(_shop_in(Document.read(path, error=BadShopFile, limit_bytes=20_000_000)))
    if not (row.units or row.calls or row.stock):
        raise row.at.bad(
            what="The file tells of no unit, no call and no part of the van.",
            next_step='begin with [[units]], then name = "..." and installed = 2014-06-01',
        )
    weeks = row.plan.counted_weeks or USUAL_WEEKS
    history = ShopHistory(
        row.today,
        tuple(_unit(each, row.today) for each in row.units),
        tuple(_call(each, row.today) for each in row.calls),
        tuple(
            StockLine(each.part, round(each.used), each.weeks or weeks, each.cost,
                      each.expected_a_week)
            for each in row.stock
        ),
    )  # fmt: skip
    plan = replace(_PLAN, **row.plan.given("ahead_y", "fill_weeks", "money"))
    if row.plan.visits is not None:
        plan = replace(plan, visits=int(row.plan.visits))
    return ShopFile(row.title, history, _prices(row.prices), plan)


def _unit(row: ShopUnitRow, today: dt.date) -> UnitHistory:
    installed = _ordered(row, "installed", row.installed, last=today)
    watched = _ordered(row, "watched", row.watched or installed, first=installed, last=today)
    for day in row.visits:
        _ordered(row, "visits", day, first=installed, last=today)
    parts = tuple(_part(each, row, watched, today) for each in row.parts)
    return UnitHistory(row.name, installed, parts, row.visits)


def _part(row: PartRow, unit: ShopUnitRow, watched: dt.date, today: dt.date) -> PartLife:
    fitted = _ordered(row, "fitted", row.fitted or unit.installed, last=today)
    if row.ended:
        _ordered(row, "ended", row.ended, first=fitted, last=today)
    if row.mode and row.ended is None:
        raise row.at.bad(
            "mode",
            what="A part that failed needs the day on which it did.",
            value=row.mode,
            next_step="write ended = 2025-07-14, or take mode out",
        )
    last = row.ended or today
    life = PartLife(
        unit.name, row.part, row.kind, fitted, max(fitted, min(watched, last)), row.ended, row.mode,
        rated=row.at.number("rated", unit=rated_in(row.kind),
                            low=1e-3, high=1e4, default=0.0),
        pace=_pace(row, unit),
    )  # fmt: skip
    return replace(life, readings=tuple(_readings(row, life, last)))


def _pace(row: PartRow, unit: ShopUnitRow) -> float:
    """How fast a contactor wears, by its unit's starts and amps and its own rating."""
    told = unit.starts_a_year, unit.amps, row.fla_a
    followed = {way.measure for way in ways_of(row.kind)}
    if "contact_drop" not in followed or None in told:
        return 1.0
    return pace(*(each or 0.0 for each in told))


def _readings(row: PartRow, part: PartLife, last: dt.date) -> Iterator[Reading]:
    known = [way.measure for way in ways_of(part.kind) if way.measure]
    for each in row.readings:
        day = _ordered(each, "date", each.date, first=part.fitted, last=last)
        measure = MEASURES[each.at.text("quantity", choices=known)]
        # Insulation testers differ in range far more than other meters: a generous top.
        most = 100.0 * measure.meter.top
        value = each.at.number("value", unit=measure.meter.unit, low=0.0, high=most)
        try:
            measure.on_scale(value, part.rated)
        except BadInput as error:
            raise each.at.bad("value", what=error.what, value=value, allowed=error.allowed,
                              next_step=error.next_step) from error  # fmt: skip
        yield Reading(day, each.quantity, value)


def _call(row: CallRow, today: dt.date) -> ClosedCall:
    day = _ordered(row, "date", row.date, last=today)
    installed = row.installed and _ordered(row, "installed", row.installed, last=day)
    if row.age is None and installed is None:
        raise row.at.bad(
            what="The call does not say how old the unit was.",
            next_step="write installed = 2014-06-01, or age = 11 in years",
        )
    age = years(installed, day) if row.age is None and installed else row.age or 0.0
    return ClosedCall(row.kind, row.mode, age, row.complaint)


def _prices(row: PricesRow) -> ShopPrices:
    """The usual prices, with what the file says put in their place."""
    told = row.given()
    parts = {
        family: replace(_USUAL.parts[family], **each.given())
        for family, each in told.pop("parts").items()
    }
    return replace(_USUAL, **told, parts=parts)


def _ordered(
    row: Row, key: str, day: dt.date, *, first: dt.date | None = None, last: dt.date | None = None
) -> dt.date:
    """A day, refused where it is out of order."""
    if (first or day) <= day <= (last or day):
        return day
    raise row.at.bad(
        key,
        what="This day is out of order.",
        value=str(day),
        allowed=f"from {first or 'any day'} to {last or 'any day'}",
        next_step="put the days in order: fitted, visited, ended, today",
    )
