"""The parts of a panel picture as shapes: how wide, how tall, where each terminal's pad sits.

Places are counted in lanes of the wires' grid, so that a wire meets its pad on a grid point; the
rest is in units of the picture.  The origin of a body is its upper left grid point.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from rungwise.drawing.lettering import text_width
from rungwise.parts import KINDS, Stand, drawn_mark
from rungwise.unit import Part
from rungwise.wording import told

LANE = 9.0
"""Distance of two lanes, in units of the picture."""

OVER = 4.0
"""How far a body reaches over the grid points at its rim."""

PAD_H, LINE_H = 16.0, 13.2
FLAG_W, FLAG_H, TIP = 31.0, 15.0, 6.0
BADGES_W, BADGES_H = 62.0, 15.0
GLYPH, GAP, BAR = 32.0, 3.0, 4.0
TITLE_W = 66.0
SIDE_ROWS = 5
"""Lanes from a pad at a side to the next one: its height, its lead's mark, a gap."""

UP, RIGHT, DOWN, LEFT = range(4)

Box = tuple[float, float, float, float]
"""Left, top, width, height."""


@dataclass(frozen=True, slots=True)
class Pad:
    """A terminal's plate on a body.

    rim: 0 top, 1 right, 2 bottom, 3 left. row, col: the first grid point it covers. landings: the
    grid points, as lanes from there along the rim, where a wire may land. box: the plate in units.
    flag: upper left corner of the mark of a lead; tip: where that mark points at.
    """

    terminal: str
    rim: int
    row: int
    col: int
    lanes: int
    landings: tuple[int, ...]
    box: Box = (0.0, 0.0, 0.0, 0.0)
    flag: tuple[float, float] = (0.0, 0.0)
    tip: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Body:
    """A part of `cols` by `rows` grid points with pads at its rims.

    block: the box of the title and, under it, the badges. glyph: the box of its sign or None.
    """

    part: str
    kind: str
    cols: int
    rows: int
    pads: tuple[Pad, ...]
    title: tuple[str, ...]
    block: Box
    stand: Stand
    glyph: Box | None = None
    outside: bool = False

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in units."""
        return LANE * (self.cols - 1) + 2 * OVER, LANE * (self.rows - 1) + 2 * OVER


def lines_of(text: str, width: float = TITLE_W) -> tuple[str, ...]:
    """`text` in lines of at most `width` units, broken at spaces and after hyphens."""
    lines = [""]
    for word in text.replace("-", "-\n").replace(" ", " \n").split("\n"):
        if lines[-1] and text_width((lines[-1] + word).rstrip()) > width:
            lines.append("")
        lines[-1] += word
    return tuple(line.strip() for line in lines if line.strip())


def _lanes(units: float) -> int:
    """Grid points that a thing of this size covers."""
    return max(1, ceil((units - 2 * OVER) / LANE) + 1)


def _pad_lanes(terminal: str, wires: int) -> int:
    return max(3, _lanes(text_width(drawn_mark(terminal)) + 5.0), 2 * wires - 1)


def _landings(lanes: int, wires: int) -> tuple[int, ...]:
    first = (lanes - (2 * wires - 1)) // 2
    return tuple(first + 2 * i for i in range(wires))


class _Builder:
    """One body in the making; `wires` counts those on each terminal."""

    def __init__(self, part: Part, stand: Stand, wires: Mapping[str, int]) -> None:
        self.part = part
        self.stand = stand
        self.wires = wires
        self.title = lines_of(told(part.title))
        widest = max(text_width(line) for line in self.title)
        self.block_w = max(BADGES_W, widest + 2.0)
        self.block_h = LINE_H * len(self.title) + BADGES_H
        self.left = self._side_lanes(stand.left)
        self.right = self._side_lanes(stand.right)
        self.side_rows = max(self._stack_rows(stand.left), self._stack_rows(stand.right))

    def _side_lanes(self, terminals: Sequence[str]) -> int:
        """Columns for pads at a side."""
        return max((_lanes(_side_w(t)) for t in terminals), default=0)

    def _stack_rows(self, terminals: Sequence[str]) -> int:
        return 2 + sum(SIDE_ROWS + 2 * (max(1, self.wires.get(t, 0)) - 1) for t in terminals)

    def ends(self, terminal: str) -> int:
        """Landings at one rim: half of the wires, where the pad comes at two rims."""
        count = self.wires.get(terminal, 0)
        return max(min(count, 2), ceil(count / 2)) if self.stand.both else count

    def body(self) -> Body:
        """The whole, by the way it stands."""
        stand = self.stand
        if stand.top and stand.bottom:
            return self._poles()
        if stand.both:
            return self._through()
        if stand.top or stand.bottom:
            return self._edge()
        return self._sides()

    def _columns(self, gap: int = 1) -> tuple[list[int], list[int]]:
        """First column and lanes of each pad or pair of pads; `gap` lanes after the first."""
        pairs = [
            max(_pad_lanes(t, self.ends(t)) for t in pair if t)
            for pair in _pairs(self.stand.top, self.stand.bottom)
        ]
        at, firsts = self.left, []
        for index, lanes in enumerate(pairs):
            firsts.append(at)
            at += lanes + (gap if index == 0 else 1)
        return firsts, pairs

    def _poles(self) -> Body:
        """Pads above and below, contacts between them, words beside the first."""
        many = len(_pairs(self.stand.top, self.stand.bottom)) > 1
        beside = _lanes(self.block_w + 2 * GAP + 2 * OVER) - 1
        firsts, lanes = self._columns(gap=beside if many else 1)
        cols = firsts[-1] + lanes[-1] + (0 if many else beside)
        flag_rows = TIP + FLAG_H if many else 0.0
        inner = max(self.block_h + 2 * GAP, 2 * flag_rows + 26.0) if many else self.block_h + GAP
        height = 2 * PAD_H + inner
        x = LANE * (firsts[0] + lanes[0] - 1) + OVER + GAP
        y = PAD_H - OVER + (inner - self.block_h) / 2
        wide = LANE * (beside + 1) - 2 * OVER - 2 * GAP
        return self._done(cols, height, (x, y, wide, self.block_h), firsts, lanes, below=many)

    def _through(self) -> Body:
        """The same pads above and below, as on a strip or a splice."""
        firsts, lanes = self._columns()
        single = len(firsts) == 1
        cols = firsts[-1] + lanes[-1]
        if single:
            cols += _lanes(TIP + FLAG_W + OVER)
        cols = max(cols, _lanes(self.block_w + 2 * GAP + BAR))
        flag_row = 0.0 if single else TIP + FLAG_H
        height = 2 * PAD_H + flag_row + self.block_h + 2 * GAP
        # A bar joins the two rims: at the left of a single terminal, behind the words of several.
        x, y = GAP - OVER + BAR, PAD_H - OVER + flag_row + GAP
        block = (x, y, LANE * (cols - 1) + 2 * (OVER - GAP) - BAR, self.block_h)
        return self._done(cols, height, block, firsts, lanes, below=not single)

    def _edge(self) -> Body:
        """Pads along one rim, a sign and the words under them."""
        firsts, lanes = self._columns()
        need = _lanes(GLYPH + self.block_w + 3 * GAP)
        cols = max(firsts[-1] + lanes[-1] + self.right, self.left + need + self.right)
        shift = (cols - self.right - firsts[-1] - lanes[-1]) // 2
        firsts = [first + shift for first in firsts]
        height = PAD_H + TIP + FLAG_H + max(GLYPH, self.block_h) + 2 * GAP
        y = PAD_H + TIP + FLAG_H + GAP - OVER if self.stand.top else GAP - OVER
        x = LANE * self.left + (GAP if self.left else GAP - OVER)
        glyph = (x, y, GLYPH, GLYPH)
        block = (x + GLYPH + GAP, y, self.block_w, self.block_h)
        return self._done(cols, height, block, firsts, lanes, below=True, glyph=glyph)

    def _sides(self) -> Body:
        """Pads at the left and right only."""
        inner = _lanes(self.block_w + 2 * GAP)
        cols = self.left + inner + self.right
        height = max(GLYPH + self.block_h + 3 * GAP, LANE * self.side_rows)
        x, y = LANE * self.left + GAP, GAP - OVER
        glyph = (x + (self.block_w - GLYPH) / 2, y, GLYPH, GLYPH)
        block = (x, y + GLYPH + GAP, self.block_w, self.block_h)
        return self._done(cols, height, block, [], [], below=True, glyph=glyph)

    def _done(
        self,
        cols: int,
        height: float,
        block: Box,
        firsts: Sequence[int],
        lanes: Sequence[int],
        *,
        below: bool,
        glyph: Box | None = None,
    ) -> Body:
        # Columns of pads at the right come on top of what the middle needs.
        if self.stand.right and (self.stand.top or self.stand.bottom) and glyph is None:
            cols += self.right
        rows = max(_lanes(height), self.side_rows)
        body = Body(
            self.part.name, self.part.kind, cols, rows, (), self.title, block, self.stand, glyph
        )
        pads = [*self._rim_pads(body, firsts, lanes, below=below), *self._side_pads(body)]
        return replace(body, pads=tuple(pads))

    def _rim_pads(
        self, body: Body, firsts: Sequence[int], lanes: Sequence[int], *, below: bool
    ) -> list[Pad]:
        bottom = self.stand.top if self.stand.both else self.stand.bottom
        rims = ((UP, self.stand.top), (DOWN, bottom))
        return [
            self._rim_pad(body, rim, terminal, (col, wide), below=below)
            for rim, terminals in rims
            for terminal, col, wide in zip(terminals, firsts, lanes, strict=False)
        ]

    def _rim_pad(
        self, body: Body, rim: int, terminal: str, span: tuple[int, int], *, below: bool
    ) -> Pad:
        col, wide = span
        tall = body.size[1]
        x, w = LANE * col - OVER, LANE * (wide - 1) + 2 * OVER
        y = -OVER if rim == UP else tall - OVER - PAD_H
        row = 0 if rim == UP else body.rows - 1
        if below:
            into = y + PAD_H if rim == UP else y
            middle = min(max(x + (w - FLAG_W) / 2, -OVER), body.size[0] - OVER - FLAG_W)
            flag = (middle, into + TIP if rim == UP else into - TIP - FLAG_H)
            tip = (x + w / 2, into)
        else:
            flag, tip = (x + w + TIP, y + (PAD_H - FLAG_H) / 2), (x + w, y + PAD_H / 2)
        landings = _landings(wide, self.ends(terminal))
        return Pad(terminal, rim, row, col, wide, landings, (x, y, w, PAD_H), flag, tip)

    def _side_pads(self, body: Body) -> list[Pad]:
        return [
            *self._stack(body, RIGHT, self.stand.right),
            *self._stack(body, LEFT, self.stand.left),
        ]

    def _stack(self, body: Body, rim: int, terminals: Sequence[str]) -> list[Pad]:
        made, row = [], 2
        for terminal in terminals:
            wires = self.wires.get(terminal, 0)
            lanes = 2 * max(1, wires) - 1
            w, h = _side_w(terminal), LANE * (lanes - 1) + PAD_H
            x = body.size[0] - OVER - w if rim == RIGHT else -OVER
            y = LANE * row - PAD_H / 2
            middle = x + w / 2
            flag_x = min(max(middle - FLAG_W / 2, -OVER), body.size[0] - OVER - FLAG_W)
            landings = tuple(2 * i for i in range(wires))
            col = body.cols - 1 if rim == RIGHT else 0
            flag, tip = (flag_x, y + h + TIP), (middle, y + h)
            made.append(Pad(terminal, rim, row, col, lanes, landings, (x, y, w, h), flag, tip))
            row += SIDE_ROWS + lanes - 1
        return made


def _side_w(terminal: str) -> float:
    return max(26.0, text_width(drawn_mark(terminal)) + 5.0)


def _pairs(top: Sequence[str], bottom: Sequence[str]) -> list[tuple[str, ...]]:
    longest = max(len(top), len(bottom))
    return [(*top[i : i + 1], *bottom[i : i + 1]) for i in range(longest)]


def body_of(part: Part, terminals: Sequence[str], wires: Mapping[str, int]) -> Body:
    """A part as it stands, with room for its wires."""
    stand = KINDS[part.kind].facet(Stand) or Stand(top=tuple(terminals), turns=True)
    if stand.both and any(wires.get(each) for each in stand.top):
        # A strip has screws for every call there is; those without a wire would take the room.
        stand = replace(stand, top=tuple(each for each in stand.top if wires.get(each)))
    return _Builder(part, stand, wires).body()


def turned(body: Body) -> Body:
    """The body with its row of terminals the other way round."""
    return replace(body, pads=tuple(_turned(body, pad) for pad in body.pads))


def _turned(body: Body, pad: Pad) -> Pad:
    right = LANE * (body.cols - 1)
    (x, y, w, h), (flag_x, flag_y), (tip_x, tip_y) = pad.box, pad.flag, pad.tip
    return replace(
        pad,
        col=body.cols - pad.col - pad.lanes,
        landings=tuple(pad.lanes - 1 - each for each in reversed(pad.landings)),
        box=(right - x - w, y, w, h),
        flag=(right - flag_x - FLAG_W, flag_y),
        tip=(right - tip_x, tip_y),
    )


def edge_box(part: Part, wires: Mapping[str, int], *, above: bool) -> Body:
    """A part of another place where its wires come in: only the terminals that are met."""
    names = tuple(wires)
    stand = Stand(bottom=names) if above else Stand(top=names)
    builder = _Builder(part, stand, wires)
    firsts, lanes = builder._columns()  # noqa: SLF001 - one class, one file
    cols = max(firsts[-1] + lanes[-1], _lanes(builder.block_w + 2 * GAP))
    shift = (cols - firsts[-1] - lanes[-1]) // 2
    title_h = LINE_H * len(builder.title)
    height = PAD_H + TIP + FLAG_H + title_h + 2 * GAP
    y = GAP - OVER if above else PAD_H + TIP + FLAG_H + GAP - OVER
    block = (GAP - OVER, y, LANE * (cols - 1) + 2 * OVER - 2 * GAP, title_h)
    body = builder._done(cols, height, block, [f + shift for f in firsts], lanes, below=True)  # noqa: SLF001
    return replace(body, outside=True)
