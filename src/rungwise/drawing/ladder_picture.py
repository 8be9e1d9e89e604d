"""The ladder diagram of a unit: its power rungs between the legs, and its control rungs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import lru_cache

from rungwise.drawing.ink import INK, PAPER, STATES, colour_words, wire_ink
from rungwise.drawing.ladder_drawn import Pen
from rungwise.drawing.ladder_frame import GROUND, WIDTH, Placed, y_of
from rungwise.drawing.ladder_place import Sheet, sheet_of
from rungwise.drawing.ladder_wires import Led, led_wires
from rungwise.drawing.lettering import wrapped
from rungwise.drawing.marks import Marks
from rungwise.drawing.picture import LabelBox, Picture
from rungwise.drawing.routing_search import NoWay
from rungwise.drawing.svg import Ids, Tag, document, group, line, rect
from rungwise.drawing.symbols import boxed, pieces_of
from rungwise.parts import Supply
from rungwise.unit import Unit
from rungwise.wording import current, joined, mark, named, say, told

ROOMS = ((1, 0), (3, 0), (6, 2))
"""Free rows between two loads, and columns that they move right: more where wires find no way."""


def ladder(unit: Unit, marks: Marks | None = None, *, prefix: str = "ladder") -> Picture:
    """The ladder of `unit` with `marks` on it, 390 units wide and what marks at its legs need.

    Every id in it begins with `prefix`.
    """
    marks = marks or Marks()
    sheet, led, crossings = _laid_out(_Shown.of(unit))
    pen = Pen(unit, marks, Ids(prefix))
    inside = tuple(_drawn(pen, sheet, led))
    below = y_of(sheet.rows + 1)
    key, height = legend(pen, unit, below)
    height = max(height, below)
    left, right = _margins(sheet)
    width = left + WIDTH + right
    svg = document(
        pen.ids,
        (width, height),
        say("Ladder diagram, {unit}", unit=unit.title),
        mark("Power rungs between the legs of the supply, control rungs below."),
        rect(0, 0, width, height, fill=PAPER),
        group(*inside, *key, transform=f"translate({left:g} 0)"),
    )
    labels, solids = (_aside(boxes, left) for boxes in (pen.labels, pen.solids))
    return Picture(svg, width, height, labels, crossings, solids)


def _margins(sheet: Sheet) -> tuple[float, float]:
    """Units that words reach over the left and the right edge, on the ground of a lead or not."""
    spans = [words.span for placed in sheet.placed for words in placed.words]
    left = GROUND - min((first for first, _ in spans), default=GROUND)
    right = max((last for _, last in spans), default=0.0) + GROUND - WIDTH
    return max(0, math.ceil(left)), max(0, math.ceil(right))


def _aside(boxes: Iterable[LabelBox], by: float) -> tuple[LabelBox, ...]:
    return tuple(replace(box, x=box.x + by) for box in boxes)


def _drawn(pen: Pen, sheet: Sheet, led: tuple[Led, ...]) -> Iterator[Tag]:
    """Wires under parts under terminals, so that what is read lies on top."""
    for words in sheet.titles:
        yield pen.write(words.text, words.x, y_of(words.row), words.anchor, font_weight="bold")
    yield from _links(pen, sheet)
    wires = pen.unit.wire_by_name
    yield group(*(pen.wire(wires[each.wire], each) for each in led))
    parts: dict[str, list[Placed]] = {}
    for placed in sheet.placed:
        parts.setdefault(placed.piece.part, []).append(placed)
    yield group(*(pen.part(name, each) for name, each in parts.items()))
    spots = (spot for placed in sheet.placed for spot in placed.spots.values())
    yield group(*(pen.terminal(spot) for spot in spots))


def _links(pen: Pen, sheet: Sheet) -> Iterator[Tag]:
    lines = [placed for placed in sheet.placed if placed.form == "line"]
    loads = [placed.rows for placed in sheet.placed if placed.cols[0] != placed.cols[1]]
    for at, first in enumerate(lines):
        for second in lines[at + 1 :]:
            level = first.rows[0] == second.rows[0] and "bar" not in second.piece.symbols
            free = all(high < first.rows[0] or low > first.rows[1] for low, high in loads)
            if first.piece.part == second.piece.part and level and free:
                yield pen.link(first)


@dataclass(frozen=True)
class _Shown:
    """A unit, the same as another where all that the layout shows of it is the same."""

    looks: str
    unit: Unit = field(compare=False)

    @classmethod
    def of(cls, unit: Unit) -> _Shown:
        """The unit with all that is written or led on its ladder; ohms and lengths are not."""
        parts = [(part.name, told(part.title), part.place) for part in unit.parts]
        wires = [(w.name, w.start, w.end, w.colour, w.carries) for w in unit.wires]
        volts = [part.values.get("leg_volt") for part, _ in unit.having(Supply)]
        return cls(repr((current(), parts, pieces_of(unit), wires, volts)), unit)


@lru_cache(maxsize=64)
def _laid_out(shown: _Shown) -> tuple[Sheet, tuple[Led, ...], int]:
    """Where everything of a unit stands, whatever its state; kept, for it takes a while."""
    for gap, aside in ROOMS:
        sheet = sheet_of(shown.unit, gap, aside)
        with suppress(NoWay):
            return (sheet, *led_wires(sheet))
    # A unit wired as nobody would: what finds no lane runs straight across.
    sheet = sheet_of(shown.unit, *ROOMS[-1])
    return (sheet, *led_wires(sheet, leave_out=True))


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
    lines = (each for words in MARKS for each in wrapped(words, 374.0))
    for words in (*lines, *_boxes(unit)):
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
