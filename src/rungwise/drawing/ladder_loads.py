"""What lies between the legs: each load's own rows, terminals and words, before it has a place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from rungwise.drawing.ladder_frame import COL, Placed, Spot, Words, x_of
from rungwise.drawing.ladder_graph import Circuit
from rungwise.drawing.ladder_order import Laid
from rungwise.drawing.lettering import text_width, wrapped
from rungwise.parts import drawn_mark, terminal_of
from rungwise.wording import mark

ACROSS, DOWN, ROUND, JOINT = 11, 11, 12, 8
"""Columns from the left to the right terminal of a load by how it lies; long marks take more."""

ABOVE, BETWEEN = 10.0, 5.0
"""Units from a terminal to its mark above the line, and from that to the other one's."""

BADGE = 54.0
"""Units that are kept after a name for what is told of its state."""

WINDINGS = {"run": mark("run"), "start": mark("start")}
"""What a winding is called beside its coil; one that its terminals tell apart has no name."""

BESIDE = 3
"""Columns from a terminal on the left to the line that the symbols lie on."""


def shape(circuit: Circuit, laid: Laid, name: str) -> Placed:
    """A load with its top in row 0 and its left terminal in column 0."""
    sides = {terminal: -1 if terminal in circuit.on_left else 1 for terminal in laid.terminals}
    exits = {terminal: len(circuit.wires_at[terminal]) for terminal in laid.terminals}
    plan = _Plan(laid, sides, exits, name)
    if len(laid.terminals) == 1:
        return plan.joint()
    if len(laid.terminals) == 2 and set(sides.values()) == {-1, 1}:
        return plan.across()
    return plan.down()


def moved(placed: Placed, rows: int, cols: int) -> Placed:
    """The same, further down and to the right."""
    spots = {
        terminal: replace(
            spot,
            col=spot.col + cols,
            row=spot.row + rows,
            last=spot.last + rows,
            exits=tuple(row + rows for row in spot.exits),
        )
        for terminal, spot in placed.spots.items()
    }
    words = tuple(replace(w, x=w.x + x_of(cols), row=w.row + rows) for w in placed.words)
    return replace(
        placed,
        rows=(placed.rows[0] + rows, placed.rows[1] + rows),
        cols=(placed.cols[0] + cols, placed.cols[1] + cols),
        axis=placed.axis + cols,
        spots=spots,
        words=words,
        badge=(placed.badge[0] + x_of(cols), placed.badge[1] + rows),
    )


@dataclass(frozen=True)
class _Plan:
    """A load to lay out: its terminals, to which side each leaves and by how many wires."""

    laid: Laid
    sides: Mapping[str, int]
    exits: Mapping[str, int]
    name: str

    def joint(self) -> Placed:
        """One point, its words beside it."""
        (terminal,) = self.laid.terminals
        side = self.sides[terminal]
        lines = self.lines(JOINT)
        spot = self.spot(terminal, 0 if side < 0 else JOINT, len(lines))
        words = Words(spot.name, x_of(spot.col) - 11 * side, spot.row, _ends(side), terminal)
        marks = (words,) if self.laid.piece.marked else ()
        made = self.placed("joint", JOINT, spot.col, (spot,), (*marks, *self.heads(lines)))
        # The sign of an earth hangs below its terminal.
        return replace(made, rows=(0, made.rows[1] + len(self.laid.piece.symbols)))

    def across(self) -> Placed:
        """From leg to leg, the terminals' names above the line."""
        left, right = sorted(self.laid.terminals, key=lambda terminal: self.sides[terminal])
        names = [drawn_mark(terminal_of(terminal)) for terminal in (left, right)]
        both = sum(text_width(name) for name in names)
        cols = max(ACROSS, math.ceil((both + 2 * ABOVE + BETWEEN) / COL))
        lines = self.lines(cols)
        row = len(lines) + 1
        spots = self.spot(left, 0, row), self.spot(right, cols, row)
        words = (
            Words(spots[0].name, ABOVE, row - 1, "start", left),
            Words(spots[1].name, x_of(cols) - ABOVE, row - 1, "end", right),
            *self.heads(lines),
            *self.figures(x_of(cols / 2), row + 1, "middle"),
        )
        made = self.placed("across", cols, cols / 2, spots, words)
        return replace(made, rows=(0, max(made.rows[1], row + 1)), order=(left, right))

    def down(self) -> Placed:
        """Terminals one below another, each with its wires to its own side."""
        cols = ROUND if self.laid.piece.round else DOWN
        axis = self.axis(cols)
        lines = self.lines(cols)
        spots = tuple(self.spots_down(len(lines), cols))
        words = [*self.heads(lines)]
        for spot in spots:
            side = self.sides[spot.terminal]
            x = x_of(axis) - 8 * side
            words.append(Words(spot.name, x, spot.row, _ends(side), spot.terminal))
        aside = x_of(axis) + (12 if axis < cols / 2 or self.laid.piece.round else -12)
        words += self.beside(spots, aside, "start" if aside > x_of(axis) else "end")
        return self.placed("down", cols, axis, spots, tuple(words))

    def axis(self, cols: int) -> float:
        """The column of the symbols: near the terminals, with room for words on the other side."""
        if self.laid.piece.round:
            return cols / 2
        right = [t for t in self.laid.terminals if self.sides[t] > 0]
        if len(right) == len(self.laid.terminals):
            return cols - BESIDE
        widest = max((text_width(drawn_mark(terminal_of(t))) for t in right), default=0.0)
        return max(BESIDE, math.ceil((widest + 11) / COL))

    def spots_down(self, row: int, cols: int) -> Iterator[Spot]:
        for terminal in self.laid.terminals:
            yield self.spot(terminal, 0 if self.sides[terminal] < 0 else cols, row)
            row += max(3, self.exits[terminal])

    def beside(self, spots: Sequence[Spot], x: float, anchor: str) -> Iterator[Words]:
        """What is told of each symbol."""
        piece = self.laid.piece
        told = tuple(WINDINGS.get(e, "") for e in piece.elements) if piece.round else piece.values
        told = told if self.laid.terminals == piece.terminals else told[::-1]
        for above, below, words in zip(spots, spots[1:], told, strict=False):
            if words:
                row = 0.5 * (above.row + below.row)
                yield Words(words, x, row, anchor, piece.part, quiet=True)

    def figures(self, x: float, row: int, anchor: str) -> Iterator[Words]:
        for words in self.laid.piece.values:
            yield Words(words, x, row, anchor, self.laid.piece.part, quiet=True)

    def lines(self, cols: int) -> tuple[str, ...]:
        """The name above, with room for a badge after its last line."""
        width = x_of(cols) + 8
        lines = wrapped(self.name, width)
        if text_width(lines[-1]) + BADGE <= width:
            return lines
        narrow = wrapped(self.name, width - BADGE)
        return (*lines, "") if any("…" in line for line in narrow) else narrow

    def heads(self, lines: Sequence[str]) -> Iterator[Words]:
        for row, line in enumerate(lines):
            yield Words(line, 0.0, row, "start", self.laid.piece.part, quiet=True)

    def spot(self, terminal: str, col: int, row: int) -> Spot:
        exits = tuple(range(row, row + self.exits[terminal]))
        return Spot(terminal, col, row, max((row, *exits)), self.sides[terminal], exits)

    def placed(
        self,
        form: str,
        cols: int,
        axis: float,
        spots: Sequence[Spot],
        words: tuple[Words, ...],
    ) -> Placed:
        return Placed(
            piece=self.laid.piece,
            form=form,
            rows=(0, max(spot.last for spot in spots)),
            cols=(0, cols),
            axis=axis,
            spots={spot.terminal: spot for spot in spots},
            words=words,
            badge=(x_of(cols) + 2.0, max((w.row for w in words if w.x == 0.0), default=0)),
            order=self.laid.terminals,
        )


def _ends(side: int) -> str:
    """The anchor of words that stand on the other side of a line than its terminal."""
    return "end" if side > 0 else "start"
