"""What is coming for the shop, worked out once for each change of its records, never in a page."""

from __future__ import annotations

import datetime as dt
import threading
from dataclasses import dataclass

from rungwise.answers.shop_ahead import ShopAhead, shop_ahead
from rungwise.answers.worked import Worked
from rungwise.records import Store
from rungwise.web.ahead_view import shop_lines

__all__ = ["Look", "Lookout"]

KEPT = 4
"""Answers at hand: that of the shop, and of the calls whose papers were asked for last."""


@dataclass(frozen=True)
class Look:
    """The last known answer, and when it was worked out by the shop's clock; None before the first.

    working: whether the records have changed since, and it is being worked out anew.
    """

    ahead: ShopAhead | None
    at: dt.datetime | None
    working: bool


class Lookout:
    """Looks ahead over one shop's records. Thread-safe."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._worked = Worked(KEPT)
        self._last = Look(None, None, working=True)
        self._lock = threading.Lock()

    def look(self, wait_s: float = 0.0) -> Look:
        """What is known now; for what is not known yet it waits no longer than `wait_s`.

        Raises StoreError when the records cannot be read.
        """
        with self._store.reading() as book:
            mark, zone = (book.past.mark(), book.past.today()), book.past.zone()
        found = self._worked.within(mark, self._ahead, wait_s, matter="the shop")
        with self._lock:
            if found is not None:
                self._last = Look(found[0], found[1].astimezone(zone), working=False)
                return self._last
            return Look(self._last.ahead, self._last.at, working=True)

    def on_day_of(self, call: int, day: dt.date, wait_s: float | None = None) -> ShopAhead | None:
        """The shop as it was on the day of a call, that call among what counts.

        wait_s: None waits for it. None comes back if it is not there within that time.
        """
        with self._store.reading() as book:
            key = (book.past.mark(also=call), day, call)

        def work() -> ShopAhead:
            return shop_ahead(self._store, until=day, also=call)

        if wait_s is None:
            return self._worked.get(key, work)
        return self._worked.within(key, work, wait_s, matter=call)

    def _ahead(self) -> tuple[ShopAhead, dt.datetime]:
        """The answer with all that the pages take from it, so that none of them works it out."""
        found = shop_ahead(self._store)
        shop_lines(found)
        return found, self._store.now()
