"""The measures of a ladder, and what is put on it: spots for terminals, words, boxes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rungwise.drawing.ink import colour_code
from rungwise.drawing.lettering import text_width
from rungwise.drawing.symbols import Piece
from rungwise.parts import drawn_mark, terminal_of

WIDTH = 390.0
"""Units from edge to edge: the width of a phone, so that 11 units are 11 px there."""

ROW, COL = 15.0, 9.0
"""Units from one row of words to the next, and from one lane for wires to the next."""

LEFT_LEG, RIGHT_LEG = 5, 38
"""The columns of the legs."""

GROUND = 2.0
"""Units that the ground of a lead's mark reaches over its words on either side."""

NAME_WIDTH = 82.0
"""Units for a part's name beside its leg."""


def x_of(col: float) -> float:
    """Where a column lies."""
    return COL * col


def y_of(row: float) -> float:
    """Where a row lies."""
    return ROW * (row + 0.7)


def stub_for(colour: str) -> int:
    """Points before a terminal that the tag of a wire of this colour takes."""
    return math.ceil((text_width(colour_code(colour)) + 17.0) / COL) - 1


def columns_of(left: float, right: float) -> tuple[int, int]:
    """The lanes, first and last, that a wire's band would touch between two x."""
    return math.ceil((left - 5.0) / COL), math.floor((right + 5.0) / COL)


@dataclass(frozen=True, slots=True)
class Spot:
    """A terminal's place: its column, its first and last row, and the rows that wires leave by.

    `way` is 1 where they leave to the right, -1 to the left; wires down a leg need no exit.
    """

    terminal: str
    col: int
    row: int
    last: int
    way: int
    exits: tuple[int, ...]

    @property
    def point(self) -> tuple[float, float]:
        """The middle of its first row."""
        return x_of(self.col), y_of(self.row)

    @property
    def name(self) -> str:
        """What is written beside it."""
        return drawn_mark(terminal_of(self.terminal))


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text: what it says, where, and whether it is the name of a terminal."""

    text: str
    x: float
    row: float
    anchor: str = "start"
    of: str = ""
    """The terminal or part that it names."""

    quiet: bool = False

    @property
    def span(self) -> tuple[float, float]:
        """Its left and right edge."""
        width = text_width(self.text)
        left = self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * width
        return left, left + width


@dataclass(frozen=True)
class Placed:
    """A piece in its place.

    form: `line` on a leg, `joint`, `down` with its terminals one below another, `across`
    from leg to leg, `source`. rows: first and last. cols: first and last of its box. axis: the
    column that its symbols lie on. badge: left edge and row for what is said about its state.
    """

    piece: Piece
    form: str
    rows: tuple[int, int]
    cols: tuple[int, int]
    axis: float
    spots: Mapping[str, Spot]
    words: tuple[Words, ...]
    badge: tuple[float, float]
    order: tuple[str, ...] = ()
    """Its terminals from top to bottom, or from left to right."""
