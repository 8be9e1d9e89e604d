"""Drawing what is placed: pieces with their state, terminals, wires with tags."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from rungwise.drawing import ink
from rungwise.drawing.ink import INK, PAPER, STATES, Volts
from rungwise.drawing.ladder_frame import (
    GROUND,
    LEFT_LEG,
    RIGHT_LEG,
    ROW,
    Placed,
    Spot,
    Words,
    x_of,
    y_of,
)
from rungwise.drawing.ladder_wires import Led
from rungwise.drawing.lettering import SMALLEST, text_width, wrapped
from rungwise.drawing.marks import Marks
from rungwise.drawing.picture import LabelBox, label_box
from rungwise.drawing.svg import (
    Ids,
    Point,
    Tag,
    circle,
    group,
    line,
    path,
    rect,
    tag,
    text,
    thing,
)
from rungwise.drawing.symbols_drawn import Sign, drawn_symbol, overload, turning
from rungwise.drawing.told import part_told, percent, terminal_told, wire_told
from rungwise.parts import Sign as Symbol
from rungwise.unit import Unit, Wire

CENTRE = 21.5
"""The column of the winding that feeds a circuit, under the one that feeds it."""

DISC = 8.4
"""Radius of a lead's disc: it just leaves the rows above and below alone."""


class Pen:
    """Draws on one picture; `labels` and `solids` gather where it has written and drawn."""

    def __init__(self, unit: Unit, marks: Marks, ids: Ids) -> None:
        self.unit = unit
        self.marks = marks
        self.ids = ids
        self.labels: list[LabelBox] = []
        self.solids: list[LabelBox] = []
        self.seen: Counter[str] = Counter()

    def write(self, words: str, x: float, y: float, anchor: str = "start", **more: str) -> Tag:
        """One line of text, its box kept."""
        self.labels.append(label_box(words, x, y, SMALLEST, anchor))
        return text(words, x, y, SMALLEST, anchor, **{"fill": INK, **more})

    # --- parts -------------------------------------------------------------------------------
    def part(self, name: str, placed: Sequence[Placed]) -> Tag:
        """A part with all its pieces, wherever they stand."""
        told = part_told(self.unit, name, self.marks)
        inside = [each for one in placed for each in self._piece(one)]
        return thing(self.ids, "part", name, told, *inside)

    def _piece(self, placed: Placed) -> Iterator[Tag]:
        yield from self._frame(placed)
        yield from self._leads(placed)
        if placed.piece.round:
            yield from self._circle(placed)
        yield from self._symbols(placed)
        if "earth" in placed.piece.symbols:
            yield from self._earth(next(iter(placed.spots.values())))
        for words in placed.words:
            yield self._words(words)
        yield from self._badges(placed)

    def _frame(self, placed: Placed) -> Iterator[Tag]:
        """A frame around what is suspected or changed."""
        name = placed.piece.part
        belief, changed = self.marks.belief(name), name in self.marks.changed
        if not belief and not changed:
            return
        (top, bottom), (left, right) = placed.rows, placed.cols
        wide, tall = 6.0, 9.0
        if left == right:
            # Between the terminals, whose names stand close by.
            rows = [placed.spots[each] for each in placed.order]
            top, bottom, wide, tall = rows[0].last, rows[-1].row, 11.0, -6.0
        if top == bottom:
            return
        box = (x_of(left) - wide, y_of(top) - tall, x_of(right - left) + 2 * wide,
               y_of(bottom) - y_of(top) + 2 * tall)  # fmt: skip
        if belief:
            dash, width = "5 3", 1.5 + 3.0 * belief
            yield rect(*box, rx=5, fill="none", stroke=ink.SUSPECT, stroke_width=width,
                       stroke_dasharray=dash)  # fmt: skip
        if changed:
            yield rect(*box, rx=5, fill="none", stroke=ink.CHANGED, stroke_width=1.5)

    def _leads(self, placed: Placed) -> Iterator[Tag]:
        """The lines from terminals aside to where the symbols are."""
        if placed.form == "source" and not placed.piece.joint:
            yield from self._spanning(placed)
        if placed.form != "down":
            return
        axis = x_of(placed.axis)
        for spot in placed.spots.values():
            ends = (spot.point, (axis, spot.point[1]))
            yield from self._band(ends, self.marks.volts(spot.terminal))
            yield line(*ends, stroke=INK, stroke_width=2)

    def _spanning(self, placed: Placed) -> Iterator[Tag]:
        """Half of a source's winding: from its leg to the middle, with the core above."""
        (spot,) = placed.spots.values()
        y, middle = spot.point[1], x_of(CENTRE)
        side = -1 if spot.col == LEFT_LEG else 1
        ends = (spot.point, (middle + 13.5 * side, y))
        yield from self._band(ends, self.marks.volts(spot.terminal))
        yield line(*ends, stroke=INK, stroke_width=2)
        if side < 0:
            bumps = "".join(" a4.5,4.5 0 0 1 9,0" for _ in range(3))
            yield tag("path", d=f"M{middle - 13.5},{y}{bumps}", fill="none", stroke=INK,
                      stroke_width=2)  # fmt: skip
            for up in (12, 9):
                yield line((middle - 16, y - up), (middle + 16, y - up), stroke=INK, stroke_width=2)
            self.solids.append(LabelBox("", middle - 16, y - 13, 32, 14))
            name = self.unit.part(placed.piece.part).title
            (words, *_) = wrapped(name, 170.0)
            yield self.write(words, middle + 22, y - ROW, fill=ink.QUIET)

    def _circle(self, placed: Placed) -> Iterator[Tag]:
        first, middle, last = (placed.spots[terminal] for terminal in placed.order)
        x, y = x_of(placed.axis), y_of(middle.row)
        radius = max(y_of(last.row) - y, y - y_of(first.row)) + 7
        yield circle((x, y), radius, fill="none", stroke=INK, stroke_width=2)
        side = 1 if middle.way > 0 else -1
        yield from overload(x + 22 * side - (14 if side < 0 else 0), y)
        if placed.piece.part in self.marks.running:
            yield from turning(x, y, radius)

    def _symbols(self, placed: Placed) -> Iterator[Tag]:
        order, piece = placed.order, placed.piece
        turned = order != tuple(t for t in piece.terminals if t in order)
        pairs = list(zip(piece.symbols, piece.elements, strict=True))
        if piece.forks and placed.form == "line":
            yield from self._fork(placed)
            return
        if placed.form in ("joint", "source"):
            return
        for at, (symbol, element) in enumerate(reversed(pairs) if turned else pairs):
            yield from self._symbol(placed, (symbol, element), order[at], order[at + 1])

    def _fork(self, placed: Placed) -> Iterator[Tag]:
        """A part in line with a second contact aside."""
        first, middle, last = placed.piece.terminals
        inward = placed.order[0]
        for terminal, at in ((first, 0), (last, 1)):
            what = (placed.piece.symbols[at], placed.piece.elements[at])
            yield from self._symbol(placed, what, inward, terminal)
        del middle

    def _symbol(
        self, placed: Placed, what: tuple[Symbol, str], above: str, below: str
    ) -> Iterator[Tag]:
        start, end = self._end(placed, above, first=True), self._end(placed, below, first=False)
        symbol, element = what
        along = abs(end[0] - start[0]) > abs(end[1] - start[1])
        length = abs(end[0] - start[0]) if along else end[1] - start[1]
        sign = Sign(
            length,
            self.marks.contact(placed.piece.part, element),
            placed.piece.part in self.marks.running,
        )
        middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
        volts = [self.marks.volts(terminal) for terminal in (above, below)]
        yield from self._band((start, middle), volts[0])
        yield from self._band((middle, end), volts[1])
        turn = " rotate(-90)" if along else ""
        origin = start if start[0] <= end[0] else end
        yield group(
            *drawn_symbol(symbol, sign), transform=f"translate({origin[0]:g} {origin[1]:g}){turn}"
        )
        half = 7.0
        self.solids.append(LabelBox("", middle[0] - half, middle[1] - half, 2 * half, 2 * half))

    def _end(self, placed: Placed, terminal: str, *, first: bool) -> Point:
        spot = placed.spots[terminal]
        if placed.form == "down":
            return x_of(placed.axis), y_of(spot.row)
        return x_of(spot.col), y_of(spot.last if first and placed.form == "line" else spot.row)

    def _earth(self, spot: Spot) -> Iterator[Tag]:
        x, y = spot.point
        yield line((x, y), (x, y + 8), stroke=INK, stroke_width=2)
        for down, half in ((8, 9), (11, 6), (14, 3)):
            yield line((x - half, y + down), (x + half, y + down), stroke=INK, stroke_width=2)

    def _words(self, words: Words) -> Tag:
        lead = self.marks.lead_at(words.of)
        if lead is not None:
            return self._flagged(words, lead)
        colour = ink.QUIET if words.quiet else INK
        return self.write(words.text, words.x, y_of(words.row), words.anchor, fill=colour)

    def _flagged(self, words: Words, lead: str) -> Tag:
        """The name of a terminal that a lead goes to, on the lead's own ground."""
        left, right = words.span
        y = y_of(words.row)
        ground = ink.LEAD_RED if lead == "red" else ink.LEAD_BLACK
        return group(
            rect(left - GROUND, y - 7, right - left + 2 * GROUND, 14, rx=3, fill=ground),
            self.write(words.text, words.x, y, words.anchor, fill=PAPER, font_weight="bold"),
        )

    def _badges(self, placed: Placed) -> Iterator[Tag]:
        """How far a part is suspected, and whether it was changed."""
        name, (x, row) = placed.piece.part, placed.badge
        told = percent(self.marks.belief(name)) if self.marks.belief(name) else ""
        changed = "Δ" if name in self.marks.changed else ""
        if placed.cols[0] != placed.cols[1]:
            words = " ".join(each for each in (f"?{told}" if told else "", changed) if each)
            if words:
                yield self.write(words, x, y_of(row), "end", font_weight="bold")
            return
        edge, anchor = (1.0, "start") if placed.cols[0] == LEFT_LEG else (389.0, "end")
        if told:
            yield self.write(f"?{told}", edge, y_of(row), anchor, font_weight="bold")
        taken = any(spot.row == row + 1 for spot in placed.spots.values())
        if changed and (taken or placed.form == "source"):
            inward = x_of(placed.axis) + (22 if anchor == "start" else -22)
            yield self.write(changed, inward, y_of(row), anchor, font_weight="bold")
        elif changed:
            yield self.write(changed, edge, y_of(row + 1), anchor, font_weight="bold")

    # --- terminals ---------------------------------------------------------------------------
    def terminal(self, spot: Spot) -> Tag:
        """A terminal: hollow without volts, full when live, a barred square when left over."""
        before = self.seen[spot.terminal]
        self.seen[spot.terminal] += 1
        again = ("terminal", "terminal-again")
        sort = again[before] if before < len(again) else f"terminal-again{before}"
        told = terminal_told(self.unit, spot.terminal, self.marks)
        return thing(self.ids, sort, spot.terminal, told, *self._dot(spot))

    def _dot(self, spot: Spot) -> Iterator[Tag]:
        x, y = x_of(spot.col), y_of(spot.row)
        if spot.last > spot.row:
            yield rect(x - 4.5, y - 4.5, 9, y_of(spot.last) - y + 9, rx=4.5, fill=PAPER,
                       stroke=INK, stroke_width=1.6)  # fmt: skip
        rows = sorted({spot.row, *spot.exits, spot.last})
        volts = self.marks.volts(spot.terminal)
        for row in rows:
            yield from self.mark((x, y_of(row)), volts)
        lead = self.marks.lead_at(spot.terminal)
        if lead is not None:
            yield from self._disc((x, y), lead)

    def mark(self, at: Point, volts: Volts) -> Iterator[Tag]:
        """The sign of a terminal's volts."""
        x, y = at
        if volts == "leftover":
            yield rect(x - 4.5, y - 4.5, 9, 9, fill=PAPER, stroke=ink.LEFTOVER, stroke_width=2.5)
            yield line((x, y - 2.5), (x, y + 2.5), stroke=INK, stroke_width=2)
        elif volts == "live":
            yield circle(at, 4.6, fill=INK, stroke=ink.LIVE, stroke_width=1.5)
        else:
            yield circle(at, 3.6, fill=PAPER, stroke=INK, stroke_width=1.8)

    def _disc(self, at: Point, lead: str) -> Iterator[Tag]:
        """Where a lead goes: a disc with its letter."""
        ground = ink.LEAD_RED if lead == "red" else ink.LEAD_BLACK
        letter = "R" if lead == "red" else "B"
        self.labels.append(LabelBox(letter, at[0] - DISC, at[1] - DISC, 2 * DISC, 2 * DISC))
        yield circle(at, DISC + 1.5, fill=PAPER)
        yield circle(at, DISC, fill=ground, stroke=INK, stroke_width=1)
        yield text(letter, *at, 13.0, "middle", fill=PAPER, font_weight="bold")

    # --- wires -------------------------------------------------------------------------------
    def wire(self, wire: Wire, led: Led) -> Tag:
        """A wire: the band of its state, its colours, and a tag with their letters."""
        told = wire_told(self.unit, wire, self.marks)
        return thing(
            self.ids, "wire", wire.name, told, *self._line(wire, led), *self._tag(wire, led)
        )

    def _line(self, wire: Wire, led: Led) -> Iterator[Tag]:
        if self.marks.belief(wire.name):
            yield path(led.corners, stroke=ink.SUSPECT, stroke_width=11, stroke_dasharray="1.5 3")
        yield from self._band(led.corners, self.marks.wire_volts(wire.start, wire.end))
        colours = ink.wire_ink(wire.colour)
        yield path(led.corners, stroke=INK, stroke_width=4, stroke_linejoin="round")
        yield path(led.corners, stroke=colours.base, stroke_width=2.6, stroke_linejoin="round")
        if colours.stripe:
            yield path(led.corners, stroke=colours.stripe, stroke_width=2.6, stroke_dasharray="5 5")

    def _band(self, points: Iterable[Point], volts: Volts) -> Iterator[Tag]:
        style = STATES.get(volts)
        if style is not None:
            yield path(points, stroke=style.colour, stroke_width=style.width,
                       stroke_dasharray=style.dash, stroke_linejoin="round")  # fmt: skip

    def _tag(self, wire: Wire, led: Led) -> Iterator[Tag]:
        code, (x, y) = ink.colour_code(wire.colour), led.tag
        suspected, changed = self.marks.belief(wire.name) > 0, wire.name in self.marks.changed
        half = 0.5 * text_width(code) + 1.5
        yield rect(x - half, y - 6.5, 2 * half, 13, rx=2, fill=INK if suspected else PAPER,
                   stroke=ink.CHANGED if changed else INK,
                   stroke_width=2.5 if changed else 0.8)  # fmt: skip
        yield self.write(code, x, y, "middle", fill=PAPER if suspected else INK)

    # --- links -------------------------------------------------------------------------------
    def link(self, first: Placed) -> Tag:
        """The dashed line from a pole on the left leg to that on the right, which moves with it."""
        y = y_of(0.5 * (min(s.last for s in first.spots.values())
                        + max(s.row for s in first.spots.values())))  # fmt: skip
        words = max((w.span[1] for w in first.words if w.quiet), default=x_of(LEFT_LEG) + 10)
        ends = ((words + 4, y), (x_of(RIGHT_LEG) - 12, y))
        return line(*ends, stroke=ink.FAINT, stroke_width=1.5, stroke_dasharray="6 4")
