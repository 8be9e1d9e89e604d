"""What speaks for and against a candidate, the verdict that follows, and how figures compare."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from rungwise.parts import PRACTICE
from rungwise.quantity import quantity_told
from rungwise.wording import capital, joined, mark, say


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

    SERVES = mark("fits")
    CHANGES = mark("fits with changes")
    UNJUDGED = mark("not judged")
    NOT = mark("will not work")

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
    source: str = PRACTICE


def verdict_of(reasons: tuple[Reason, ...]) -> Verdict:
    """The verdict that the weightiest reason asks for."""
    asked = {
        Weight.BARS: Verdict.NOT,
        Weight.UNJUDGED: Verdict.UNJUDGED,
        Weight.CHANGE: Verdict.CHANGES,
    }
    weights = {reason.weight for reason in reasons}
    return next((asked[each] for each in asked if each in weights), Verdict.SERVES)


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

    @property
    def read(self) -> str:
        """The figure as it is read off the label: "FLA 30 A"."""
        return joined(" ", (capital(self.figure), shown(self.has, self.unit)))

    def reason(self) -> Reason:
        """Passed, or a bar with its consequence."""
        enough = self.has >= self.needs * (1 - _CLOSE)
        told = say(
            "{figure}, needed {needs}: {why}.",
            figure=self.read,
            needs=shown(self.needs, self.unit),
            why=self.why,
        )
        return Reason(
            Weight.PASSES if enough else Weight.BARS,
            self.rule,
            told if enough else joined(" ", (told, self.otherwise)),
            self.situation,
            self.has,
            self.needs,
            self.unit,
            self.source,
        )


def shown(value: float, unit: str) -> str:
    """The figure as people read it."""
    return quantity_told(value, unit) if unit else f"{value:g}"


def fahrenheit(celsius: float) -> float:
    """Degrees Celsius in degrees Fahrenheit."""
    return 1.8 * celsius + 32.0
