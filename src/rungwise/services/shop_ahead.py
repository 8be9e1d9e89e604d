"""What is coming for a shop whose records are held in a store: the same for page and command."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from rungwise.maintenance.visit_list import UnitForecast
from rungwise.records import Store
from rungwise.services.as_json import strict
from rungwise.services.history.shop_records import Notice, ShopRecords, shop_records
from rungwise.services.shop_forecast import ShopForecast, foreseen_json, foreseen_of

__all__ = ["ShopAhead", "shop_ahead"]


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

    def as_json(self) -> dict[str, Any]:
        """What `rungwise upkeep --json` prints for these records."""
        everything = foreseen_json(self.foreseen) | {
            "left_out": _noted(self.records.left_out),
            "taken_roughly": _noted(self.records.rough),
            "van_lists": sorted(self.records.carried),
        }
        plain: dict[str, Any] = strict(everything)
        return plain


def shop_ahead(store: Store, *, until: dt.date | None = None, also: int | None = None) -> ShopAhead:
    """Read the records and look ahead. Arguments as of `shop_records`."""
    with store.reading() as book:
        records = shop_records(book, until=until, also=also)
    return ShopAhead(records, foreseen_of(records.file))


def _noted(rows: Iterable[Notice]) -> list[dict[str, Any]]:
    return [{"unit": each.number, "title": each.unit, "why": each.why} for each in rows]
