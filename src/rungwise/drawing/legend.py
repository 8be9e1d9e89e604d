"""The legend under a picture: letters of the wire colours, and what the marks mean."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.drawing.ink import INK, STATES, colour_words, wire_ink
from rungwise.drawing.ladder_drawn import Pen
from rungwise.drawing.lettering import wrapped
from rungwise.drawing.svg import Tag, line
from rungwise.drawing.symbols import boxed
from rungwise.unit import Unit
from rungwise.wording import joined, mark, named, say

LINE = 16.0
COLUMNS = (8.0, 136.0, 264.0)

MARKS = (
    mark("?62% dashed frame: suspected, how far"),
    mark("Δ thin frame: changed"),
    mark("R and B discs: where the red and black lead go"),
    mark("arrows round a motor, dot in a coil: on"),
    mark("From the model. Only measuring proves a point dead."),
)


def legend(pen: Pen, unit: Unit, top: float) -> tuple[tuple[Tag, ...], float]:
    """The legend from `top` down, and where it ends."""
    y = top + LINE
    found = [line((8, top), (382, top), stroke=INK, stroke_width=1)]
    colours = colour_words(wire.colour for wire in unit.wires)
    for at, (code, word) in enumerate(colours):
        x = COLUMNS[at % len(COLUMNS)]
        found += _colour(pen, x, y + LINE * (at // len(COLUMNS)), code, word)
    y += LINE * (-(-len(colours) // len(COLUMNS)))
    for volts, style in STATES.items():
        found.append(line((10, y), (40, y), stroke=style.colour, stroke_width=style.width,
                          stroke_dasharray=style.dash))  # fmt: skip
        found.append(line((10, y), (40, y), stroke=INK, stroke_width=3))
        found += pen.mark((25, y), volts)
        found.append(pen.write(style.words, 48, y))
        y += LINE
    found += [line((10, y), (40, y), stroke=INK, stroke_width=3), *pen.mark((25, y), "")]
    found.append(pen.write(mark("no band: no volts, by the model"), 48, y))
    y += LINE
    for words in (*MARKS, *_boxes(unit)):
        found.append(pen.write(words, 8, y))
        y += LINE
    return tuple(found), y


def _boxes(unit: Unit) -> Iterator[str]:
    """The parts whose inside nobody told."""
    titles = dict.fromkeys(part.title for part in boxed(unit))
    if titles:
        words = say("square box, inside not drawn: {parts}", parts=joined(", ", titles))
        yield from wrapped(words, 374.0, most=6)


def _colour(pen: Pen, x: float, y: float, code: str, word: str) -> Iterator[Tag]:
    inks = wire_ink(word)
    yield line((x, y), (x + 18, y), stroke=INK, stroke_width=4)
    yield line((x, y), (x + 18, y), stroke=inks.base, stroke_width=2.6)
    yield pen.write(joined(" ", (code, named(word))), x + 24, y)
