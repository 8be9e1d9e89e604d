"""Signs of belief and change in the panel picture: on a wire, wherever it has room for them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from rungwise.drawing.ink import CHANGED, PAPER, SUSPECT
from rungwise.drawing.lettering import SMALLEST
from rungwise.drawing.marks import Marks
from rungwise.drawing.panel_layout import Layout
from rungwise.drawing.panel_wires import (
    CASING,
    TAG_H,
    TAG_LINE,
    TAG_MIDDLE,
    Frame,
    code_pieces,
    rim_to_rim,
)
from rungwise.drawing.picture import LabelBox
from rungwise.drawing.routing_grid import STEPS, Route
from rungwise.drawing.svg import Point, Tag, group, rect, tag
from rungwise.drawing.told import percent
from rungwise.unit import Wire

PILL_W, DISC = 36.0, 11.4


def pill(words: str, centre: Point, width: float, fill: str) -> tuple[Tag, LabelBox]:
    """Words in reverse on a filled shape, and their box."""
    x, y = centre[0] - width / 2, centre[1] - DISC / 2
    shape = rect(x, y, width, DISC, rx=DISC / 2, fill=fill, stroke=PAPER, stroke_width=1)
    y_text = centre[1] + 0.36 * SMALLEST
    bold = {"text_anchor": "middle", "font_weight": "bold", "fill": PAPER}
    inside = tag("text", words, x=centre[0], y=y_text, font_size=SMALLEST, **bold)
    return group(shape, inside), LabelBox(words, x, y, width, DISC)


class WireSigns:
    """Puts each sign on its wire where it hides no part, no letters and no other wire."""

    def __init__(self, layout: Layout, frame: Frame, solid: Iterable[LabelBox]) -> None:
        self.layout = layout
        self.frame = frame
        self.taken = list(solid)
        """Bodies, letters, and each sign as it is put."""
        self.pieces = {name: list(_pieces(r, frame)) for name, r in layout.routes.items()}

    def signs(self, marks: Marks) -> Iterator[tuple[Tag, LabelBox]]:
        """The signs of every wire."""
        for wire in self.layout.wires:
            if wire.name in marks.changed:
                yield self._put(wire, (("Δ", DISC),), CHANGED)
            if belief := marks.belief(wire.name):
                yield self._put(wire, ((f"?{percent(belief)}", PILL_W), ("?", DISC)), SUSPECT)

    def _put(
        self, wire: Wire, choices: Sequence[tuple[str, float]], fill: str
    ) -> tuple[Tag, LabelBox]:
        """The first of the choices that has a free place; the last beyond the wire's letters."""
        spots = list(self._spots(wire))
        found = (
            drawn
            for words, width in choices
            for spot in spots
            if self._free(wire.name, (drawn := pill(words, spot, width, fill))[1])
        )
        words, width = choices[-1]
        drawn = next(found, None) or pill(words, spots[0], width, fill)
        self.taken.append(drawn[1])
        return drawn

    def _spots(self, wire: Wire) -> Iterator[Point]:
        """Points of a wire: beyond its letters, where a lane is kept for it, then all others."""
        route = self.layout.routes[wire.name]
        deep = TAG_MIDDLE + TAG_LINE * (len(code_pieces(wire)) - 1) + (TAG_H + DISC) / 2 + 0.1
        for port in (route.start, route.end):
            if down := STEPS[port.way][0]:
                x, y = self.frame.at(port.row, port.col)
                yield x, y + down * deep
        middle = len(route.points) // 2
        by_middle = sorted(range(len(route.points)), key=lambda i: (abs(i - middle), i))
        yield from (self.frame.at(*route.points[i]) for i in by_middle)

    def _free(self, wire: str, box: LabelBox) -> bool:
        if not 0 <= box.x <= self.layout.width - box.w or any(
            box.overlaps(other) for other in self.taken
        ):
            return False
        others = (p for name, pieces in self.pieces.items() if name != wire for p in pieces)
        return not any(box.overlaps(piece) for piece in others)


def _pieces(route: Route, frame: Frame) -> Iterator[LabelBox]:
    """What the straight pieces of a wire cover."""
    points = rim_to_rim(route, frame)
    for (x1, y1), (x2, y2) in pairwise(points):
        left, top, half = min(x1, x2), min(y1, y2), CASING / 2
        yield LabelBox("", left - half, top - half, abs(x1 - x2) + CASING, abs(y1 - y2) + CASING)
