"""The lines of the van: what the shop's lists carry, and how often each part was fitted."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from rungwise.maintenance import ShopPrices, StockLine, family_of
from rungwise.records import PastCall, UnitOfWork
from rungwise.replacement import CANDIDATE_KINDS

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
