"""The panel: a point-to-point picture of one place of a unit, parts as they sit, wires by colour.

Laid out by `panel_layout` from the unit alone, so that marks never move anything.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.drawing.ink import (
    CHANGED,
    FAINT,
    INK,
    LEAD_BLACK,
    LEAD_RED,
    PAPER,
    QUIET,
    STATES,
    SUSPECT,
)
from rungwise.drawing.lettering import SMALLEST, text_width
from rungwise.drawing.marks import Lead, Marks
from rungwise.drawing.panel_bodies import FLAG_H, FLAG_W, LANE, LINE_H, OVER, PAD_H, Body, Pad
from rungwise.drawing.panel_layout import Placed, layout_of
from rungwise.drawing.panel_legend import legend_of
from rungwise.drawing.panel_marks import DISC, PILL_W, WireSigns, pill
from rungwise.drawing.panel_signs import contact, sign
from rungwise.drawing.panel_wires import Frame, draw_wires
from rungwise.drawing.picture import LabelBox, Picture, label_box
from rungwise.drawing.placing import HIGH, LOW
from rungwise.drawing.routing import crossing_points
from rungwise.drawing.svg import Ids, Point, Tag, circle, document, group, rect, tag, text, thing
from rungwise.drawing.svg import title as told
from rungwise.drawing.symbols import is_marked
from rungwise.drawing.told import LEADS, VOLTS, percent, said_of
from rungwise.errors import UnknownName
from rungwise.parts import KINDS, Branch, Poles, Symbol, drawn_mark, part_of
from rungwise.unit import Unit, place_words
from rungwise.wording import joined, mark, say

PLACES = {
    "panel": mark("Electrical panel"),
    "disconnect": mark("Disconnect"),
    "outdoor": mark("Outdoor cabinet"),
    "indoor": mark("Air handler"),
    "room": mark("Room"),
}

HEAD = 38.0
FOOT = 8.0
LEAD_NAMES: dict[Lead, tuple[str, str]] = {
    "red": (mark("RED"), LEAD_RED),
    "black": (mark("BLK"), LEAD_BLACK),
}


def panel(
    unit: Unit, marks: Marks | None = None, *, place: str = "outdoor", prefix: str = "panel"
) -> Picture:
    """The picture of one place: `panel`, `disconnect`, `outdoor`, `indoor` or `room`.

    `prefix` begins every id, so that two pictures may stand on one page.  Raises UnknownName
    for another place.
    """
    if place not in PLACES:
        raise UnknownName(what="There is no such place in a unit.", name=place, known=PLACES)
    return _Panel(unit, marks or Marks(), place, prefix).picture()


class _Panel:
    """One picture in the making."""

    def __init__(self, unit: Unit, marks: Marks, place: str, prefix: str) -> None:
        self.unit = unit
        self.marks = marks
        self.place = place
        self.ids = Ids(prefix)
        self.layout = layout_of(unit, place)
        self.frame = Frame(1.5, HEAD)
        self.labels: list[LabelBox] = []
        self.solids: list[LabelBox] = []

    def picture(self) -> Picture:
        """Everything, from the back to the front."""
        layout = self.layout
        below = HEAD + LANE * (layout.rows - 1) + FOOT
        lines, upon, boxes = draw_wires(self.unit, layout, self.frame, self.marks, self.ids)
        self.labels += boxes
        parts = [self._part(each) for each in layout.placed]
        leads = [lead for each in layout.placed for lead in self._leads(each)]
        signs = list(WireSigns(layout, self.frame, [*self.solids, *boxes]).signs(self.marks))
        self.labels += [box for _, box in signs]
        legend, more, height = legend_of(self.unit, layout, self.marks, below)
        self.labels += more
        paper = rect(0, 0, self.layout.width, height, fill=PAPER)
        head = self._head()
        crossings = len(crossing_points(layout.routes))
        name = PLACES[self.place]
        svg = document(
            self.ids,
            (self.layout.width, height),
            joined(": ", (name, self.unit.title)),
            say(
                "{place}: parts and wires, point to point; {count} wires.",
                place=name,
                count=len(layout.wires),
            ),
            paper,
            *head,
            *lines,
            *parts,
            *upon,
            *(drawn for drawn, _ in signs),
            *leads,
            *legend,
        )
        return Picture(
            svg, self.layout.width, height, tuple(self.labels), crossings, tuple(self.solids)
        )

    def _words(self, words: str, x: float, y: float, anchor: str = "start", **more: str) -> Tag:
        self.labels.append(label_box(words, x, y, SMALLEST, anchor))
        fill = more.pop("fill", INK)
        return text(words, x, y, SMALLEST, anchor, fill=fill, **more)

    def _head(self) -> Iterator[Tag]:
        """The name of the place, and under it the two sides."""
        name = PLACES[self.place]
        self.labels.append(label_box(name, 6, 11, 14))
        yield text(name, 6, 11, 14, fill=INK, font_weight="bold")
        zones = {each.zone for each in self.layout.placed}
        if LOW in zones and zones - {LOW}:
            x = self.frame.at(0, self.layout.border + 0.5)[0]
            wide = self.layout.width - 1.5 - x
            yield rect(x, HEAD - 12, wide, self._low_end() - HEAD + 12, fill=FAINT,
                       fill_opacity=0.28)  # fmt: skip
            yield self._words(mark("24 V side"), self.layout.width - 6, 28, "end", fill=QUIET)
        yield self._words(mark("line volts") if HIGH in zones else "24 V", 6, 28, fill=QUIET)
        yield rect(1.5, 19 + 1, self.layout.width - 3, 0.8, fill=INK)

    def _low_end(self) -> float:
        """Down to where the 24 V side is tinted: below its last part."""
        last = self.layout.low_rows[1] if self.layout.low_rows else 0
        return self.frame.at(last, 0)[1] + 3.5 * LANE

    def _part(self, each: Placed) -> Tag:
        """A part's body with its pads, sign, words and marks."""
        body = each.body
        x, y = self.frame.at(each.row, each.col)
        wide, tall = body.size
        self.solids.append(LabelBox(body.part, x - OVER, y - OVER, wide, tall))
        belief = self.marks.belief(body.part)
        pieces = [*self._shell(body, belief), *self._contacts(body), *self._sign(body)]
        pieces += self._title(body, (x, y))
        pieces += self._badges(body, belief, (x, y))
        pads = self._pads(each, (x, y))
        return thing(
            self.ids,
            "part",
            body.part,
            self._part_words(body, belief),
            group(*pieces, transform=f"translate({x:g} {y:g})"),
            *pads,
        )

    def _part_words(self, body: Body, belief: float) -> str:
        part = self.unit.part(body.part)
        words = [place_words(part.place) if body.outside else ""]
        words.append(mark("runs") if body.part in self.marks.running else "")
        words.append(say("suspected {belief}", belief=percent(belief)) if belief else "")
        words.append(mark("changed") if body.part in self.marks.changed else "")
        return said_of(part.title, words)

    def _shell(self, body: Body, belief: float) -> Iterator[Tag]:
        wide, tall = body.size
        dash = "4 3" if body.outside else None
        yield rect(-OVER, -OVER, wide, tall, rx=3, fill=PAPER, stroke=INK, stroke_width=1.4,
                   stroke_dasharray=dash)  # fmt: skip
        if belief:
            yield rect(-OVER + 1.5, -OVER + 1.5, wide - 3, tall - 3, rx=2, fill="none",
                       stroke=SUSPECT, stroke_width=3, stroke_dasharray="8 4")  # fmt: skip
        if body.part in self.marks.changed:
            yield rect(-OVER + 3.5, -OVER + 3.5, wide - 7, tall - 7, rx=2, fill="none",
                       stroke=CHANGED, stroke_width=1.6)  # fmt: skip

    def _sign(self, body: Body) -> Iterator[Tag]:
        drawn = sign(body.stand.mark, running=body.part in self.marks.running)
        if drawn is not None and body.glyph is not None:
            x, y = body.glyph[:2]
            yield group(drawn, transform=f"translate({x:g} {y:g})")

    def _contacts(self, body: Body) -> Iterator[Tag]:
        """What lies between the pads above and those below."""
        tops = [pad for pad in body.pads if pad.rim == 0]
        bottoms = [pad for pad in body.pads if pad.rim == 2]
        for top, bottom in zip(tops, bottoms, strict=False):
            x = top.box[0] + (top.box[2] / 2 if len(tops) > 1 or not body.stand.both else 2.5)
            ends = (x, top.box[1] + PAD_H), (x, bottom.box[1])
            if body.stand.both:
                yield tag("line", x1=x, y1=ends[0][1], x2=x, y2=ends[1][1],
                          stroke=INK, stroke_width=4)  # fmt: skip
            elif not body.outside:
                between = (body, top.terminal, bottom.terminal)
                branch = self._branch(*between)
                if branch is not None:  # a board's terminals only stand in two rows
                    stands = self._stands(body, branch)
                    yield contact(*ends, closed=stands, link=self._melts(*between))

    def _branch(self, body: Body, top: str, bottom: str) -> Branch | None:
        """What lies between two terminals; None where nothing does."""
        elements = (e for e in KINDS[body.kind].elements if isinstance(e, Branch))
        return next((e for e in elements if {e.a, e.b} == {top, bottom}), None)

    def _stands(self, body: Body, branch: Branch) -> bool | None:
        """How the contact between two terminals stands; None for a solid bar."""
        if branch.closed is None:
            return None
        said = self.marks.contact(body.part, branch.name)
        poles = KINDS[body.kind].facet(Poles)
        by_coil = poles is not None and poles.moved_by == "coil"
        return said if said is not None else not by_coil

    def _melts(self, body: Body, top: str, bottom: str) -> bool:
        """Whether nothing but a fuse link lies between two terminals."""
        symbol = KINDS[body.kind].facet(Symbol)
        return symbol is not None and symbol.between(top, bottom) == "fuse"

    def _title(self, body: Body, at: Point) -> Iterator[Tag]:
        x, y = body.block[:2]
        fill = QUIET if body.outside else INK
        for index, words in enumerate(body.title):
            middle = y + LINE_H * (index + 0.5)
            if body.stand.both:
                yield rect(x, middle - LINE_H / 2, text_width(words) + 2, LINE_H, fill=PAPER)
            self.labels.append(label_box(words, at[0] + x, at[1] + middle))
            yield text(words, x, middle, fill=fill)

    def _badges(self, body: Body, belief: float, at: Point) -> Iterator[Tag]:
        """Belief, changed, running: in words and signs, under the title."""
        if body.outside:
            return
        x, y = body.block[0], body.block[1] + LINE_H * len(body.title) + 1 + DISC / 2
        if belief:
            yield self._badge(f"?{percent(belief)}", (x + PILL_W / 2, y), PILL_W, SUSPECT, at)
            x += PILL_W + 0.5
        if body.part in self.marks.changed:
            yield self._badge("Δ", (x + DISC / 2, y), DISC, CHANGED, at)
            x += DISC + 0.5
        if body.part in self.marks.running:
            yield _running((x + DISC / 2, y))

    def _badge(self, words: str, centre: Point, width: float, fill: str, at: Point) -> Tag:
        drawn, box = pill(words, centre, width, fill)
        self.labels.append(LabelBox(words, box.x + at[0], box.y + at[1], box.w, box.h))
        return drawn

    def _pads(self, each: Placed, at: Point) -> Iterator[Tag]:
        by_terminal: dict[str, list[Pad]] = {}
        for pad in each.body.pads:
            by_terminal.setdefault(pad.terminal, []).append(pad)
        for terminal, pads in by_terminal.items():
            full = f"{each.body.part}.{terminal}"
            pieces = [piece for pad in pads for piece in self._pad(pad, full, at)]
            yield thing(self.ids, "terminal", full, self._terminal_words(full), *pieces)

    def _pad(self, pad: Pad, full: str, at: Point) -> Iterator[Tag]:
        x, y, w, h = pad.box
        state = STATES.get(self.marks.volts(full))
        x, y = x + at[0], y + at[1]
        yield rect(x, y, w, h, rx=1.5, fill=PAPER, stroke=INK, stroke_width=1.2)
        if state is not None:
            yield rect(x + 1.7, y + 1.7, w - 3.4, h - 3.4, fill="none", stroke=state.colour,
                       stroke_width=3.4, stroke_dasharray=state.dash)  # fmt: skip
        if is_marked(self.unit.kind_of(part_of(full))):
            words = drawn_mark(pad.terminal)
            yield self._words(words, x + w / 2, y + h / 2, "middle", font_weight="bold")

    def _terminal_words(self, full: str) -> str:

        lead = self.marks.lead_at(full)
        words = (VOLTS.get(self.marks.volts(full), ""), LEADS[lead] if lead else "")
        return said_of(self.unit.end_words(full), words)

    def _leads(self, each: Placed) -> Iterator[Tag]:
        at = self.frame.at(each.row, each.col)
        done: set[str] = set()
        for pad in each.body.pads:
            lead = self.marks.lead_at(f"{each.body.part}.{pad.terminal}")
            if lead is not None and pad.terminal not in done:
                done.add(pad.terminal)
                yield self._lead(lead, pad, at)

    def _lead(self, lead: Lead, pad: Pad, at: Point) -> Tag:
        """A flag in the lead's colour, its name on it, that points at the plate."""
        words, fill = LEAD_NAMES[lead]
        x, y = pad.flag[0] + at[0], pad.flag[1] + at[1]
        tip = (pad.tip[0] + at[0], pad.tip[1] + at[1])
        self.labels.append(LabelBox(words, x, y, FLAG_W, FLAG_H))
        box = pad.box
        ring = rect(box[0] + at[0] - 1, box[1] + at[1] - 1, box[2] + 2, box[3] + 2, fill="none",
                    stroke=fill, stroke_width=3)  # fmt: skip
        base = _nearest_side((x, y), tip)
        told_points = " ".join(f"{px:.1f},{py:.1f}" for px, py in (tip, *base))
        pointer = tag("polygon", points=told_points, fill=fill, stroke=fill)
        shape = rect(x, y, FLAG_W, FLAG_H, rx=3, fill=fill, stroke=PAPER, stroke_width=0.8)
        where = {"font_weight": "bold", "fill": PAPER}
        name = text(words, x + FLAG_W / 2, y + FLAG_H / 2, SMALLEST, "middle", **where)
        return group(told(LEADS[lead]), ring, pointer, shape, name)


def _nearest_side(flag: Point, tip: Point) -> tuple[Point, Point]:
    """The foot of the pointer: on the side of the flag that looks at the tip."""
    x, y = flag
    if tip[0] <= x:
        return (x + 1, y + 2), (x + 1, y + FLAG_H - 2)
    middle = min(max(tip[0], x + 7), x + FLAG_W - 7)
    side = y + 1 if tip[1] <= y else y + FLAG_H - 1
    return (middle - 7, side), (middle + 7, side)


def _running(centre: Point) -> Tag:
    x, y = centre
    points = f"{x - 2.5:.1f},{y - 3.5:.1f} {x - 2.5:.1f},{y + 3.5:.1f} {x + 4:.1f},{y:.1f}"
    ring = circle(centre, DISC / 2 - 0.4, fill=PAPER, stroke=INK, stroke_width=1.6)
    return group(told(mark("runs")), ring, tag("polygon", points=points, fill=INK))
