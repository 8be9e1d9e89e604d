"""The grid of lanes that wires are led on: what is free, what belongs to a part, which zone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[int, int]
"""Row and column."""

STEPS: tuple[Point, ...] = ((-1, 0), (0, 1), (1, 0), (0, -1))
"""Up, right, down, left; even directions run along (up and down), odd ones across."""


@dataclass(frozen=True, slots=True, order=True)
class Port:
    """A place on a terminal where one wire lands: its point on the part's edge, the way out.

    `stub` points before the edge are kept for this wire alone, for the tag with its colour.
    """

    row: int
    col: int
    way: int
    stub: int

    def points(self) -> tuple[Point, ...]:
        """From the edge to the gate, the first point that is free to all."""
        down, right = STEPS[self.way]
        count = range(self.stub + 2)
        return tuple((self.row + down * i, self.col + right * i) for i in count)

    @property
    def gate(self) -> Point:
        """Where the wire comes out among the others."""
        return self.points()[-1]


@dataclass(frozen=True, slots=True)
class Route:
    """Where a wire runs: every grid point from port to port, and the ports it took."""

    points: tuple[Point, ...]
    start: Port
    end: Port

    def corners(self) -> tuple[Point, ...]:
        """Its ends and the points where it bends."""
        inner = (
            b
            for a, b, c in zip(self.points, self.points[1:], self.points[2:], strict=False)
            if a[0] != c[0] and a[1] != c[1]
        )
        return (self.points[0], *inner, self.points[-1])

    @property
    def bends(self) -> int:
        """How often it bends."""
        return len(self.corners()) - 2


class Grid:
    """Rows by columns of points; `blocked` ones are no way for any wire."""

    def __init__(self, rows: int, cols: int) -> None:
        self.rows = rows
        self.cols = cols
        self.blocked = bytearray(rows * cols)
        self.zones = bytearray(rows * cols)
        for row in range(rows):
            for col in range(cols):
                if row in (0, rows - 1) or col in (0, cols - 1):
                    self.blocked[row * cols + col] = 1

    def node(self, point: Point) -> int:
        """A point's place in the flat arrays."""
        return point[0] * self.cols + point[1]

    def block(self, top: int, left: int, bottom: int, right: int) -> None:
        """Take a rectangle of points, its edges included, from all wires."""
        for row in range(top, bottom + 1):
            for col in range(left, right + 1):
                self.blocked[row * self.cols + col] = 1

    def keep(self, ports: Sequence[Port]) -> None:
        """Keep the stub of each port for its own wire, and what its letters reach over beside."""
        for port in ports:
            for row, col in port.points()[:-1]:
                aside = (-1, 0, 1) if STEPS[port.way][0] else (0,)
                for by in aside:
                    self.blocked[self.node((row, col + by))] = 1

    def zone(self, top: int, left: int, bottom: int, right: int, number: int) -> None:
        """Say that a rectangle belongs to the wires of one zone; others pay to run there."""
        for row in range(top, bottom + 1):
            for col in range(left, right + 1):
                self.zones[row * self.cols + col] = number

    def strayed(self, points: Sequence[Point], zone: int) -> int:
        """How many of the points lie in another zone than their wire's."""
        if not zone:
            return 0
        zones = (self.zones[self.node(point)] for point in points)
        return sum(1 for each in zones if each not in (0, zone))
