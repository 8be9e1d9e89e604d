"""A finished picture: its SVG, and where its words stand, so that a test can hold them apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from rungwise.drawing.lettering import SMALLEST, line_height, text_width

TOUCH = 0.01
"""Boxes that share less than this, in units, only touch."""


@dataclass(frozen=True, slots=True)
class LabelBox:
    """A text, or a solid shape that no text may lie on: left, top, width and height in units."""

    text: str
    x: float
    y: float
    w: float
    h: float

    def overlaps(self, other: LabelBox) -> bool:
        """Whether the two share more than an edge."""
        across = min(self.x + self.w, other.x + other.w) - max(self.x, other.x)
        down = min(self.y + self.h, other.y + other.h) - max(self.y, other.y)
        return across > TOUCH and down > TOUCH

    def within(self, width: float, height: float) -> bool:
        """Whether it lies whole on a picture of this size."""
        inside = self.x >= -TOUCH and self.y >= -TOUCH
        return inside and self.x + self.w <= width + TOUCH and self.y + self.h <= height + TOUCH


@dataclass(frozen=True, slots=True)
class Picture:
    """A standalone SVG of `width` by `height` units.

    labels: every text in it. crossings: how many times two wires cross. solids: bodies of symbols
    that no text but their own may lie on.
    """

    svg: str
    width: float
    height: float
    labels: tuple[LabelBox, ...] = ()
    crossings: int = 0
    solids: tuple[LabelBox, ...] = ()


def label_box(
    text: str, x: float, middle_y: float, size: float = SMALLEST, anchor: str = "start"
) -> LabelBox:
    """The box of one line of text at `x`, its middle at `middle_y`.

    `anchor` says which point of the text is at x: `start`, `middle` or `end`.
    """
    width = text_width(text, size)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * width
    return LabelBox(text, left, middle_y - 0.5 * line_height(size), width, line_height(size))


def overlaps(boxes: Iterable[LabelBox]) -> tuple[tuple[LabelBox, LabelBox], ...]:
    """Every pair of boxes that lie on each other."""
    return tuple((a, b) for a, b in combinations(tuple(boxes), 2) if a.overlaps(b))
