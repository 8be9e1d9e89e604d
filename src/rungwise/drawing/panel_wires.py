"""The wires of a panel picture: a cased line by colour, letters at both ends, marks on the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungwise.drawing.ink import INK, PAPER, STATES, wire_ink
from rungwise.drawing.lettering import SMALLEST
from rungwise.drawing.marks import Marks
from rungwise.drawing.panel_bodies import LANE, OVER
from rungwise.drawing.panel_layout import Layout
from rungwise.drawing.picture import LabelBox
from rungwise.drawing.routing import crossing_points
from rungwise.drawing.routing_grid import STEPS, Port, Route
from rungwise.drawing.routing_grid import Point as GridPoint
from rungwise.drawing.svg import Ids, Point, Tag, group, line, path, rect, tag, thing
from rungwise.drawing.told import VOLTS, percent, said_of
from rungwise.unit import Unit, Wire
from rungwise.wording import mark, say

CORE, CASING, BAND = 3.2, 4.8, 7.6
LETTERS_W, TAG_W, TAG_H = 14.0, 16.4, 12.4
TAG_MIDDLE, TAG_LINE = 12.2, 12.5
"""From the grid point in a plate to the middle of the letters, and from line to line."""

STRIPE = "5 5"


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the grid lies on the picture."""

    left: float
    top: float

    def at(self, row: float, col: float) -> Point:
        """A grid point in units."""
        return self.left + LANE * col, self.top + LANE * row


def draw_wires(
    unit: Unit, layout: Layout, frame: Frame, marks: Marks, ids: Ids
) -> tuple[list[Tag], list[Tag], list[LabelBox]]:
    """The wires, the letters upon them, and the boxes of those."""
    crossed = crossing_points(layout.routes)
    drawn: set[str] = set()
    lines, upon = [], []
    for wire in layout.wires:
        route = layout.routes[wire.name]
        under = [point for point, pair in crossed.items() if wire.name in pair and drawn & {*pair}]
        lines.append(_line(unit, wire, route, under, frame, marks, ids))
        drawn.add(wire.name)
        upon += [each for port in (route.start, route.end) for each in _tags(wire, port, frame)]
    return lines, [each for each, _ in upon], [box for _, box in upon]


def _line(  # what a wire is drawn of
    unit: Unit,
    wire: Wire,
    route: Route,
    under: Sequence[GridPoint],
    frame: Frame,
    marks: Marks,
    ids: Ids,
) -> Tag:
    points = rim_to_rim(route, frame)
    ink = wire_ink(wire.colour)
    state = STATES.get(marks.wire_volts(wire.start, wire.end))
    pieces = [_gap(route, point, frame) for point in under]
    joins = {"stroke_linejoin": "round"}
    if state is not None:
        dash = {"stroke_dasharray": state.dash}
        pieces.append(path(points, stroke=state.colour, stroke_width=BAND, **dash))
    pieces.append(path(points, stroke=INK, stroke_width=CASING, **joins))
    pieces.append(path(points, stroke=ink.base, stroke_width=CORE, **joins))
    if ink.stripe is not None:
        dashed = {"stroke_dasharray": STRIPE}
        pieces.append(path(points, stroke=ink.stripe, stroke_width=CORE, **dashed))
    return thing(ids, "wire", wire.name, _told(unit, wire, marks), *pieces)


def rim_to_rim(route: Route, frame: Frame) -> list[Point]:
    """The corners of a wire, its ends moved from the grid point in a plate to the plate's rim."""
    points = [frame.at(row, col) for row, col in route.corners()]
    for index, port in ((0, route.start), (-1, route.end)):
        down, right = STEPS[port.way]
        x, y = points[index]
        points[index] = (x + OVER * right, y + OVER * down)
    return points


def _gap(route: Route, point: GridPoint, frame: Frame) -> Tag:
    """A short break in the wires below, so that it is seen which goes over."""
    here = route.points.index(point)
    down, right = (
        route.points[here + 1][0] - point[0],
        route.points[here + 1][1] - point[1],
    )
    a = frame.at(point[0] - 0.45 * down, point[1] - 0.45 * right)
    b = frame.at(point[0] + 0.45 * down, point[1] + 0.45 * right)
    return line(a, b, stroke=PAPER, stroke_width=LANE - 0.6)


def _told(unit: Unit, wire: Wire, marks: Marks) -> str:
    words = [VOLTS.get(marks.wire_volts(wire.start, wire.end), "")]
    belief = marks.belief(wire.name)
    words.append(say("suspected {belief}", belief=percent(belief)) if belief else "")
    words.append(mark("changed") if wire.name in marks.changed else "")
    return said_of(unit.wire_title(wire), words)


def _tags(wire: Wire, port: Port, frame: Frame) -> Iterator[tuple[Tag, LabelBox]]:
    """The letters of the colour on the wire before its terminal, a stripe's below the base's."""
    pieces = code_pieces(wire)
    down, right = STEPS[port.way]
    x, y = frame.at(port.row, port.col)
    for index, piece in enumerate(pieces if port.way != 0 else pieces[::-1]):
        reach = TAG_MIDDLE + (TAG_LINE if down else TAG_W) * index
        centre = (x + right * (reach + 1.4), y + down * reach)
        yield _tag(piece, centre)


def code_pieces(wire: Wire) -> list[str]:
    """The letter code in pieces of two: the base, then the stripe."""
    code = wire_ink(wire.colour).code.upper()[:4]
    return [code[i : i + 2] for i in range(0, len(code), 2)]


def _tag(piece: str, centre: Point) -> tuple[Tag, LabelBox]:
    x, y = centre[0] - TAG_W / 2, centre[1] - TAG_H / 2
    plate = rect(x, y, TAG_W, TAG_H, rx=2, fill=PAPER, stroke=INK, stroke_width=0.6)
    fitted = {"text_anchor": "middle", "lengthAdjust": "spacingAndGlyphs", "fill": INK}
    y_text = centre[1] + 0.36 * SMALLEST
    size = {"font_size": SMALLEST, "textLength": LETTERS_W}
    words = tag("text", piece, x=centre[0], y=y_text, **size, **fitted)
    return group(plate, words), LabelBox(piece, x, y, TAG_W, TAG_H)
