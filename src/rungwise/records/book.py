"""The book of a shop: one page for each sort of thing, open for as long as a transaction."""

from __future__ import annotations

from functools import cached_property

from rungwise.records.calls import Calls
from rungwise.records.hand import Hand
from rungwise.records.people import Customers, Persons, Shops, Sites
from rungwise.records.readings import Readings
from rungwise.records.units import Units

__all__ = ["Book"]


class Book:
    """Everything in a store, by noun. It is open inside ``with store.reading() as book:``."""

    def __init__(self, hand: Hand) -> None:
        self.hand = hand

    @cached_property
    def shop(self) -> Shops:
        """The shop."""
        return Shops(self.hand)

    @cached_property
    def persons(self) -> Persons:
        """Those who work for it."""
        return Persons(self.hand)

    @cached_property
    def customers(self) -> Customers:
        """Those who call."""
        return Customers(self.hand)

    @cached_property
    def sites(self) -> Sites:
        """Addresses with units."""
        return Sites(self.hand)

    @cached_property
    def units(self) -> Units:
        """Units."""
        return Units(self.hand)

    @cached_property
    def calls(self) -> Calls:
        """Calls."""
        return Calls(self.hand)

    @cached_property
    def symptoms(self) -> Readings:
        """What was seen, heard and smelled."""
        return Readings(self.hand, "symptom")

    @cached_property
    def readings(self) -> Readings:
        """What was measured to find the cause."""
        return Readings(self.hand, "reading")

    @cached_property
    def proofs(self) -> Readings:
        """What was measured to prove the work."""
        return Readings(self.hand, "proof")
