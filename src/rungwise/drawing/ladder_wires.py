"""Leading the wires of a ladder between its pieces, each with a tag for its colour."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass

from rungwise.drawing.ladder_frame import (
    COL,
    LEFT_LEG,
    RIGHT_LEG,
    WIDTH,
    Spot,
    Words,
    columns_of,
    stub_for,
    x_of,
    y_of,
)
from rungwise.drawing.ladder_place import Sheet
from rungwise.drawing.routing import Task, crossing_points, routed
from rungwise.drawing.routing_grid import Grid, Port, Route
from rungwise.drawing.routing_search import NoWay
from rungwise.drawing.svg import Point
from rungwise.unit import Wire

FIRST, LAST = LEFT_LEG + 2, RIGHT_LEG - 2
"""The lanes between the legs, first and last."""

FEW = 2
"""Crossings that are not worth another search."""

BARE = 1
"""Points from a terminal without a tag to the lanes, so that a lead's disc has room on it."""


@dataclass(frozen=True, slots=True)
class Led:
    """A wire on its way: its corners, and the middle of its tag."""

    wire: str
    corners: tuple[Point, ...]
    tag: Point


def led_wires(sheet: Sheet, *, leave_out: bool = False) -> tuple[tuple[Led, ...], int]:
    """Every wire of the sheet on its way, and how many times two cross.

    Raises NoWay where one finds none, unless `leave_out`: then it runs straight across all.
    """
    ways = _Ways(sheet)
    routes = _routes(sheet, ways, leave_out=leave_out)
    led = tuple(
        ways.led(wire, routes[wire.name].corners() if wire.name in routes else ways.across(wire))
        for wire in sheet.wires
    )
    return (*_straight(sheet), *led), len(crossing_points(routes))


def _routes(sheet: Sheet, ways: _Ways, *, leave_out: bool) -> dict[str, Route]:
    """Exits in their natural order mostly meet least; where they do not, the router chooses."""
    found: list[dict[str, Route]] = []
    for ordered in (True, False):
        with suppress(NoWay):
            tasks = [ways.task(wire, ordered=ordered) for wire in sheet.wires]
            found.append(routed(ways.grid, tasks, leave_out=leave_out))
            if len(crossing_points(found[-1])) <= FEW:
                break
    if not found:
        raise NoWay
    return min(found, key=lambda routes: len(crossing_points(routes)))


def _straight(sheet: Sheet) -> Iterator[Led]:
    for each in sheet.straight:
        x, (top, bottom) = x_of(each.col), each.rows
        corners = ((x, y_of(top)), (x, y_of(bottom)))
        yield Led(each.wire, corners, (x, y_of(top + 1)))


class _Ways:
    """The lanes of a sheet: what stands in them, and where wires come out."""

    def __init__(self, sheet: Sheet) -> None:
        self.wires = sheet.wires
        self.spots: dict[str, list[Spot]] = {}
        for placed in sheet.placed:
            for terminal, spot in placed.spots.items():
                self.spots.setdefault(terminal, []).append(spot)
        self.tagged = {wire.name: self._tagged_end(wire) for wire in sheet.wires}
        self.stubs = self._stubs(sheet.wires)
        self.grid = Grid(sheet.rows + 2, math.ceil(WIDTH / COL) + 1)
        self._block(sheet)

    def task(self, wire: Wire, *, ordered: bool) -> Task:
        """A wire from its exit of its first terminal to that of its second, or from any to any."""
        starts, ends = self._ports(wire.start), self._ports(wire.end)
        if ordered:
            starts, ends = self._own(wire, wire.start, starts), self._own(wire, wire.end, ends)
        return Task(wire.name, starts, ends)

    def _own(self, wire: Wire, terminal: str, ports: tuple[Port, ...]) -> tuple[Port, ...]:
        """The one exit that is a wire's own, by where all wires on its terminal go."""
        here = [each for each in self.wires if terminal in (each.start, each.end)]
        if len(here) != len(ports) or len(self.spots[terminal]) > 1:
            return ports
        here.sort(key=lambda each: self._turn(each, terminal))
        return (ports[here.index(wire)],)

    def _turn(self, wire: Wire, terminal: str) -> tuple[int, int]:
        """Which wire leaves a terminal above which, if none are to cross.

        Those that turn back up to their own wall come first, the nearest highest; then those to
        the other wall from top to bottom; then those that turn down, the nearest lowest.
        """
        other = wire.end if wire.start == terminal else wire.start
        here, there = self.spots[terminal][0], self.spots[other][0]
        if here.way != there.way:
            return 1, there.row
        return (0 if there.row < here.row else 2), -there.row

    def across(self, wire: Wire) -> tuple[tuple[int, int], ...]:
        """From terminal to terminal as the crow flies: for a wire that finds no lane."""
        task = self.task(wire, ordered=True)
        start, end = task.starts[0], task.ends[-1]
        return ((start.row, start.col), start.gate, end.gate, (end.row, end.col))

    def led(self, wire: Wire, corners: tuple[tuple[int, int], ...]) -> Led:
        """A wire on its way, the tag beside the end that has room for it."""
        tagged = self.tagged[wire.name]
        row, col = corners[0] if tagged == wire.start else corners[-1]
        way = next(s.way for s in self.spots[tagged] if s.col == col and row in s.exits)
        reach = x_of(col + way * (self.stubs[tagged] + 1)) - 4 * way
        middle = 0.5 * (x_of(col) + 10 * way + reach)
        return Led(wire.name, tuple((x_of(c), y_of(r)) for r, c in corners), (middle, y_of(row)))

    def _tagged_end(self, wire: Wire) -> str:
        """The end with the tag: one between the legs before one on a leg."""
        ends = (wire.end, wire.start)
        return min(ends, key=lambda end: (self._on_leg(end), len(self.spots[end][0].exits)))

    def _on_leg(self, terminal: str) -> bool:
        return self.spots[terminal][0].col in (LEFT_LEG, RIGHT_LEG)

    def _stubs(self, wires: tuple[Wire, ...]) -> Mapping[str, int]:
        stubs = dict.fromkeys(self.spots, BARE)
        for wire in wires:
            end = self.tagged[wire.name]
            stubs[end] = max(stubs[end], stub_for(wire.colour))
        return stubs

    def _ports(self, terminal: str) -> tuple[Port, ...]:
        stub = self.stubs[terminal]
        return tuple(
            Port(row, spot.col, 1 if spot.way > 0 else 3, stub)
            for spot in self.spots[terminal]
            for row in spot.exits
        )

    def _block(self, sheet: Sheet) -> None:
        last = self.grid.rows - 1
        self.grid.block(0, 0, last, FIRST - 1)
        self.grid.block(0, LAST + 1, last, self.grid.cols - 1)
        for words in sheet.titles:
            self.grid.block(int(words.row), 0, int(words.row), self.grid.cols - 1)
        for placed in sheet.placed:
            (top, bottom), (left, right) = placed.rows, placed.cols
            if placed.form == "source" and not placed.piece.joint:
                left, right = 0, self.grid.cols - 1
            self.grid.block(top, left, bottom, right)
            for each in placed.words:
                self._block_words(each)
        for terminal in self.spots:
            self.grid.keep(self._ports(terminal))

    def _block_words(self, words: Words) -> None:
        left, right = columns_of(*words.span)
        left, right = max(left, 0), min(right, self.grid.cols - 1)
        self.grid.block(math.floor(words.row), left, math.ceil(words.row), right)
