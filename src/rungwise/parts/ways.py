"""A repair and the modes that it puts right, listed ones and unknown ones.

Unknown ways are what else may be wrong with a part than the ways listed for its kind: so that a
strange fault is found by its place and is said to be of no known way (unknown modes: de Kleer &
Williams 1989).  Their weights are common practice, no source: in all 3 or 4% of a part's share.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict, Unpack

from rungwise.parts.caution import Signal
from rungwise.parts.kind import Draw, Mode

NONE_LISTED = "(none of the listed ones)"


class Told(TypedDict, total=False):
    """What else a mode may tell of itself, as `Mode` has it."""

    behind: str
    signs: dict[str, float]
    shown_by: frozenset[str]
    known: bool
    is_effect: bool
    opens_ahead: tuple[float, str]
    overheats: float
    ices: float
    overdraws: float
    left_by_trips: bool
    left_by_short: bool
    signal: Signal | None


@dataclass(frozen=True, slots=True)
class Repair:
    """What several modes of a kind have in common, so that they are one answer: `key`, and `text`,
    what to do; what it costs in vain; the quantities that show them, where a mode tells no others.
    """

    key: str
    text: str
    wrong_minutes: float
    shown_by: frozenset[str] = frozenset()

    def mode(
        self, name: str, title: str, weight: float, *edits: Draw, **told: Unpack[Told]
    ) -> Mode:
        """A mode that this puts right; without an edit the handle of the mode's own name."""
        told.setdefault("shown_by", self.shown_by)
        return Mode(
            name,
            title,
            weight,
            edits or (Draw(name, 1, 1),),
            self.key,
            self.text,
            wrong_minutes=self.wrong_minutes,
            **told,
        )

    def another(
        self,
        name: str,
        weight: float,
        *edits: Draw,
        noun: str = "{noun}",
        shown_by: frozenset[str] | None = None,
    ) -> Mode:
        """The mode `another_<name>`: a fault of the `noun` that has no listed way."""
        title = f"another fault of the {noun} {NONE_LISTED}"
        shown = self.shown_by if shown_by is None else shown_by
        return self.mode(f"another_{name}", title, weight, *edits, known=False, shown_by=shown)
