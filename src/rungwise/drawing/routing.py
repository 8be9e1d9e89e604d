"""Wires on a grid of lanes: square corners, no two in one lane, none through a part, few crossings.

The grid's points stand one lane apart.  A wire takes up a point across, along, or both where it
bends; two wires may share a point only where both go straight through it, which is a crossing.
Each wire is led by the cheapest way there is, then taken up and led anew among the others for as
long as that lowers the cost of the whole (rip-up and reroute).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rungwise.drawing.routing_grid import Grid, Point, Port, Route
from rungwise.drawing.routing_search import BEND, CROSSING, STRAY, Lanes, NoWay

ROUNDS, STARTS = 2, 4
LEAST_GAIN = 1e-6


@dataclass(frozen=True, slots=True)
class Task:
    """A wire to lead: its name, where it may start and end, and the zone it belongs into."""

    name: str
    starts: tuple[Port, ...]
    ends: tuple[Port, ...]
    zone: int = 0


def routed(
    grid: Grid, tasks: Sequence[Task], *, rounds: int = ROUNDS, leave_out: bool = False
) -> dict[str, Route]:
    """A route for each task, by its name; raises NoWay where the lanes do not suffice.

    rounds: how often all are led anew. leave_out: a wire that finds no way is missing instead.
    """
    board = _all_led(grid, tasks, leave_out=leave_out)
    for _ in range(rounds):
        if not board.improve():
            break
    return {task.name: board.routes[task.name] for task in tasks if task.name in board.routes}


def _all_led(grid: Grid, tasks: Sequence[Task], *, leave_out: bool) -> _Board:
    """Lead the short ones first; a wire that finds no way comes first in the next start."""
    order = sorted(tasks, key=_shortest)
    for start in range(STARTS):
        board = _Board(grid, order)
        stuck = [task for task in order if not board.tries(task.name)]
        if start == STARTS - 1:
            stuck = [task for task in stuck if not board.makes_room(task.name)]
        if not stuck or (leave_out and start == STARTS - 1):
            return board
        order = [*stuck, *(task for task in order if task not in stuck)]
    raise NoWay


def crossing_points(routes: Mapping[str, Route]) -> dict[Point, tuple[str, str]]:
    """Where two wires cross, and which: every point that two routes have in common."""
    first: dict[Point, str] = {}
    found: dict[Point, tuple[str, str]] = {}
    for name, route in routes.items():
        for point in route.points:
            if point in first:
                found[point] = (first[point], name)
            first[point] = name
    return found


def cost_of(routes: Mapping[str, Route]) -> float:
    """Length, bends and crossings of all routes."""
    alone = sum(len(route.points) + BEND * route.bends for route in routes.values())
    return alone + CROSSING * len(crossing_points(routes))


def _shortest(task: Task) -> tuple[int, str]:
    spans = (
        abs(a.row - b.row) + abs(a.col - b.col) for a in task.starts for b in task.ends if a != b
    )
    return min(spans), task.name


class _Board:
    """The grid with the wires led so far, and what they cost together."""

    def __init__(self, grid: Grid, tasks: Sequence[Task]) -> None:
        self.grid = grid
        self.lanes = Lanes(grid)
        self.tasks = {task.name: task for task in tasks}
        self.number = {task.name: i for i, task in enumerate(tasks, start=1)}
        self.routes: dict[str, Route] = {}
        self.taken: set[Port] = set()
        self.cost = 0.0

    def lead(self, name: str) -> None:
        """Lead one wire by the cheapest way; raises NoWay."""
        task = self.tasks[name]
        starts = [port for port in task.starts if port not in self.taken]
        ends = [port for port in task.ends if port not in self.taken]
        if not starts or not ends:
            raise NoWay
        self.put(name, self.lanes.cheapest(starts, ends, task.zone))

    def tries(self, name: str) -> bool:
        """Lead one wire if there is a way; whether there was."""
        try:
            self.lead(name)
        except NoWay:
            return False
        return True

    def makes_room(self, name: str) -> bool:
        """Lead a wire that found no way by leading one other anew after it; whether that did."""
        for other in sorted(self.routes):
            held = self.routes[other]
            self.lift(other)
            if self.tries(name):
                if self.tries(other):
                    return True
                self.lift(name)
            self.put(other, held)
        return False

    def put(self, name: str, route: Route) -> None:
        """Let a wire take up its points and ports."""
        self.cost += self._cost_among_others(name, route)
        self.routes[name] = route
        self.taken |= {route.start, route.end}
        self._mark(route, self.number[name])

    def lift(self, name: str) -> None:
        """Take a wire off the board."""
        route = self.routes.pop(name)
        self.taken -= {route.start, route.end}
        self._mark(route, 0)
        self.cost -= self._cost_among_others(name, route)

    def _mark(self, route: Route, number: int) -> None:
        along, across = self.lanes.users
        points = route.points
        for one, two in pairwise(points):
            users = across if one[0] == two[0] else along
            users[one] = users[two] = number

    def _cost_among_others(self, name: str, route: Route) -> float:
        """Length, bends, strays and crossings of a route while its wire is not on the board."""
        along, across = self.lanes.users
        crossed = sum(1 for point in route.points if along[point] or across[point])
        strayed = self.grid.strayed(route.points, self.tasks[name].zone)
        return len(route.points) + BEND * route.bends + CROSSING * crossed + STRAY * strayed

    def improve(self) -> bool:
        """Lead single wires, then wires that meet, anew; whether the whole got cheaper."""
        before = self.cost
        for group in self._groups():
            self._again(group)
        return self.cost < before - LEAST_GAIN

    def _groups(self) -> Iterable[tuple[str, ...]]:
        yield from sorted((name,) for name in self.routes if self._could_gain(name))
        by_ports: dict[tuple[Port, ...], list[str]] = {}
        for task in (self.tasks[name] for name in self.routes):
            for ports in (task.starts, task.ends):
                by_ports.setdefault(ports, []).append(task.name)
        yield from sorted(tuple(names) for names in by_ports.values() if len(names) > 1)
        yield from sorted(set(crossing_points(self.routes).values()))

    def _could_gain(self, name: str) -> bool:
        route = self.routes[name]
        (top, left), (bottom, right) = route.points[0], route.points[-1]
        direct = abs(top - bottom) + abs(left - right) + 1
        return len(route.points) > direct or route.bends > 2 or self._crossed(route) > 0

    def _crossed(self, route: Route) -> int:
        along, across = self.lanes.users
        both = ((along[point], across[point]) for point in route.points)
        return sum(1 for one, two in both if one and two and one != two)

    def _again(self, group: tuple[str, ...]) -> None:
        """Lead a group anew, first to last and last to first, and keep the cheapest."""
        kept = {name: self.routes[name] for name in group}
        least = self.cost
        for order in (group, group[::-1]) if len(group) > 1 else (group,):
            found = self._led(order)
            if found is not None and self.cost < least - LEAST_GAIN:
                kept, least = found, self.cost
            self._lay(group, kept)

    def _led(self, order: tuple[str, ...]) -> dict[str, Route] | None:
        for name in order:
            self.lift(name)
        try:
            for name in order:
                self.lead(name)
        except NoWay:
            return None
        return {name: self.routes[name] for name in order}

    def _lay(self, group: tuple[str, ...], routes: Mapping[str, Route]) -> None:
        for name in group:
            if name in self.routes:
                self.lift(name)
        for name in group:
            self.put(name, routes[name])
