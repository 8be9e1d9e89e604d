"""Numbers of belief said in words a technician uses."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.quantity import format_quantity
from rungwise.wording import mark, say, shaped

STEPS = (
    (2.0, mark("slightly"), mark("slightly for"), mark("slightly against")),
    (4.0, mark("clearly"), mark("clearly for"), mark("clearly against")),
    (7.0, mark("strongly"), mark("strongly for"), mark("strongly against")),
)
LEAST_BITS = 0.5
"""Bits below which an adverb holds: 4 bits make a suspect sixteen times as likely."""


def strength(bits: float) -> str:
    """How much a reading says: "strongly for", "slightly against", "says nothing of"."""
    if abs(bits) < LEAST_BITS:
        return mark("says nothing of")
    for limit, _, speaks_for, against in STEPS:
        if abs(bits) < limit:
            return speaks_for if bits > 0.0 else against
    return mark("all but proves") if bits > 0.0 else mark("all but rules out")


def how_strong(bits: float) -> str:
    """The same without its side: "strongly"."""
    inside = (adverb for limit, adverb, *_ in STEPS if LEAST_BITS <= abs(bits) < limit)
    return next(inside, strength(bits))


def either(texts: Sequence[str]) -> str:
    """One or the other: "OL, or 3 to 5 Ω"; "" of none."""
    told = texts[0] if texts else ""
    for each in texts[1:]:
        told = say("{one}, or {other}", one=told, other=each)
    return told


def percent(probability: float) -> str:
    """A probability without false certainty: "97%", "over 99%", "under 1%"."""
    if probability > 0.99:
        return mark("over 99%")
    if probability < 0.01:
        return mark("under 1%")
    return f"{round(100.0 * probability)}%"


def reading_text(card: CheckCard, value: float, sd: float = 0.0) -> str:
    """A check's outcome as it is written down: "26.4 V", "OL", "humming".

    value: as in a `Reading`. sd: meter error, to leave out the digits that are noise.
    """
    if card.form == "choice":
        return mark(card.choices[int(value)])
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
