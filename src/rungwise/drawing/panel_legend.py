"""The foot of the panel picture: where the leads are, what is suspected, signs, letter codes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rungwise.drawing.ink import (
    CHANGED,
    INK,
    LEAD_BLACK,
    LEAD_RED,
    PAPER,
    STATES,
    SUSPECT,
    LineStyle,
    colour_words,
    wire_ink,
)
from rungwise.drawing.lettering import text_width, wrapped
from rungwise.drawing.marks import Marks
from rungwise.drawing.panel_layout import Layout
from rungwise.drawing.panel_marks import DISC, pill
from rungwise.drawing.picture import LabelBox, label_box
from rungwise.drawing.svg import Tag, circle, group, line, rect, tag, text
from rungwise.parts import Stand, Symbol, part_of
from rungwise.unit import Unit
from rungwise.wording import joined, mark, named, say

LEFT, RIGHT, ROW = 6.0, 384.0, 16.0
SIGN_W = 26.0
GAP = 10.0

Draw = Callable[[float, float], Tag]
Entry = tuple[Draw | None, str]


def legend_of(
    unit: Unit, layout: Layout, marks: Marks, top: float
) -> tuple[list[Tag], list[LabelBox], float]:
    """What is drawn from `top` down, its words' boxes, and the height of the whole picture."""
    rows = _Rows(top + ROW / 2 + 4)
    notes = (*_left_out(unit, layout), *_not_known(unit, layout))
    for entries in (_leads(unit, layout, marks), notes, _signs(layout, marks)):
        rows.put(list(entries))
    rows.put(list(_codes(layout)))
    rule = rect(1.5, top, 387, 0.8, fill=INK)
    return [rule, *rows.pieces], rows.boxes, rows.y


class _Rows:
    """Entries side by side as far as they fit, a long one in several lines."""

    def __init__(self, y: float) -> None:
        self.y = y
        self.pieces: list[Tag] = []
        self.boxes: list[LabelBox] = []

    def put(self, entries: list[Entry]) -> None:
        """One sort of entries, which begins a row of its own."""
        x = LEFT
        for draw, words in entries:
            shift = SIGN_W if draw else 0.0
            wide = shift + text_width(words) + GAP
            if x > LEFT and x + wide - GAP > RIGHT:
                x, self.y = LEFT, self.y + ROW
            if draw is not None:
                self.pieces.append(draw(x, self.y))
            self._lines(words, x + shift)
            x += wide
        self.y += ROW if entries else 0.0

    def _lines(self, words: str, x: float) -> None:
        for index, each in enumerate(wrapped(words, RIGHT - x, most=6)):
            self.y += ROW if index else 0.0
            self.pieces.append(text(each, x, self.y, fill=INK))
            self.boxes.append(label_box(each, x, self.y))


_ON = {"red": mark("red lead on {end}"), "black": mark("black lead on {end}")}


def _leads(unit: Unit, layout: Layout, marks: Marks) -> Iterator[Entry]:
    here = {each.body.part for each in layout.placed}
    for lead, terminal in sorted(marks.leads.items(), reverse=True):
        name = part_of(terminal)
        fill = LEAD_RED if lead == "red" else LEAD_BLACK
        words = say(_ON[lead], end=unit.end_words(terminal))
        gone = say("{words}, not in this picture", words=words)
        yield _flag(fill), words if name in here else gone


def _left_out(unit: Unit, layout: Layout) -> Iterator[Entry]:
    for wire in layout.left_out:
        yield None, say("not drawn, no room: {wire}", wire=unit.wire_title(wire))


def _not_known(unit: Unit, layout: Layout) -> Iterator[Entry]:
    """The parts that are drawn as a bare row of terminals, since their kind does not tell more."""
    here = [each.body.part for each in layout.placed if not each.body.outside]
    bare = [
        unit.part(name).title
        for name in here
        if unit.kind_of(name).facet(Stand) is None or unit.kind_of(name).facet(Symbol) is None
    ]
    if bare:
        yield (
            None,
            say(
                "where the terminals lie, or what is inside, is not told: {parts}",
                parts=joined(", ", dict.fromkeys(bare)),
            ),
        )


def _flag(fill: str) -> Draw:
    return lambda x, y: tag(
        "polygon",
        points=f"{x:.1f},{y:.1f} {x + 7:.1f},{y - 6:.1f} {x + 21:.1f},{y - 6:.1f} "
        f"{x + 21:.1f},{y + 6:.1f} {x + 7:.1f},{y + 6:.1f}",
        fill=fill,
    )


def _signs(layout: Layout, marks: Marks) -> Iterator[Entry]:
    """Only what this picture shows."""
    here = {each.body.part for each in layout.placed} | {wire.name for wire in layout.wires}
    pads = {f"{e.body.part}.{pad.terminal}" for e in layout.placed for pad in e.body.pads}
    shown = {marks.volts(terminal) for terminal in pads}
    for state in ("live", "leftover"):
        if state in shown:
            yield _band(STATES[state]), STATES[state].words
    if any(marks.belief(name) for name in here):
        yield _sign("?", SUSPECT), mark("suspected, belief in %")
    if marks.changed & here:
        yield _sign("Δ", CHANGED), mark("changed")
    if marks.running & here:
        yield _play, mark("runs")


def _band(style: LineStyle) -> Draw:
    def draw(x: float, y: float) -> Tag:
        a, b = (x, y), (x + 21, y)
        band = line(a, b, stroke=style.colour, stroke_width=7.6, stroke_dasharray=style.dash)
        return group(band, line(a, b, stroke=INK, stroke_width=3))

    return draw


def _sign(words: str, fill: str) -> Draw:
    return lambda x, y: pill(words, (x + 10.5, y), DISC, fill)[0]


def _play(x: float, y: float) -> Tag:
    points = f"{x + 8:.1f},{y - 3.5:.1f} {x + 8:.1f},{y + 3.5:.1f} {x + 14.5:.1f},{y:.1f}"
    ring = circle((x + 10.5, y), 6, fill=PAPER, stroke=INK, stroke_width=1.6)
    return group(ring, tag("polygon", points=points, fill=INK))


def _codes(layout: Layout) -> Iterator[Entry]:
    for code, words in colour_words(wire.colour for wire in layout.wires):
        yield _stroke(wire_ink(words).base), joined(" ", (code, named(words)))


def _stroke(colour: str) -> Draw:
    def draw(x: float, y: float) -> Tag:
        a, b = (x, y), (x + 21, y)
        casing = line(a, b, stroke=INK, stroke_width=4.8)
        return group(casing, line(a, b, stroke=colour, stroke_width=3.2))

    return draw
