"""A shop's records as upkeep reads them: units with their parts' lives, calls, the van.

Only closed service calls count; practice never does. A unit that is a draft, whose age nobody
told, or that has a call from before it was installed, is left out, with the reason.
"""

from __future__ import annotations

import datetime as dt
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from rungwise import records
from rungwise.errors import BadInput
from rungwise.maintenance import (
    ShopFile,
    ShopHistory,
    ShopPrices,
    StockLine,
    UnitHistory,
    VisitPlan,
    family_of,
)
from rungwise.records import PastCall, UnitOfWork
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.services.history.part_lives import lives_of
from rungwise.services.history.shop_calls import StandingSince, closed_calls, since
from rungwise.services.input_files import unit_from_text
from rungwise.unit import Unit as WholeUnit
from rungwise.wording import mark, say


@dataclass(frozen=True, slots=True)
class Notice:
    """Something about one unit that has to be said: left out, or taken roughly, and why."""

    number: int
    unit: str
    why: str


@dataclass(frozen=True)
class ShopRecords:
    """What upkeep reads of a shop, and what has to be said with it.

    numbers: of the units, by their names in the history. rough: units whose age is taken roughly.
    titles: what a person calls a part, by the names of unit and part. carried: the parts on the
    van's lists, by name.
    """

    file: ShopFile
    numbers: Mapping[str, int]
    titles: Mapping[tuple[str, str], str] = field(default_factory=dict)
    left_out: tuple[Notice, ...] = ()
    rough: tuple[Notice, ...] = ()
    carried: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)

    def name_of(self, number: int) -> str:
        """A unit's name in the history, "" where it was left out."""
        return next((name for name, held in self.numbers.items() if held == number), "")

    def note_on(self, number: int) -> str:
        """Why a unit is left out, or what is taken roughly of it; "" where there is nothing."""
        both = (*self.left_out, *self.rough)
        return next((each.why for each in both if each.number == number), "")


def shop_records(
    book: UnitOfWork, *, until: dt.date | None = None, also: int | None = None
) -> ShopRecords:
    """The shop as upkeep reads it.

    until: the day as of which, without what the shop's calls say of the weights; today, by the
    shop's clock, where none is given. also: a call that counts though it is not closed yet.
    """
    today = until or book.past.today()
    calls = book.past.calls(until=today, also=also)
    found = _units(book, calls, today)
    shop, prices, lists = book.shop.only(), ShopPrices(), carried(book)
    held = [each for every in calls.values() for each in every]
    history = ShopHistory(
        today,
        tuple(each.history for each in found.units),
        closed_calls(book) if until is None else (),
        stock_lines(lists, held, today, prices),
    )
    return ShopRecords(
        file=ShopFile(shop.name if shop else "", history, prices, VisitPlan()),
        numbers={each.history.name: each.number for each in found.units},
        titles={
            (each.history.name, part.name): part.title
            for each in found.units
            for part in each.unit.parts
        },
        left_out=tuple(found.left_out),
        rough=tuple(
            Notice(each.number, each.title, each.since.rough)
            for each in found.units
            if each.since.rough
        ),
        carried=lists,
    )


@dataclass(frozen=True)
class _DatedUnit:
    """A unit whose text and age are known."""

    number: int
    title: str
    unit: WholeUnit
    since: StandingSince
    history: UnitHistory


@dataclass
class _Units:
    """The units of a shop, and those left out."""

    units: list[_DatedUnit] = field(default_factory=list)
    left_out: list[Notice] = field(default_factory=list)


def _units(book: UnitOfWork, calls: Mapping[int, Sequence[PastCall]], today: dt.date) -> _Units:
    """Every unit with its history, or with why there is none."""
    rows, typed, found = book.units.all(), book.past.installed_as_typed(), _Units()
    names = _names(rows)
    for row in rows:
        told = _unit(row, names[row.id], calls.get(row.id, ()), typed.get(row.id, ""), today)
        if isinstance(told, str):
            found.left_out.append(Notice(row.id, row.title, told))
        else:
            found.units.append(told)
    return found


def _unit(
    row: records.Unit, name: str, calls: Sequence[PastCall], typed: str, today: dt.date
) -> _DatedUnit | str:
    """The unit with its history and how its age is known; or why there is none."""
    unit = _whole(row)
    if unit is None:
        return mark("its nameplate is not filled in so that the unit can be solved")
    told = since(row, unit, typed)
    if told is None:
        return mark(
            "nobody entered when it was installed, and its nameplate does not say when it was made"
        )
    first = min((each.call.day for each in calls), default=today)
    if told.rough and told.day > first >= dt.date(told.day.year, 1, 1):
        told = replace(told, day=first)  # a year alone was taken at its middle
    if told.day > min(first, today):
        return say(
            "installed on {day}, after the first call on it or after today", day=str(told.day)
        )
    watched = max(told.day, min(row.added_at.date(), first))
    lives = lives_of(unit, name, told, watched, calls)
    days = sorted({day for each in calls for day in each.days if told.day <= day <= today})
    return _DatedUnit(
        row.id, row.title, unit, told, UnitHistory(name, told.day, lives, tuple(days))
    )


def _whole(row: records.Unit) -> WholeUnit | None:
    """The unit of a row, None for a draft and for a text that cannot be used."""
    try:
        return unit_from_text(row.toml) if row.state == "whole" else None
    except BadInput:
        return None


def _names(rows: Sequence[records.Unit]) -> dict[int, str]:
    """A name for each unit: its title, with its number where two have the same."""
    alike = Counter(row.title for row in rows)
    return {
        row.id: row.title if alike[row.title] == 1 else f"{row.title} (unit {row.id})"
        for row in rows
    }


COUNTED_WEEKS = 52.0
"""Uses of parts are counted over the last year, or since the first call where that is less."""

EXPECTED_A_WEEK = 0.02
"""Of a part before anything was counted: one a year (common practice, no source)."""

LEAST_COST = 0.01


def carried(book: UnitOfWork) -> dict[str, Mapping[str, Any]]:
    """Each part on the lists of the shop and of its people, as in a candidates file, by name.

    A list that cannot be read carries nothing.
    """
    shop = book.shop.only()
    texts = [shop.stock if shop else "", *(each.stock for each in book.persons.all())]
    return {str(row["name"]): row for text in texts for row in _rows(text) if row.get("name")}


def _rows(text: str) -> list[Mapping[str, Any]]:
    try:
        rows = tomllib.loads(text).get("candidates", [])
    except tomllib.TOMLDecodeError:
        return []
    return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []


def stock_lines(
    lists: Mapping[str, Mapping[str, Any]],
    calls: Iterable[PastCall],
    today: dt.date,
    prices: ShopPrices,
) -> tuple[StockLine, ...]:
    """A line for each part on the lists, and for each that was fitted though no list has it."""
    held = list(calls)
    first = min((each.call.day for each in held), default=today)
    weeks = min(max((today - first).days / 7.0, 1.0), COUNTED_WEEKS)
    since = today - dt.timedelta(weeks=COUNTED_WEEKS)
    fitted = [row.candidate or {} for each in held if each.call.day >= since
              for row in each.fitted]  # fmt: skip
    used = Counter(str(row.get("name", "")) for row in fitted)
    known = {str(row["name"]): row for row in fitted if row.get("name")} | dict(lists)
    return tuple(
        StockLine(name, used[name], weeks, _cost(row, prices), EXPECTED_A_WEEK)
        for name, row in known.items()
    )


def _cost(row: Mapping[str, Any], prices: ShopPrices) -> float:
    """Its price on the list, else what such a part costs by the shop's prices."""
    price = row.get("price")
    if isinstance(price, int | float) and price > 0.0:
        return max(float(price), LEAST_COST)
    kind = CANDIDATE_KINDS.get(str(row.get("kind", "")))
    return prices.parts[family_of(kind.pieces[0].kind if kind else "")].price
