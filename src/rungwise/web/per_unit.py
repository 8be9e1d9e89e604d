"""What is worked out from a unit alone, kept for as long as pages ask for the very same unit."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from rungwise.unit.unit import Unit

__all__ = ["per_unit"]

T = TypeVar("T")

KEPT = 64


def per_unit(make: Callable[[Unit], T]) -> Callable[[Unit], T]:
    """Let `make` work once for each unit. Whoever gets what it made must not change it."""
    held: dict[int, tuple[Unit, T]] = {}

    @wraps(make)
    def found(unit: Unit) -> T:
        known = held.get(id(unit))
        if known is None or known[0] is not unit:
            if len(held) >= KEPT:
                held.clear()
            known = held[id(unit)] = (unit, make(unit))
        return known[1]

    return found
