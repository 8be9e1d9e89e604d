"""The one limit of a capacitor and of a contact, for every answer that tells of such a reading.

The figures are those of `unit.limits`, through the bands of the proof; nothing is worked out from
a model's spread where the trade has a limit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from rungwise.diagnosis import Verdict
from rungwise.diagnosis.shown import Confirmation
from rungwise.parts.limits import CAPACITOR, CONTACT_DROP
from rungwise.unit.unit import Unit
from rungwise.verification.good_band import GoodBand
from rungwise.verification.trade_bands import trade_bands

__all__ = ["by_stated_limit", "limits_told"]

MICROFARADS = ("uf-", "loaduf-")
DROP = "drop-"


def limits_told(unit: Unit) -> dict[str, str]:
    """By check: its limit in one sentence. Only where the unit tells what is marked."""
    return {
        check: CAPACITOR.told(band.least / CAPACITOR.change, "µF")
        if check.startswith(MICROFARADS)
        else CONTACT_DROP.told(1.0, "V")
        for check, band in _stated(unit)
    }


def by_stated_limit(verdict: Verdict, unit: Unit) -> Verdict:
    """The verdict, the reading that comes before its repair told by the limit where it has one."""
    confirm = verdict.confirm
    band = dict(_stated(unit)).get(confirm.check.id) if confirm else None
    if confirm is None or band is None:
        return verdict
    return replace(verdict, confirm=_told_by(confirm, band))


def _stated(unit: Unit) -> Iterator[tuple[str, GoodBand]]:
    for check, band in trade_bands(unit, timed=False).items():
        drop = check.startswith(DROP) and band.most == CONTACT_DROP.change
        if check.startswith(MICROFARADS) or drop:
            yield check, band


def _told_by(confirm: Confirmation, band: GoodBand) -> Confirmation:
    """Go on where the part is changed, stop where it is good; between them nothing is decided."""
    if math.isinf(band.least):
        return replace(confirm, go=((band.most, math.inf),), stop=((-math.inf, band.high),))
    more = tuple(span for span in confirm.go if band.high < span[0] < math.inf)
    return replace(confirm, go=((-math.inf, band.least), *more), stop=((band.low, band.high),))
