"""Wires on lanes: the cheapest way, crossings only straight, and what is done without a way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.drawing.panel_geometry import seen

from rungwise.drawing import panel_layout
from rungwise.drawing.panel_picture import panel
from rungwise.drawing.routing import Task, crossing_points, routed
from rungwise.drawing.routing_grid import Grid, Port, Route
from rungwise.drawing.routing_search import NoWay
from rungwise.unit.unit_file import arrangement

UP, RIGHT, DOWN, LEFT = range(4)


def port(row: int, col: int, way: int) -> Port:
    return Port(row, col, way, stub=0)


def test_a_free_way_is_straight() -> None:
    route = routed(Grid(9, 9), [Task("w", (port(4, 1, RIGHT),), (port(4, 7, LEFT),))])["w"]
    assert route.corners() == ((4, 1), (4, 7))
    assert route.bends == 0


def test_a_way_around_a_part_has_the_fewest_bends() -> None:
    grid = Grid(11, 11)
    grid.block(3, 5, 7, 5)
    route = routed(grid, [Task("w", (port(5, 1, RIGHT),), (port(5, 9, LEFT),))])["w"]
    assert route.bends == 4
    assert not {(row, 5) for row in range(3, 8)} & set(route.points)


def test_two_wires_that_must_cross_do_so_once() -> None:
    tasks = [
        Task("across", (port(5, 1, RIGHT),), (port(5, 9, LEFT),)),
        Task("along", (port(1, 5, DOWN),), (port(9, 5, UP),)),
    ]
    found = crossing_points(routed(Grid(11, 11), tasks))
    assert found == {(5, 5): ("across", "along")}


def test_wires_that_need_not_cross_do_not() -> None:
    """Two landings on each of two terminals: the wires choose so that they lie side by side."""
    starts, ends = (port(1, 4, DOWN), port(1, 6, DOWN)), (port(9, 4, UP), port(9, 6, UP))
    routes = routed(Grid(11, 11), [Task("a", starts, ends), Task("b", starts, ends)])
    assert crossing_points(routes) == {}
    assert {route.bends for route in routes.values()} == {0}


def walled() -> tuple[Grid, list[Task]]:
    """A wall with one gap, and two wires that both need it."""
    grid = Grid(9, 9)
    grid.block(1, 4, 3, 4)
    grid.block(5, 4, 7, 4)
    tasks = [
        Task(name, (port(row, 1, RIGHT),), (port(row, 7, LEFT),))
        for name, row in (("a", 3), ("b", 5))
    ]
    return grid, tasks


def test_too_few_lanes_are_refused_or_a_wire_is_left_out() -> None:
    with pytest.raises(NoWay):
        routed(*walled())
    assert len(routed(*walled(), leave_out=True)) == 1


def test_a_wire_without_a_lane_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the lanes do not suffice: no way for all, then one wire is missing."""

    def short_of_lanes(grid: Grid, tasks: list[Task], **how: bool) -> dict[str, Route]:
        if not how.get("leave_out"):
            raise NoWay
        return routed(grid, tasks[1:])

    monkeypatch.setattr(panel_layout, "routed", short_of_lanes)
    unit = arrangement("two_pole_plain")
    # Another label, or the layout of this place would come from an earlier test, and stay.
    parts = (replace(p, label="short of lanes") for p in unit.parts)
    picture = panel(replace(unit, parts=tuple(parts)), place="disconnect")
    told = " ".join(label.text for label in picture.labels)
    assert told.count("not drawn") == 1
    assert len({line.wire for line in seen(picture).lines}) == 3
