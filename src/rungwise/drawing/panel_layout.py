"""The panel picture before it is drawn: every part in its rows, every wire in its lanes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from rungwise.drawing.ink import wire_ink
from rungwise.drawing.panel_bodies import LANE, Body, Pad
from rungwise.drawing.placing import (
    COLS,
    HIGH,
    LOW,
    Plan,
    alternatives,
    planned,
    signal_zone,
    wires_of,
)
from rungwise.drawing.routing import ROUNDS, Task, cost_of, routed
from rungwise.drawing.routing_grid import Grid, Port, Route
from rungwise.drawing.routing_search import NoWay
from rungwise.parts import part_of, split_end
from rungwise.unit import Unit, Wire
from rungwise.wording import current, told

TAG_LANES, LONG_TAG_LANES = 3, 4
"""Lanes up or down from a pad for a colour's letters, in one line or two, and one sign."""

SIDE_LANES, LONG_SIDE_LANES = 2, 4
"""Lanes for the letters alone, side by side, at a pad on the left or right."""
WIDTH = 390.0
"""Of a picture that fills a phone, in units."""

TRIES = 2
WIDER = (COLS + 16, COLS + 36)
"""Grid points across that are tried where a cabinet is too full for a phone's width."""

MOST_ON_A_PHONE = 30
"""Wires of a cabinet beyond which a phone's width is not even tried: of those that ship none with
more than 23 found its way there."""

WIDE_ROUNDS = 1
"""Times that the wires of a wide picture are led anew: each takes seconds, and there is room."""

MARGIN = 1


@dataclass(frozen=True, slots=True)
class Placed:
    """A body with the row and column of its upper left grid point."""

    body: Body
    row: int
    col: int
    zone: int

    def ports(self, pad: Pad, stub: int) -> tuple[Port, ...]:
        """Where wires land on a pad; `stub` lanes are kept for each one's letters."""
        row, col = self.row + pad.row, self.col + pad.col
        if pad.rim in (0, 2):
            return tuple(Port(row, col + each, pad.rim, stub) for each in pad.landings)
        return tuple(Port(row + each, col, pad.rim, stub) for each in pad.landings)


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything is, in grid points; `border` is the last column of line volts.

    low_rows: the first and last row beside which 24 V has its own columns, or None.
    """

    placed: tuple[Placed, ...]
    wires: tuple[Wire, ...]
    routes: dict[str, Route]
    rows: int
    border: int
    low_rows: tuple[int, int] | None
    cols: int
    left_out: tuple[Wire, ...] = ()
    """Wires that found no way: the picture tells them in words."""

    @property
    def width(self) -> float:
        """Of the picture, in units."""
        return WIDTH + LANE * (self.cols - COLS)


def layout_of(unit: Unit, place: str) -> Layout:
    """The layout of one place of a unit, the same every time; a few are kept."""
    return _layout(_Shape(unit, place))


class _Shape:
    """A unit as far as its picture's layout depends on it, so that equal ones share a layout."""

    def __init__(self, unit: Unit, place: str) -> None:
        self.unit = unit
        self.place = place
        wires = wires_of(unit, place)
        met = {part_of(end) for wire in wires for end in (wire.start, wire.end)}
        self.key = (
            place,
            current(),
            tuple(
                (part.name, part.kind, part.place, told(part.title))
                for part in unit.parts
                if part.place == place or part.name in met
            ),
            tuple((w.name, w.start, w.end, w.colour, w.carries) for w in wires),
        )

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Shape) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)


@lru_cache(maxsize=256)
def _layout(shape: _Shape) -> Layout:
    found = _on_a_phone(shape)
    for cols in WIDER if found is None else ():
        plan = planned(shape.unit, shape.place, cols)
        try:
            found = _routed(plan, 0, rounds=WIDE_ROUNDS)
            break
        except NoWay:
            continue
    else:
        if found is None:
            found = _routed(plan, 0, rounds=0, leave_out=True)
    return _compact(_pruned(found))


def _on_a_phone(shape: _Shape) -> Layout | None:
    plan = planned(shape.unit, shape.place)
    if len(plan.wires) > MOST_ON_A_PHONE:
        return None
    plan = _best(plan)
    for extra in range(TRIES):
        try:
            return _routed(plan, extra)
        except NoWay:
            continue
    return None


def _best(plan: Plan) -> Plan:
    """Of a plan and those that look nearly as good the one whose wires, led once, cost least."""
    plans = [plan, *alternatives(plan)]
    return min(plans, key=_first_cost) if len(plans) > 1 else plan


def _first_cost(plan: Plan) -> float:
    try:
        return cost_of(_routed(plan, 0, rounds=0).routes)
    except NoWay:
        return math.inf


def _routed(plan: Plan, extra: int, *, rounds: int = ROUNDS, leave_out: bool = False) -> Layout:
    """The parts in rows with `extra` room between, and the wires led among them."""
    placed, low_rows, rows = _rows(plan, extra)
    grid = Grid(rows, plan.cols)
    by_part = {each.body.part: each for each in placed}
    last = max((spot.band for spot in plan.spots.values()), default=0)
    for each in placed:
        body = each.body
        grid.block(each.row, each.col, each.row + body.rows - 1, each.col + body.cols - 1)
        # No wire goes behind the boxes at the very edge.
        if body.outside and plan.spots[body.part].band in (0, last):
            grid.block(each.row, 1, each.row + body.rows - 1, plan.cols - 2)
    _zones(grid, plan, low_rows)
    stubs = _stubs(plan)
    ports = {
        f"{part}.{terminal}": tuple(
            port
            for pad in by_part[part].body.pads
            if pad.terminal == terminal
            for port in by_part[part].ports(pad, _stub(pad, lanes))
        )
        for (part, terminal), lanes in stubs.items()
    }
    for landings in ports.values():
        grid.keep(landings)
    tasks = [Task(w.name, ports[w.start], ports[w.end], signal_zone(w)) for w in plan.wires]
    routes = routed(grid, tasks, rounds=rounds, leave_out=leave_out)
    drawn = tuple(wire for wire in plan.wires if wire.name in routes)
    left_out = tuple(wire for wire in plan.wires if wire.name not in routes)
    return Layout(placed, drawn, routes, rows, plan.border, low_rows, plan.cols, left_out)


def _stub(pad: Pad, lanes: int) -> int:
    if pad.rim in (0, 2):
        return lanes
    return SIDE_LANES if lanes == TAG_LANES else LONG_SIDE_LANES


def _stubs(plan: Plan) -> dict[tuple[str, str], int]:
    """For each terminal the lanes that the longest letters on it take."""
    found: dict[tuple[str, str], int] = {}
    for wire in plan.wires:
        lanes = TAG_LANES if len(wire_ink(wire.colour).code) <= 2 else LONG_TAG_LANES
        for end in (wire.start, wire.end):
            part, terminal = split_end(end)
            found[part, terminal] = max(lanes, found.get((part, terminal), 0))
    return found


def _rows(plan: Plan, extra: int) -> tuple[tuple[Placed, ...], tuple[int, int] | None, int]:
    """Rows of each part; between two bands there is a lane for every end that looks there."""
    bands = plan.bands()
    ends = _ends_by_gap(plan, len(bands))
    row, placed, low = MARGIN, [], []
    for index, band in enumerate(bands):
        row += _gap(ends[index], extra) if index or ends[0] else 0
        tall = max((spot.body.rows for spot in band), default=0)
        for spot in band:
            top = row + (tall - spot.body.rows if index == 0 else 0)
            placed.append(Placed(spot.body, top, spot.col, spot.zone))
            if spot.zone == LOW and not spot.body.outside:
                low += [top, top + spot.body.rows - 1]
        row += tall
    row += _gap(ends[-1], extra) if ends[-1] else 0
    return tuple(placed), (min(low), max(low)) if low else None, row + MARGIN


def _gap(ends: int, extra: int) -> int:
    return 2 * LONG_TAG_LANES + 2 + ends // 2 + extra * 4


def _ends_by_gap(plan: Plan, bands: int) -> list[int]:
    ends = [0] * (bands + 1)
    for wire in plan.wires:
        for end in (wire.start, wire.end):
            part, terminal = split_end(end)
            spot = plan.spots[part]
            ends[spot.band + (spot.pad(terminal).rim == 2)] += 1
    return ends


def _zones(grid: Grid, plan: Plan, low_rows: tuple[int, int] | None) -> None:
    if low_rows is None:
        return
    top, bottom = low_rows
    if plan.border > 1:
        grid.zone(top, 1, bottom, plan.border, HIGH)
    grid.zone(top, plan.border + 1, bottom, plan.cols - 2, LOW)


def _pruned(layout: Layout) -> Layout:
    """The layout without the plates at a second rim on which no wire came to land."""
    used = {(p.row, p.col) for r in layout.routes.values() for p in (r.start, r.end)}
    return replace(layout, placed=tuple(_used_pads(each, used) for each in layout.placed))


def _used_pads(each: Placed, used: set[tuple[int, int]]) -> Placed:
    if not each.body.stand.both:
        return each
    pads = each.body.pads
    landed = [pad for pad in pads if {(p.row, p.col) for p in each.ports(pad, 0)} & used]
    idle = [pad for pad in pads if pad.terminal not in {other.terminal for other in landed}]
    first_idle = [pad for pad in idle if pad.rim == 0]
    return replace(each, body=replace(each.body, pads=(*landed, *first_idle)))


def _compact(layout: Layout) -> Layout:
    """The layout without the rows in which nothing but wires straight up and down is."""
    used: set[int] = {0, 1, layout.rows - 1}
    for each in layout.placed:
        used.update(range(each.row, each.row + each.body.rows))
    for route in layout.routes.values():
        for port in (route.start, route.end):
            used.update(row for row, _ in port.points())
        used.update(row for row, _ in route.corners())
    kept = sorted(used)
    place = {row: i for i, row in enumerate(kept)}
    low = layout.low_rows
    return replace(
        layout,
        placed=tuple(replace(each, row=place[each.row]) for each in layout.placed),
        routes={name: _moved(route, place) for name, route in layout.routes.items()},
        rows=len(kept),
        low_rows=(place[low[0]], place[low[1]]) if low else None,
    )


def _moved(route: Route, place: dict[int, int]) -> Route:
    return Route(
        tuple((place[row], col) for row, col in route.points if row in place),
        replace(route.start, row=place[route.start.row]),
        replace(route.end, row=place[route.end.row]),
    )
