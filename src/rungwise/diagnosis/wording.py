"""Numbers of belief said in words a technician uses."""

from __future__ import annotations

import math

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.quantity import format_quantity
from rungwise.wording import shaped

__all__ = ["percent", "reading_text", "sentence", "strength"]

STEPS = ((0.5, "hardly"), (2.0, "slightly"), (4.0, "clearly"), (7.0, "strongly"))
"""Bits below which an adverb holds: 4 bits make a suspect sixteen times as likely."""


def strength(bits: float) -> str:
    """How much a reading says: "strongly for", "slightly against", "says nothing of"."""
    if abs(bits) < STEPS[0][0]:
        return "says nothing of"
    side = "for" if bits > 0.0 else "against"
    for limit, adverb in STEPS[1:]:
        if abs(bits) < limit:
            return f"{adverb} {side}"
    return "all but proves" if bits > 0.0 else "all but rules out"


def percent(probability: float) -> str:
    """A probability without false certainty: "97%", "over 99%", "under 1%"."""
    if probability > 0.99:
        return "over 99%"
    if probability < 0.01:
        return "under 1%"
    return f"{round(100.0 * probability)}%"


def reading_text(card: CheckCard, value: float, sd: float = 0.0) -> str:
    """A check's outcome as it is written down: "26.4 V", "OL", "humming".

    value: as in a `Reading`. sd: meter error, to leave out the digits that are noise.
    """
    if card.form == "choice":
        return card.choices[int(value)]
    if math.isinf(value):
        return "OL"
    return format_quantity(_without_noise(value, sd), card.unit)


def sentence(text: str) -> str:
    """A text with a capital first and a full stop last."""
    return shaped(text, _sentence)


def _sentence(text: str) -> str:
    tidy = text.strip()
    return tidy[:1].upper() + tidy[1:] + ("" if tidy.endswith((".", "!", "?")) else ".")


def _without_noise(value: float, sd: float) -> float:
    if sd <= 0.0:
        return value
    if abs(value) < 2.0 * sd:
        return 0.0
    return round(value, -math.floor(math.log10(sd)))
