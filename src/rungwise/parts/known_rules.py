"""A part switches by rules alone: what stands among them and is none is refused."""

from __future__ import annotations

from collections.abc import Iterable

from rungwise.errors import CircuitError
from rungwise.parts.rule import Rule

__all__ = ["refuse_unknown"]


def refuse_unknown(part: str, rules: Iterable[object]) -> None:
    """Raise CircuitError for what stands among a part's rules and is none."""
    for rule in rules:
        if not isinstance(rule, Rule):
            sort = type(rule).__name__
            raise CircuitError(f"{part}: nothing is known of how a {sort} switches")
