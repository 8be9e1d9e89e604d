"""The cheapest way for one wire among those that lie already.

A shortest path (Dijkstra 1959) over states: each point of the grid twice, run over along (up and
down) and across.  Bending is a step from one to the other, so it needs the point free both ways;
a point that another wire runs over can be crossed, but not be bent on.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from rungwise.drawing.routing_grid import Grid, Port, Route

BEND, CROSSING, BESIDE, STRAY = 3.0, 14.0, 0.3, 3.0
"""What a bend, a crossing, a neighbour in the next lane and a step in a foreign zone cost, in
steps along a free lane."""

NEAR = 45.0
"""How much more than the straight steps a way may cost to be found in the first search."""

Ints = npt.NDArray[np.integer]
Floats = npt.NDArray[np.float64]


class NoWay(Exception):
    """No free way between the ends of a wire: the grid needs more lanes."""


class Lanes:
    """Which wire takes up each point, `users[0]` along and `users[1]` across, 0 for none."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.users = np.zeros((2, grid.rows, grid.cols), dtype=np.intp)
        self.free = np.frombuffer(bytes(grid.blocked), dtype=np.uint8) == 0
        self.zones = np.frombuffer(bytes(grid.zones), dtype=np.uint8).reshape(grid.rows, grid.cols)
        starts, ends, bends = self._steps()
        self.count = 2 * grid.rows * grid.cols
        order = np.lexsort((ends, starts))
        self.starts, self.ends = starts[order], ends[order].astype(np.int32)
        # A bend stays on its point, so the step over it is taken off again.
        self.turn = np.where(bends[order], BEND - 1.0, 0.0)
        heads = np.searchsorted(self.starts, np.arange(self.count + 1))
        self.heads = heads.astype(np.int32)

    def _steps(self) -> tuple[Ints, Ints, npt.NDArray[np.bool_]]:
        """Every step there is, both ways: from state, to state, whether it is a bend."""
        count = self.grid.rows * self.grid.cols
        nodes = np.flatnonzero(self.free)
        down = nodes[self.free[np.minimum(nodes + self.grid.cols, count - 1)]]
        right = nodes[self.free[np.minimum(nodes + 1, count - 1)]]
        one = np.concatenate([down, count + right, nodes])
        two = np.concatenate([down + self.grid.cols, count + right + 1, count + nodes])
        bends = np.repeat([False, False, True], [len(down), len(right), len(nodes)])
        both = np.concatenate([one, two]), np.concatenate([two, one])
        return both[0], both[1], np.concatenate([bends, bends])

    def _over(self, zone: int) -> Floats:
        """What running over each state costs; infinite where a wire lies in that lane."""
        along, across = self.users[0] != 0, self.users[1] != 0
        stray = np.where(self.zones == 3 - zone, 1.0 + STRAY, 1.0)
        costs = np.empty(self.users.shape)
        for axis, own, other in ((0, along, across), (1, across, along)):
            beside = np.zeros(own.shape)
            if axis == 0:
                beside[:, 1:-1] = own[:, :-2].astype(float) + own[:, 2:]
            else:
                beside[1:-1] = own[:-2].astype(float) + own[2:]
            costs[axis] = stray + CROSSING * other + BESIDE * beside
            costs[axis][own] = np.inf
        return costs.ravel()

    def cheapest(self, starts: Sequence[Port], ends: Sequence[Port], zone: int = 0) -> Route:
        """The cheapest route from one of `starts` to one of `ends`; raises NoWay."""
        over = self._over(zone)
        begin = {self._state(port): port for port in starts}
        finish = {self._state(port): port for port in ends}
        sources = [state for state in begin if np.isfinite(over[state])]
        graph = self._graph(over)
        # Most ways are little longer than straight ones; only if none is, all is searched.
        near = min(_steps(a, b) for a in starts for b in ends) + NEAR
        for reach in (near, np.inf) if sources else ():
            far, before, _ = dijkstra(
                graph, indices=sources, return_predecessors=True, min_only=True, limit=reach
            )
            state = min(finish, key=lambda each: (far[each] + 0.5 * over[each], each))
            if np.isfinite(far[state] + over[state]):
                return self._traced(state, before, begin, finish[state])
        raise NoWay

    def _graph(self, over: Floats) -> csr_array:
        """What each step costs: half of either state; a bend, which stays on its point, itself."""
        weights = self.turn + 0.5 * (over[self.starts] + over[self.ends])
        return csr_array((weights, self.ends, self.heads), shape=(self.count, self.count))

    def _state(self, port: Port) -> int:
        return (port.way & 1) * (self.count // 2) + self.grid.node(port.gate)

    def _traced(self, state: int, before: Ints, begin: dict[int, Port], end: Port) -> Route:
        states = [state]
        while before[states[-1]] >= 0:
            states.append(int(before[states[-1]]))
        nodes = [each % (self.count // 2) for each in reversed(states)]
        # A bend stays on its point, which then comes twice.
        once = [node for i, node in enumerate(nodes) if i == 0 or node != nodes[i - 1]]
        start = begin[states[-1]]
        middle = [divmod(node, self.grid.cols) for node in once]
        return Route((*start.points()[:-1], *middle, *reversed(end.points()[:-1])), start, end)


def _steps(one: Port, two: Port) -> int:
    return abs(one.row - two.row) + abs(one.col - two.col)
