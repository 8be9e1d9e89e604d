"""The book of a shop: one page for each sort of thing, open for as long as a transaction."""

from __future__ import annotations

from functools import cached_property

from rungwise.records.arrangements import OwnArrangements
from rungwise.records.calls import Calls, Visits
from rungwise.records.endings import SignOffs, Truths, Verdicts
from rungwise.records.past_calls import PastCalls
from rungwise.records.people import Customers, Persons, Shops, Sites
from rungwise.records.photos import Photos
from rungwise.records.practices import Practices
from rungwise.records.readings import Readings
from rungwise.records.sent_forms import SentForms
from rungwise.records.session import RecordSession
from rungwise.records.shares import Shares
from rungwise.records.taking_back import TakingBack
from rungwise.records.units import Units
from rungwise.records.work import Fittings, Steps, Wirings


class UnitOfWork:
    """Everything in a store, by noun. It is open inside `with store.reading() as book:`."""

    def __init__(self, hand: RecordSession) -> None:
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
    def arrangements(self) -> OwnArrangements:
        """Arrangements of the shop's own."""
        return OwnArrangements(self.hand)

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

    @cached_property
    def photos(self) -> Photos:
        """Photos."""
        return Photos(self.hand)

    @cached_property
    def fitted(self) -> Fittings:
        """Parts fitted."""
        return Fittings(self.hand)

    @cached_property
    def wires(self) -> Wirings:
        """Wires as found and as left."""
        return Wirings(self.hand)

    @cached_property
    def steps(self) -> Steps:
        """Steps of making dead, ticked."""
        return Steps(self.hand)

    @cached_property
    def verdicts(self) -> Verdicts:
        """What the readings spoke for."""
        return Verdicts(self.hand)

    @cached_property
    def sign_offs(self) -> SignOffs:
        """What the customer was told at the end."""
        return SignOffs(self.hand)

    @cached_property
    def truths(self) -> Truths:
        """What was at fault in the end."""
        return Truths(self.hand)

    @cached_property
    def past(self) -> PastCalls:
        """Closed calls, all at once."""
        return PastCalls(self.hand)

    @cached_property
    def visits(self) -> Visits:
        """Who was at the unit, and when."""
        return Visits(self.hand)

    @cached_property
    def practice(self) -> Practices:
        """What practice calls hide, and how they went."""
        return Practices(self.hand)

    @cached_property
    def undo(self) -> TakingBack:
        """What may be taken back, and what was."""
        return TakingBack(self.hand)

    @cached_property
    def shares(self) -> Shares:
        """Links to customer reports."""
        return Shares(self.hand)

    @cached_property
    def sent(self) -> SentForms:
        """Forms that were sent."""
        return SentForms(self.hand)
