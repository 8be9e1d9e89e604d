"""The sheet that charts are drawn on: words with their boxes, scales, and the finished picture."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from rungwise.drawing.ink import INK, PAPER
from rungwise.drawing.lettering import SMALLEST, line_height, text_width, wrapped
from rungwise.drawing.picture import LabelBox, Picture, label_box
from rungwise.drawing.svg import Ids, Tag, document, rect, text

WIDTH, LEFT, RIGHT = 390.0, 8.0, 382.0
LINE_H = line_height(SMALLEST)
FOOT = 6.0
MANY_TIMES = 25.0
"""From this ratio of the largest to the smallest figure on, a scale is logarithmic."""


@dataclass
class Sheet:
    """What a chart puts on its picture, from the top down; `y` is how far it has come."""

    prefix: str
    title: str
    y: float = 8.0
    pieces: list[Tag] = field(default_factory=list)
    labels: list[LabelBox] = field(default_factory=list)

    @property
    def ids(self) -> Ids:
        """The ids of this picture."""
        return Ids(self.prefix)

    def words(
        self, words: str, x: float, y: float, anchor: str = "start", *, bold: bool = False
    ) -> Tag:
        """One line of text, its box noted."""
        self.labels.append(label_box(words, x, y, SMALLEST, anchor))
        weight = "bold" if bold else None
        return text(words, x, y, SMALLEST, anchor, fill=INK, font_weight=weight)

    def lines(self, words: str, x: float, width: float, *, bold: bool = False) -> list[Tag]:
        """Words in lines from `y` down, which moves on below them."""
        drawn = []
        for line in wrapped(words, width):
            drawn.append(self.words(line, x, self.y + LINE_H / 2, bold=bold))
            self.y += LINE_H
        return drawn

    def head(self) -> None:
        """The title over the whole width."""
        self.pieces += self.lines(self.title, LEFT, RIGHT - LEFT, bold=True)
        self.y += 6.0

    def picture(self, told: str) -> Picture:
        """The finished picture; `told` is what a screen reader says of it."""
        height = self.y + FOOT
        paper = rect(0, 0, WIDTH, height, fill=PAPER)
        svg = document(self.ids, (WIDTH, height), self.title, told, paper, *self.pieces)
        return Picture(svg, WIDTH, height, tuple(self.labels))


@dataclass(frozen=True, slots=True)
class Scale:
    """Figures between `low` and `high` on the way from `start` to `end` units."""

    low: float
    high: float
    start: float
    end: float
    log: bool = False

    def at(self, figure: float) -> float:
        """Where a figure lies; one beyond either end lies at that end."""
        figure = min(max(figure, self.low), self.high)
        low, high = self._way(self.low), self._way(self.high)
        share = (self._way(figure) - low) / (high - low)
        return self.start + share * (self.end - self.start)

    def _way(self, figure: float) -> float:
        return math.log10(figure) if self.log else figure

    def ticks(self) -> tuple[float, ...]:
        """Round figures within: powers of ten, or steps of 1, 2 or 5 times one, four or so."""
        if self.log:
            first, last = math.ceil(math.log10(self.low) - 1e-9), math.log10(self.high) + 1e-9
            return tuple(10.0**n for n in range(first, math.floor(last) + 1))
        step = _round_step((self.high - self.low) / 4)
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        return tuple(step * n for n in range(first, last + 1))


def _round_step(step: float) -> float:
    power = 10.0 ** math.floor(math.log10(step))
    return next(times * power for times in (1, 2, 5, 10) if times * power >= step * 0.999)


def scale_for(figures: Sequence[float], start: float, end: float) -> Scale:
    """A scale that holds all finite figures, logarithmic where they span decades."""
    finite = sorted(figure for figure in figures if math.isfinite(figure))
    low, high = (finite[0], finite[-1]) if finite else (0.0, 1.0)
    positive = [figure for figure in finite if figure > 0]
    if low >= 0 and len(positive) > 1 and positive[-1] / positive[0] >= MANY_TIMES:
        decades = math.floor(math.log10(positive[0])), math.ceil(math.log10(positive[-1]))
        return Scale(10.0 ** decades[0], 10.0 ** decades[1], start, end, log=True)
    low = min(low, 0.0) if low < 0.5 * high or low == high else low
    high = high if high > low else low + 1.0
    margin = 0.06 * (high - low)
    return Scale(low - (margin if low else 0.0), high + margin, start, end)


def fits(taken: Sequence[tuple[float, float]], middle: float, words: str) -> bool:
    """Whether words centred at `middle` keep clear of the spans taken."""
    half = text_width(words) / 2 + 2
    return all(middle + half <= a or middle - half >= b for a, b in taken)
