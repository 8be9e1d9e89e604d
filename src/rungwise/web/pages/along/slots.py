"""Places in carried pieces that the phone fills with its own words and numbers."""

from __future__ import annotations

import datetime as dt

__all__ = ["SIGN", "ms_of", "slot"]

SIGN = "\N{OBJECT REPLACEMENT CHARACTER}"


def slot(name: str) -> str:
    """A named place."""
    return f"{SIGN}{name}{SIGN}"


def ms_of(at: dt.datetime) -> float:
    """A moment as script counts it."""
    return at.timestamp() * 1000.0
