"""What speaks for and against a candidate, and the verdict that follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

__all__ = ["Reason", "Verdict", "Weight", "verdict_of"]


class Weight(Enum):
    """How much a reason counts."""

    BARS = "bars"
    """The candidate does not serve."""
    UNJUDGED = "not judged"
    """What decides is not known, so that nobody can say that it serves."""
    CHANGE = "change"
    """It serves once this work on wires, joints or a further part is done."""
    CAUTION = "caution"
    """It serves; this must be known or looked at all the same."""
    NOTE = "note"
    """Worth knowing, or welcome."""
    PASSES = "passes"
    """Compared, and strong enough."""


class Verdict(Enum):
    """The answer to "can this part go in here?", best first."""

    SERVES = "serves"
    CHANGES = "serves with changes"
    UNJUDGED = "not judged"
    NOT = "does not serve"

    @property
    def serves(self) -> bool:
        """Whether the part may go in, with work or without."""
        return self in (Verdict.SERVES, Verdict.CHANGES)


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing found.

    rule: what was compared, such as `contactor.fla`. text: whole sentences: what it is, and
    where it shows what would happen. situation: where it shows, "" for what holds in all.
    has, needs: the two figures compared, in `unit`, where there are two. source: of the rule.
    """

    weight: Weight
    rule: str
    text: str
    situation: str = ""
    has: float | None = None
    needs: float | None = None
    unit: str = ""
    source: str = "rule of thumb"


def verdict_of(reasons: tuple[Reason, ...]) -> Verdict:
    """The verdict that the weightiest reason asks for."""
    asked = {
        Weight.BARS: Verdict.NOT,
        Weight.UNJUDGED: Verdict.UNJUDGED,
        Weight.CHANGE: Verdict.CHANGES,
    }
    weights = {reason.weight for reason in reasons}
    return next((asked[each] for each in asked if each in weights), Verdict.SERVES)
