"""What a reading on a good unit may be by the trade's limits, and how far beyond it still works.

These limits come before the band of the solved unit: a plate's amps are a ceiling that follows the
weather, insulation has no upper end, a coil's ohms stand on no label. A reading within them never
speaks against a repair, whatever the model of the unit made of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from rungwise.diagnosis import CheckCard
from rungwise.quantity import format_quantity
from rungwise.wording import say

ReadingLevel = Literal["good", "caution", "refuse", "again"]
"""As it should be; works, to maintenance; out of its band a second time, which stops the proof; out
of its band, so once more."""

RESOLUTION = {"V": 0.1, "A": 0.1, "Ω": 0.1, "µF": 0.1, "MΩ": 1.0, "s": 1.0}
"""The last digit that an ordinary trade meter shows, by the unit of the check."""


@dataclass(frozen=True, slots=True)
class GoodBand:
    """Limits of one check, in its unit.

    low, high: what is good. least, most: between them it still works and is told; a reading beyond
    is taken again, and stops the proof when it comes out so twice. Infinite where there is no
    limit. text: what is good, in words. source: of the limits.
    """

    low: float
    high: float
    least: float
    most: float
    text: str
    source: str

    def level(self, value: float) -> ReadingLevel:
        """Where a reading stands; infinite is OL. What is no number is beyond."""
        if self.low <= value <= self.high:
            return "good"
        return "caution" if self.least <= value <= self.most else "again"

    def side(self, value: float) -> int:
        """-1 below what is good, 1 above, 0 within."""
        return int(value > self.high) - int(value < self.low)


def band_text(card: CheckCard, low: float, high: float) -> str:
    """A band of readings in words, no finer than a meter shows: "under 0.1 V", "0.6 to 0.8 Ω".

    low, high: in the card's unit; infinite where there is no limit, or where it is OL.
    """
    step = RESOLUTION.get(card.unit, 0.0)
    if math.isinf(low) and low > 0.0:
        return "OL"
    if math.isinf(high):
        return say(
            "{format_quantity} or more, or OL",
            format_quantity=format_quantity(rounded_out(low, step, up=False), card.unit),
        )
    first, last = rounded_out(max(low, 0.0), step, up=False), rounded_out(high, step, up=True)
    if first < step or (step and first <= 0.0):
        return say("under {value}", value=format_quantity(last, card.unit))
    told = format_quantity(last, card.unit)
    return say(
        "{low} to {high}", low=format_quantity(first, card.unit).partition(" ")[0], high=told
    )


def rounded_out(value: float, step: float, *, up: bool) -> float:
    """`value` moved out to three digits and to the meter's last digit, whichever is coarser."""
    if value == 0.0 or not math.isfinite(value):
        return value if not up or value else step
    digit = max(step, 10.0 ** (math.floor(math.log10(abs(value))) - 2))
    whole = value / digit
    # A hair of binary rounding must not move a limit by a whole digit.
    return float(f"{digit * (math.ceil(whole - 1e-6) if up else math.floor(whole + 1e-6)):.12g}")
