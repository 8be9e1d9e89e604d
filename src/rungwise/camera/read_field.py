"""A field as it was read from a photo, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from rungwise.camera.words import Word
from rungwise.wording import mark

Sureness = Literal["sure", "unsure"]

SURE_SCORE = 0.93
"""A word whose letters are less certain than this is shown as unsure. Chosen on the plates of
other seeds than those of the study (`tools/label_study.py`)."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class ReadField:
    """One field: what was read of it, as a person would type it, and where it stands.

    box: left, top, right, bottom in the photo, px. why: what makes it unsure, "" where it is sure.
    """

    key: str
    printed: str
    box: Box
    why: str = ""

    @property
    def sureness(self) -> Sureness:
        """Whether anything speaks against it."""
        return "unsure" if self.why else "sure"

    def doubted(self, why: str) -> ReadField:
        """The same, unsure; the first reason stands."""
        return self if self.why else replace(self, why=why)


def field_from(
    key: str, printed: str, words: Iterable[Word], label: Iterable[Word] = (), why: str = ""
) -> ReadField:
    """A field from the words that say it; label: the words that name it, for its strip."""
    said = tuple(words)
    worst = min((each.score for each in said), default=0.0)
    faint = mark("faint or blurred") if worst < SURE_SCORE else ""
    return ReadField(key, printed, _around((*said, *label)), why or faint)


def _around(words: Iterable[Word]) -> Box:
    points = [point for each in words for point in each.corners]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)
