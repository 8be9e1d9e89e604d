"""A practice call for the browser to look at."""

from __future__ import annotations

from tests.web.mill_street import UNIT_TOML, Shop

from rungwise.records import UnitOfWork
from rungwise.web.pages.practice.context import opened

__all__ = ["practice_call"]


def practice_call(book: UnitOfWork, shop: Shop) -> int:
    """A practice call with a check made on it; its number."""
    number = opened(
        book, person_id=shop.amari, title="14 Mill Street", text=UNIT_TOML, level="any",
        fault="capacitor.herm_weak", seed=7,
    )  # fmt: skip
    book.symptoms.take(number, "look-fan", "turning", value="turning")
    book.readings.take(number, "volts-coil", "26.8 V", value=26.8, unit="V")
    return number
