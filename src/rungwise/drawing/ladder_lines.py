"""The legs of a circuit on the ladder's rows: parts in line, their names, where wires leave."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungwise.drawing.ladder_frame import (
    LEFT_LEG,
    NAME_WIDTH,
    RIGHT_LEG,
    Placed,
    Spot,
    Words,
    x_of,
)
from rungwise.drawing.ladder_graph import Circuit
from rungwise.drawing.ladder_legs import Stop
from rungwise.drawing.lettering import wrapped
from rungwise.wording import mark

FORK = 7
"""Columns from the leg to the terminal that a part in line feeds aside."""


@dataclass(frozen=True, slots=True)
class Straight:
    """A wire that runs straight down a leg, from row to row."""

    wire: str
    col: int
    rows: tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Room:
    """The rows of a stop from its own top: those of its two terminals, and how many it takes."""

    top: int
    bottom: int
    rows: int


class Leg:
    """One leg with its stops; `names` has the words for those that are told here, by place."""

    def __init__(
        self, circuit: Circuit, stops: Sequence[Stop], names: Mapping[int, str], *, left: bool
    ) -> None:
        self.stops = tuple(stops)
        self.way = 1 if left else -1
        self.col = LEFT_LEG if left else RIGHT_LEG
        self.lines = [wrapped(names.get(at, ""), NAME_WIDTH) for at in range(len(stops))]
        straight = Counter(end for s in stops if s.wire for end in (s.wire.start, s.wire.end))
        self.aside = {t: len(on) - straight[t] for t, on in circuit.wires_at.items()}
        self.rooms = [self._room(at) for at in range(len(stops))]

    @property
    def terminals(self) -> tuple[str, ...]:
        """From top to bottom."""
        found = (t for s in self.stops for t in (s.top, s.fork, s.bottom) if t)
        return tuple(dict.fromkeys(found))

    def tops(self, first: int, least: Mapping[str, int]) -> list[int]:
        """The row that each stop begins in; a part in `least` has its first terminal there."""
        found: list[int] = []
        row = first
        for stop, room in zip(self.stops, self.rooms, strict=True):
            row = max(row, least.get(stop.piece.part, 0) - room.top)
            found.append(row)
            row += room.rows + 1
        return found

    def placed(self, tops: Sequence[int]) -> list[Placed]:
        """Every stop in its place."""
        return [self._placed(at, top) for at, top in enumerate(tops)]

    def straight(self, placed: Sequence[Placed]) -> Iterator[Straight]:
        """The wires from stop to stop."""
        pairs = zip(self.stops, placed, self.stops[1:], placed[1:], strict=False)
        for above, high, stop, low in pairs:
            if stop.wire is not None:
                rows = (high.spots[above.bottom].last, low.spots[stop.top].row)
                yield Straight(stop.wire.name, self.col, rows)

    def _room(self, at: int) -> _Room:
        stop, words = self.stops[at], len(self.lines[at])
        below = max(1, self.aside[stop.bottom])
        if stop.piece.source:
            return _Room(0, 0, below + _spans(stop))
        if stop.piece.joint:
            return _Room(words, words, words + below)
        above = max(1, self.aside[stop.top], self.aside.get(stop.fork, 0)) - 1
        bottom = above + max(2, words) + 1
        return _Room(above, bottom, bottom + below)

    def _placed(self, at: int, top: int) -> Placed:
        stop, room = self.stops[at], self.rooms[at]
        spots = {spot.terminal: spot for spot in self._spots(stop, room, top)}
        inside = not stop.piece.joint or stop.piece.source
        names = top + room.top + 1 if inside else top
        # A joint that is named on the other leg has no rows of its own for it.
        badge = names if inside or self.lines[at] else top - 1
        return Placed(
            piece=stop.piece,
            form="source" if stop.piece.source else "joint" if stop.piece.joint else "line",
            rows=(top, top + room.rows - 1),
            cols=(self.col, self.col),
            axis=self.col,
            spots=spots,
            words=(
                *self._terminal_words(stop, spots),
                *self._names(at, names),
                *self._bar(at, names),
            ),
            badge=(x_of(self.col), badge),
            order=tuple(dict.fromkeys((stop.top, stop.bottom))),
        )

    def _spots(self, stop: Stop, room: _Room, top: int) -> Iterator[Spot]:
        if stop.fork:
            yield self._above(stop.fork, top + room.top, self.col + FORK * self.way)
        if stop.top != stop.bottom:
            yield self._above(stop.top, top + room.top, self.col)
        row = top + room.bottom
        exits = tuple(range(row + _spans(stop), row + _spans(stop) + self.aside[stop.bottom]))
        yield Spot(stop.bottom, self.col, row, max((row, *exits)), self.way, exits)

    def _above(self, terminal: str, row: int, col: int) -> Spot:
        """A terminal whose further wires leave above its own row."""
        exits = tuple(range(row - self.aside[terminal] + 1, row + 1))
        return Spot(terminal, col, min((row, *exits)), row, self.way, exits)

    def _terminal_words(self, stop: Stop, spots: Mapping[str, Spot]) -> Iterator[Words]:
        if not stop.piece.marked:
            return
        anchor = "end" if self.way > 0 else "start"
        for terminal, spot in spots.items():
            if spot.col == self.col:
                x = x_of(self.col) - 9.5 * self.way
                yield Words(spot.name, x, spot.row, anchor, terminal)
            else:
                yield Words(spot.name, x_of(spot.col), spot.row - 1, "middle", terminal)

    def _bar(self, at: int, row: int) -> Iterator[Words]:
        """A bar has no name of its own where its part is named on the other leg."""
        piece = self.stops[at].piece
        if "bar" in piece.symbols and not self.lines[at]:
            anchor = "start" if self.way > 0 else "end"
            x = x_of(self.col) + 14 * self.way
            yield Words(mark("bar"), x, row, anchor, piece.part)

    def _names(self, at: int, row: int) -> Iterator[Words]:
        anchor = "start" if self.way > 0 else "end"
        # On the right a lane stays free between leg and name, for wires that go further down.
        x = x_of(self.col) + (14 if self.way > 0 else -26)
        for down, line in enumerate(self.lines[at]):
            yield Words(line, x, row + down, anchor, self.stops[at].piece.part, quiet=True)


def _spans(stop: Stop) -> int:
    """1 where a source's own lead takes up the row, from leg to leg."""
    return int(stop.piece.source and not stop.piece.joint)


def tops_of(left: Leg, right: Leg, first: int) -> tuple[list[int], list[int]]:
    """The rows where the stops of both legs begin, the poles of one part side by side."""
    parts = [{s.piece.part for s in leg.stops if s.top != s.bottom} for leg in (left, right)]
    both = parts[0] & parts[1]
    least: dict[str, int] = {}
    # Each round levels one more part; where the legs disagree in order, the rest stays apart.
    for _ in range(len(both) + 1):
        for leg in (left, right):
            rows = zip(leg.stops, leg.rooms, leg.tops(first, least), strict=True)
            for stop, room, top in rows:
                if stop.piece.part in both:
                    least[stop.piece.part] = max(least.get(stop.piece.part, 0), top + room.top)
    return left.tops(first, least), right.tops(first, least)
