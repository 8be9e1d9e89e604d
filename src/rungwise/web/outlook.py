"""Forecast for the shop, worked out once for each change of its records, never in a page."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from rungwise.records import Store
from rungwise.services import RESULTS, ShopAhead, ShopAheadResult, elsewhere, near_end, shop_ahead
from rungwise.web.pages.ahead.view import ShopLines, shop_lines


@dataclass(frozen=True)
class Outlook:
    """The answer with all that the pages take from it. told: as the command prints it."""

    ahead: ShopAhead
    told: ShopAheadResult
    lines: ShopLines


@dataclass(frozen=True)
class OutlookState:
    """The last known answer, and when it was worked out by the shop's clock; None before the first.

    working: whether the records have changed since, and it is being worked out anew.
    """

    seen: Outlook | None = None
    at: dt.datetime | None = None
    working: bool = True


class Lookout:
    """Looks ahead over one shop's records. Thread-safe."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._own = object()  # two shops may have records of one mark
        self._worked = RESULTS.shelf("outlooks")
        self._last = OutlookState()
        self._lock = threading.Lock()

    def look(self, wait_s: float = 0.0) -> OutlookState:
        """What is known now; for what is not known yet it waits no longer than `wait_s`.

        Raises StoreError when the records cannot be read.
        """
        with self._store.reading() as book:
            mark, zone = (book.past.mark(), book.past.today()), book.past.zone()
        found = self._worked.within(
            (self._own, mark), self._look, wait_s, matter=(self._own, "the shop")
        )
        with self._lock:
            if found is None:
                return OutlookState(self._last.seen, self._last.at)
            self._last = OutlookState(found[0], found[1].astimezone(zone), working=False)
            return self._last

    def near_end(
        self, call: int, unit: int, day: dt.date, wait_s: float | None = None
    ) -> tuple[str, ...] | None:
        """What of a unit is near its end as of the day of a call, that call among what counts.

        wait_s: None waits for it. None comes back if it is not there within that time.
        """
        with self._store.reading() as book:
            key = (self._own, book.past.mark(also=call), call, unit, day)

        def work() -> tuple[str, ...]:
            address, now = self._store.address, self._store.now()
            return elsewhere(_near_end_at, address, now, call, unit, day)

        if wait_s is None:
            return self._worked.get(key, work)
        return self._worked.within(key, work, wait_s, matter=(self._own, call))

    def _look(self) -> tuple[Outlook, dt.datetime]:
        seen = elsewhere(_seen_at, self._store.address, self._store.now())
        return seen, self._store.now()


def _seen_at(address: str, now: dt.datetime) -> Outlook:
    with _opened(address, now) as store:
        ahead = shop_ahead(store)
    return Outlook(ahead, ahead.as_json(), shop_lines(ahead))


def _near_end_at(
    address: str, now: dt.datetime, call: int, unit: int, day: dt.date
) -> tuple[str, ...]:
    with _opened(address, now) as store:
        return near_end(shop_ahead(store, until=day, also=call), unit)


@contextmanager
def _opened(address: str, now: dt.datetime) -> Iterator[Store]:
    """The records, as another process opens them; its clock stands at `now`."""
    store = Store.open(address, now=lambda: now)
    try:
        yield store
    finally:
        store.close()
