"""Words as a reader of text finds them in a photo, put into the rows that a person sees."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

Point = tuple[float, float]

TURN_STEP, TURN_STEPS = math.radians(0.25), 24
"""Turns that are tried on either side of what the words' own boxes say."""

NEAR_ROW = 0.55
"""Share of a letter's height by which words of one row may stand apart."""


@dataclass(frozen=True)
class Word:
    """One word. score: 0 to 1, how certain its letters are. corners: in the photo, px, clockwise
    from the top left. at: where it lies once the plate is level, left, top, right, bottom.
    """

    printed: str
    score: float
    corners: tuple[Point, Point, Point, Point]
    at: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)

    @property
    def middle(self) -> float:
        """The height of its middle once the plate is level."""
        return (self.at[1] + self.at[3]) / 2.0

    @property
    def height(self) -> float:
        """Of its letters."""
        return self.at[3] - self.at[1]


@dataclass(frozen=True)
class Row:
    """Words beside each other, from left to right."""

    words: tuple[Word, ...]

    @cached_property
    def printed(self) -> str:
        """Its words with a space between them."""
        return " ".join(each.printed for each in self.words)

    @cached_property
    def starts(self) -> tuple[int, ...]:
        """Where in the row each word begins."""
        found, at = [], 0
        for each in self.words:
            found.append(at)
            at += len(each.printed) + 1
        return tuple(found)

    def between(self, start: int, end: int) -> tuple[Word, ...]:
        """The words that have a letter in a stretch of the row."""
        return tuple(
            word
            for word, at in zip(self.words, self.starts, strict=True)
            if at < end and at + len(word.printed) > start
        )

    @property
    def middle(self) -> float:
        """The height of its middle."""
        return statistics.fmean(each.middle for each in self.words)

    @property
    def height(self) -> float:
        """Of its letters."""
        return statistics.median(each.height for each in self.words)


def rows_of(words: Sequence[Word]) -> tuple[Row, ...]:
    """The rows of a plate from top to bottom, however it was held."""
    leveled = _leveled([each for each in words if each.printed.strip()])
    rows: list[list[Word]] = []
    for word in sorted(leveled, key=lambda each: each.middle):
        row = min(rows, key=lambda held: _apart(held, word), default=None)
        if row is not None and _apart(row, word) < NEAR_ROW:
            row.append(word)
        else:
            rows.append([word])
    made = (Row(tuple(sorted(each, key=lambda word: word.at[0]))) for each in rows)
    return tuple(sorted(made, key=lambda row: row.middle))


def _apart(row: list[Word], word: Word) -> float:
    """How far a word stands above or below the nearest of a row, in heights of a letter."""
    near = min(row, key=lambda each: abs(each.at[0] - word.at[0]))
    return abs(near.middle - word.middle) / max(1.0, min(near.height, word.height))


def _leveled(words: list[Word]) -> list[Word]:
    """The words turned so that their rows lie level."""
    turn = -_slope_of(words)
    cos, sin = math.cos(turn), math.sin(turn)
    found = []
    for word in words:
        turned = [(x * cos - y * sin, x * sin + y * cos) for x, y in word.corners]
        left = (turned[0][0] + turned[3][0]) / 2.0
        right = (turned[1][0] + turned[2][0]) / 2.0
        top = (turned[0][1] + turned[1][1]) / 2.0
        bottom = (turned[2][1] + turned[3][1]) / 2.0
        found.append(replace(word, at=(left, top, right, bottom)))
    return found


def _slope_of(words: list[Word]) -> float:
    """The turn at which most words stand beside another one, near that of the words' own boxes."""
    own = [_slope(each) for each in words if len(each.printed) > 2]
    if len(words) < 3 or not own:
        return statistics.median(own) if own else 0.0
    near = statistics.median(own)
    tries = [near + step * TURN_STEP for step in range(-TURN_STEPS, TURN_STEPS + 1)]
    return min(tries, key=lambda turn: (_unevenness(words, turn), abs(turn - near)))


def _unevenness(words: list[Word], turn: float) -> float:
    """How far words stand above or below their nearest neighbors by height, turned by so much."""
    cos, sin = math.cos(-turn), math.sin(-turn)
    heights = sorted(sum(x * sin + y * cos for x, y in each.corners) / 4.0 for each in words)
    letter = statistics.median(_letter(each) for each in words)
    gaps = [min(1.0, (high - low) / letter) for low, high in pairwise(heights)]
    return sum(gap for gap in gaps if gap < NEAR_ROW) + NEAR_ROW * sum(
        gap >= NEAR_ROW for gap in gaps
    )


def _letter(word: Word) -> float:
    (x0, y0), (x1, y1) = word.corners[0], word.corners[3]
    return max(1.0, math.hypot(x1 - x0, y1 - y0))


def _slope(word: Word) -> float:
    (x0, y0), (x1, y1) = word.corners[0], word.corners[1]
    return math.atan2(y1 - y0, x1 - x0)
