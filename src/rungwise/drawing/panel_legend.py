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
from rungwise.drawing.lettering import text_width
from rungwise.drawing.marks import Marks
from rungwise.drawing.panel_layout import Layout
from rungwise.drawing.panel_marks import DISC, pill
from rungwise.drawing.picture import LabelBox, label_box
from rungwise.drawing.svg import Tag, circle, group, line, rect, tag, text

__all__ = ["legend_of"]

LEFT, RIGHT, ROW = 6.0, 384.0, 16.0
SIGN_W = 26.0
GAP = 10.0

Draw = Callable[[float, float], Tag]
Entry = tuple[Draw | None, str]


def legend_of(layout: Layout, marks: Marks, top: float) -> tuple[list[Tag], list[LabelBox], float]:
    """What is drawn from ``top`` down, its words' boxes, and the height of the whole picture."""
    pieces: list[Tag] = [rect(1.5, top, 387, 0.8, fill=INK)]
    boxes: list[LabelBox] = []
    y = top + ROW / 2 + 4
    for entries in (list(_leads(marks)), list(_signs(layout, marks)), list(_codes(layout))):
        x = LEFT
        for draw, words in entries:
            wide = (SIGN_W if draw else 0.0) + text_width(words) + GAP
            if x > LEFT and x + wide - GAP > RIGHT:
                x, y = LEFT, y + ROW
            if draw is not None:
                pieces.append(draw(x, y))
            at = x + (SIGN_W if draw else 0.0)
            pieces.append(text(words, at, y, fill=INK))
            boxes.append(label_box(words, at, y))
            x += wide
        y += ROW if entries else 0.0
    return pieces, boxes, y


def _leads(marks: Marks) -> Iterator[Entry]:
    for lead, terminal in sorted(marks.leads.items(), reverse=True):
        part, _, name = terminal.partition(".")
        fill = LEAD_RED if lead == "red" else LEAD_BLACK
        yield _flag(fill), f"{lead} lead on {part.replace('_', ' ')} {name}"


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
            yield _band(STATES[state]), STATES[state].words.removesuffix(" and !")
    if any(marks.belief(name) for name in here):
        yield _sign("?", SUSPECT), "suspected, belief in %"
    if marks.changed & here:
        yield _sign("Δ", CHANGED), "changed"
    if marks.running & here:
        yield _play, "runs"


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
        yield _stroke(wire_ink(words).base), f"{code} {words}"


def _stroke(colour: str) -> Draw:
    def draw(x: float, y: float) -> Tag:
        a, b = (x, y), (x + 21, y)
        casing = line(a, b, stroke=INK, stroke_width=4.8)
        return group(casing, line(a, b, stroke=colour, stroke_width=3.2))

    return draw
