"""The one limit of a capacitor and of a contact, for every answer that tells of such a reading.

The figures are those of `unit.limits`, through the bands of the proof; nothing is worked out from
a model's spread where the trade has a limit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from rungwise.diagnosis import CheckCard, Confirmation, Verdict, checks_of
from rungwise.parts import CAPACITOR, CONTACT_DROP
from rungwise.unit import Unit
from rungwise.verification import GoodBand, trade_bands


def limits_told(unit: Unit) -> dict[str, str]:
    """By check: its limit in one sentence. Only where the unit tells what is marked."""
    return {
        card.id: CAPACITOR.told(band.least / CAPACITOR.change, "µF")
        if card.quantity == "microfarads"
        else CONTACT_DROP.told(1.0, "V")
        for card, band in _stated(unit)
    }


def by_stated_limit(verdict: Verdict, unit: Unit) -> Verdict:
    """The verdict, the reading that comes before its repair told by the limit where it has one."""
    confirm = verdict.confirm
    bands = {card.id: band for card, band in _stated(unit)}
    band = bands.get(confirm.check.id) if confirm else None
    if confirm is None or band is None:
        return verdict
    return replace(verdict, confirm=_told_by(confirm, band))


def stated_spans(unit: Unit) -> dict[str, dict[str, float | str]]:
    """By check, the limits that `by_stated_limit` tells a reading by, as plain values."""
    return {
        card.id: {each: _plain(getattr(band, each)) for each in ENDS}
        for card, band in _stated(unit)
    }


ENDS = ("least", "low", "high", "most")


def _plain(end: float) -> float | str:
    """JSON has no infinity."""
    return end if math.isfinite(end) else ("inf" if end > 0.0 else "-inf")


def _stated(unit: Unit) -> Iterator[tuple[CheckCard, GoodBand]]:
    cards = {check.card.id: check.card for check in checks_of(unit)}
    for name, band in trade_bands(unit, timed=False).items():
        card = cards.get(name)
        if card is None:
            continue
        drop = card.quantity == "drop" and band.most == CONTACT_DROP.change
        if card.quantity == "microfarads" or drop:
            yield card, band


def _told_by(confirm: Confirmation, band: GoodBand) -> Confirmation:
    """Go on where the part is changed, stop where it is good; between them nothing is decided."""
    if math.isinf(band.least):
        return replace(confirm, go=((band.most, math.inf),), stop=((-math.inf, band.high),))
    more = tuple(span for span in confirm.go if band.high < span[0] < math.inf)
    return replace(confirm, go=((-math.inf, band.least), *more), stop=((band.low, band.high),))
