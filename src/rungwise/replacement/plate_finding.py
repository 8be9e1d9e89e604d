"""One thing said about a nameplate or the circuit that serves it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

__all__ = ["Finding", "Level"]


class Level(Enum):
    """How it stands."""

    WRONG = "wrong"
    """It breaks a rule, or the plate contradicts itself."""
    DOUBT = "doubt"
    """It may be right; look again."""
    FINE = "fine"


@dataclass(frozen=True, slots=True)
class Finding:
    """What was compared, how it stands, and the rule. has, limit: the figures, in `unit`."""

    level: Level
    rule: str
    text: str
    source: str
    has: float | None = None
    limit: float | None = None
    unit: str = ""
