"""The demo shop's records: filled from the files beside this one, in a folder that goes again."""

from __future__ import annotations

import shutil
import tempfile
import threading
import weakref
from pathlib import Path
from typing import TYPE_CHECKING

from rungwise.records import Store, bring_folder
from rungwise.web.deps import AppState

if TYPE_CHECKING:
    from rungwise.services import DiagnosisService

FILES = Path(__file__).parent / "shop"
STOCK = "van.toml"


class DemoShop:
    """The demo for as long as the server runs, made when somebody first asks for it."""

    def __init__(self, desk: DiagnosisService) -> None:
        self._desk = desk
        self._one = threading.Lock()
        self._house: AppState | None = None
        self._gone: weakref.finalize[..., DemoShop] | None = None

    def house(self, zone: str) -> AppState:
        """The demo's records; zone: where its shop is said to be, the first visitor's."""
        with self._one:
            if self._house is None:
                folder = Path(tempfile.mkdtemp(prefix="rungwise-demo-"))
                store = Store.open(f"sqlite:///{folder / 'demo.sqlite'}")
                self._gone = weakref.finalize(self, _take_down, store, folder)
                furnish(store, zone or "UTC")
                self._house = AppState(store, self._desk)
            return self._house

    def close(self) -> None:
        """Let go of the records, and of their folder."""
        with self._one:
            self._house = None
            if self._gone is not None:
                self._gone()


def _take_down(store: Store, folder: Path) -> None:
    store.close()
    shutil.rmtree(folder, ignore_errors=True)


def furnish(store: Store, zone: str) -> None:
    """Fill a store with the demo: a tech, a van, units, and calls of today."""
    with store.writing() as book:
        shop = book.shop.name_it("Hollow Cooling (demo)", zone=zone)
        book.persons.add("Demo tech", zone=zone)
        book.shop.leave(shop.id, "stock", (FILES / STOCK).read_text(encoding="utf-8"))
    with store.writing() as book:
        today = book.calls.today()
        for call in bring_folder(book, FILES).calls:
            book.calls.leave(call.id, "day", today.isoformat())
