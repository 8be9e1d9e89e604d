"""Bands of expected readings in words."""

from __future__ import annotations

import math

from rungwise.diagnosis import Expected, percent
from rungwise.quantity import format_quantity

LEAST_SHOWN = {"V": 0.15, "A": 0.005, "Ω": 0.05, "W": 0.5}
"""A meter shows 0 below this, by unit (common practice, no source)."""

FINE_VOLT = 0.0005
"""Drops are measured on the millivolt range."""


def band_text(expected: Expected) -> str:
    """The band in words: "25.5 to 27.4 V", "OL", "in (99%)"."""
    if expected.low is None or expected.high is None:
        return f"{expected.choice} ({percent(expected.chance or 0.0)})"
    low, high = (_shown(expected, each) for each in (expected.low, expected.high))
    if low == high:
        return low
    number, _, unit = low.partition(" ")
    return f"{number if not unit or unit == high.partition(' ')[2] else low} to {high}"


def _shown(expected: Expected, value: float) -> str:
    least = FINE_VOLT if expected.fine else LEAST_SHOWN.get(expected.unit, 0.0)
    if math.isinf(value):
        return "OL"
    return format_quantity(0.0 if abs(value) < least else value, expected.unit)
