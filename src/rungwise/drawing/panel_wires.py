"""The wires of a panel picture: a cased line by colour, letters at both ends, marks on the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungwise.drawing.ink import CHANGED, INK, PAPER, STATES, SUSPECT, wire_ink
from rungwise.drawing.lettering import SMALLEST
from rungwise.drawing.marks import Marks
from rungwise.drawing.panel_bodies import LANE
from rungwise.drawing.panel_layout import Layout
from rungwise.drawing.picture import LabelBox
from rungwise.drawing.routing import Port, Route, crossing_points
from rungwise.drawing.routing_grid import STEPS
from rungwise.drawing.routing_grid import Point as GridPoint
from rungwise.drawing.svg import Ids, Point, Tag, group, line, path, rect, tag, thing
from rungwise.unit.unit import Wire

__all__ = ["Frame", "belief_words", "draw_wires", "pill"]

CORE, CASING, BAND = 3.2, 4.8, 7.6
LETTERS_W, TAG_W, TAG_H = 14.0, 16.4, 12.6
LINE = 13.2
PILL_W, DISC = 36.0, 12.6
STRIPE = "5 5"


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the grid lies on the picture."""

    left: float
    top: float

    def at(self, row: float, col: float) -> Point:
        """A grid point in units."""
        return self.left + LANE * col, self.top + LANE * row


def belief_words(belief: float) -> str:
    """A belief as a person reads it; never quite certain."""
    return f"?{min(99, max(1, round(100 * belief)))}%"


def pill(words: str, centre: Point, width: float, fill: str) -> tuple[Tag, LabelBox]:
    """Words in reverse on a filled shape, and their box."""
    x, y = centre[0] - width / 2, centre[1] - DISC / 2
    shape = rect(x, y, width, DISC, rx=DISC / 2, fill=fill, stroke=PAPER, stroke_width=1)
    return group(shape, letters(words, centre, fill=PAPER)), LabelBox(words, x, y, width, DISC)


def letters(words: str, centre: Point, **attributes: str | float | None) -> Tag:
    """Bold words around a point."""
    y = centre[1] + 0.36 * SMALLEST
    middle = {"text_anchor": "middle", "font_weight": "bold"}
    return tag("text", words, x=centre[0], y=y, font_size=SMALLEST, **middle, **attributes)


def draw_wires(
    layout: Layout, frame: Frame, marks: Marks, ids: Ids
) -> tuple[list[Tag], list[Tag], list[LabelBox]]:
    """The wires, what lies upon all of them (letters and marks), and the boxes of that."""
    crossed = crossing_points(layout.routes)
    drawn: set[str] = set()
    lines, upon, boxes = [], [], []
    for wire in layout.wires:
        route = layout.routes[wire.name]
        under = [point for point, pair in crossed.items() if wire.name in pair and drawn & {*pair}]
        lines.append(_line(wire, route, under, frame, marks, ids))
        drawn.add(wire.name)
        for mark, box in _upon(wire, route, crossed, frame, marks):
            upon.append(mark)
            boxes.append(box)
    return lines, upon, boxes


def _line(
    wire: Wire, route: Route, under: Sequence[GridPoint], frame: Frame, marks: Marks, ids: Ids
) -> Tag:
    points = [frame.at(row, col) for row, col in route.corners()]
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
    return thing(ids, "wire", wire.name, _told(wire, marks), *pieces)


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


def _told(wire: Wire, marks: Marks) -> str:
    volts = {"live": "energised", "leftover": "live by a leftover path"}
    words = [volts.get(marks.wire_volts(wire.start, wire.end), "")]
    belief = marks.belief(wire.name)
    words.append(f"suspected, {belief_words(belief)[1:]}" if belief else "")
    words.append("changed" if wire.name in marks.changed else "")
    said = ", ".join(word for word in words if word)
    return f"{wire.title}: {said}" if said else wire.title


def _upon(
    wire: Wire,
    route: Route,
    crossed: Mapping[GridPoint, tuple[str, str]],
    frame: Frame,
    marks: Marks,
) -> Iterator[tuple[Tag, LabelBox]]:
    for port in (route.start, route.end):
        yield from _tags(wire, port, frame)
    free = _free_points(route, crossed)
    if belief := marks.belief(wire.name):
        yield _wire_pill(belief_words(belief), "?", free, frame, SUSPECT)
    if wire.name in marks.changed:
        yield _wire_pill("", "Δ", free, frame, CHANGED)


def _tags(wire: Wire, port: Port, frame: Frame) -> Iterator[tuple[Tag, LabelBox]]:
    """The letters of the colour on the wire before its terminal, a stripe's below the base's."""
    code = wire_ink(wire.colour).code.upper()[:4]
    pieces = [code[i : i + 2] for i in range(0, len(code), 2)]
    down, right = STEPS[port.way]
    x, y = frame.at(port.row, port.col)
    for index, piece in enumerate(pieces if port.way != 0 else pieces[::-1]):
        reach = 12.2 + (LINE if down else TAG_W) * index
        centre = (x + right * (reach + 1.4), y + down * reach)
        yield _tag(piece, centre)


def _tag(piece: str, centre: Point) -> tuple[Tag, LabelBox]:
    x, y = centre[0] - TAG_W / 2, centre[1] - TAG_H / 2
    plate = rect(x, y, TAG_W, TAG_H, rx=2, fill=PAPER, stroke=INK, stroke_width=0.6)
    fitted = {"text_anchor": "middle", "lengthAdjust": "spacingAndGlyphs", "fill": INK}
    y_text = centre[1] + 0.36 * SMALLEST
    size = {"font_size": SMALLEST, "textLength": LETTERS_W}
    words = tag("text", piece, x=centre[0], y=y_text, **size, **fitted)
    return group(plate, words), LabelBox(piece, x, y, TAG_W, TAG_H)


def _free_points(route: Route, crossed: Mapping[GridPoint, tuple[str, str]]) -> list[GridPoint]:
    """The points of a route, clear of its ends' letters, that no other wire crosses."""
    clear = slice(route.start.stub + 1, len(route.points) - route.end.stub - 1)
    return [point for point in route.points[clear] if point not in crossed]


def _wire_pill(
    long: str, short: str, free: list[GridPoint], frame: Frame, fill: str
) -> tuple[Tag, LabelBox]:
    """A mark on a wire: in words where it runs straight across for long enough, else a sign.

    The points that it covers are taken from ``free``.
    """
    run = _run_across(free, 5) if long else None
    if run is not None:
        middle, words, width = run[2], long, PILL_W
        taken = set(run)
    else:
        middle, words, width = free[len(free) // 2], short, DISC
        taken = {middle}
    near = {(r, c) for r, c in free if any(abs(r - a) + abs(c - b) < 2 for a, b in taken)}
    free[:] = [point for point in free if point not in near] or free
    return pill(words, frame.at(*middle), width, fill)


def _run_across(free: Sequence[GridPoint], length: int) -> list[GridPoint] | None:
    """The run of so many free points side by side that is nearest to the middle of the wire."""
    starts = sorted(range(len(free) - length + 1), key=lambda i: (abs(2 * i - len(free)), i))
    for start in starts:
        run = list(free[start : start + length])
        row, col = run[0]
        step = run[1][1] - col
        if all(point == (row, col + step * i) for i, point in enumerate(run)):
            return run
    return None
