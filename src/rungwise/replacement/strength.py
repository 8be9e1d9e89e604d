"""Comparing one figure of a label with what the circuit asks of it."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.quantity import format_quantity
from rungwise.replacement.reason import Reason, Weight

__all__ = ["PRACTICE", "AtLeast", "capital", "fahrenheit", "shown"]

PRACTICE = "rule of thumb"


_CLOSE = 1e-9  # so that 1.25 × 16 + 1.3 is 21.3, whatever the last bit says


@dataclass(frozen=True, slots=True, kw_only=True)
class AtLeast:
    """A figure of the label that must be at least what the circuit needs.

    why: what asks for it, with its figures. otherwise: a sentence on what would happen where it
    shows.
    """

    rule: str
    figure: str
    has: float
    needs: float
    unit: str
    why: str
    otherwise: str
    situation: str = ""
    source: str = PRACTICE

    def reason(self) -> Reason:
        """Passed, or a bar with its consequence."""
        enough = self.has >= self.needs * (1 - _CLOSE)
        has, needs = shown(self.has, self.unit), shown(self.needs, self.unit)
        told = f"{capital(self.figure)} {has}, needed {needs}: {self.why}."
        return Reason(
            Weight.PASSES if enough else Weight.BARS,
            self.rule,
            told if enough else f"{told} {self.otherwise}",
            self.situation,
            self.has,
            self.needs,
            self.unit,
            self.source,
        )


def shown(value: float, unit: str) -> str:
    """The figure as people read it."""
    return format_quantity(value, unit) if unit else f"{value:g}"


def capital(text: str) -> str:
    """`text` as the start of a sentence."""
    return text[:1].upper() + text[1:]


def fahrenheit(celsius: float) -> float:
    """Degrees Celsius in degrees Fahrenheit."""
    return 1.8 * celsius + 32.0
