"""Where the parts of one place stand: bands from the supply down, line volts left, 24 V right.

Parts of line volts come in bands in the order of `Stand.rank`; parts of 24 V stand in a
column at the right, in the order that makes their wires shortest; a part with both faces the
column.  Parts of other places whose wires come in stand at the top or bottom edge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations, product

from rungwise.drawing.panel_bodies import Body, Pad, body_of, edge_box, turned
from rungwise.parts import CONTROL_SIGNALS, KINDS, part_of, split_end
from rungwise.unit import Part, Unit, Wire

COLS = 44
"""Grid points across a picture that fills a phone, the two at its frame included."""

FIRST = 1
BOTH, HIGH, LOW = 0, 1, 2
"""Zones: line volts, 24 V; a part may have both."""

LOW_SIGNALS = frozenset({*CONTROL_SIGNALS, "bond"})
PLACE_RANKS = {"panel": 0, "disconnect": 1, "room": 1, "indoor": 2, "outdoor": 3}
LEAST_GAP, RIGHT_GAP = 3, 2
"""Lanes kept free between two parts and at the left, and at the right of the 24 V column."""

NEARLY = 1.05
"""How much worse than the best a plan may look, drawn straight, to be tried with real wires."""

MOST_ORDERED = 6
"""Parts of a column whose every order is tried; beyond, they stay as the file has them."""


Place = tuple[float, float]
"""A column and a band."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A body and where it stands: its band (0 the upper edge) and its first column."""

    body: Body
    zone: int
    band: int
    col: int = FIRST

    def middle(self, terminal: str) -> float:
        """The column in the middle of a terminal's pad."""
        pad = self.pad(terminal)
        across = pad.lanes / 2 if pad.rim in (0, 2) else 0.0
        return self.col + pad.col + across

    def pad(self, terminal: str) -> Pad:
        """The first pad of a terminal."""
        return next(pad for pad in self.body.pads if pad.terminal == terminal)


@dataclass(frozen=True, slots=True)
class Plan:
    """The parts in their bands, the wires between them, where 24 V begins (last column before)."""

    spots: dict[str, Spot]
    wires: tuple[Wire, ...]
    border: int
    cols: int = COLS

    def bands(self) -> list[list[Spot]]:
        """The spots of each band, from the left."""
        count = max((spot.band for spot in self.spots.values()), default=0) + 1
        found: list[list[Spot]] = [[] for _ in range(count)]
        for spot in sorted(self.spots.values(), key=lambda spot: (spot.col, spot.body.part)):
            found[spot.band].append(spot)
        return found


def signal_zone(wire: Wire) -> int:
    """The zone that a wire belongs into."""
    return LOW if wire.carries in LOW_SIGNALS else HIGH


def wires_of(unit: Unit, place: str) -> tuple[Wire, ...]:
    """The wires with an end in this place; ones that only stand for a wrong place are none."""
    here = {part.name for part in unit.parts if part.place == place}
    ends = ((w, {part_of(w.start), part_of(w.end)}) for w in unit.wires)
    return tuple(w for w, both in ends if both & here and w.carries != "alternate")


def planned(unit: Unit, place: str, cols: int = COLS) -> Plan:
    """The plan of one place of a unit, on so many grid points across."""
    return _Planner(unit, place, cols).plan()


def alternatives(plan: Plan) -> Iterator[Plan]:
    """Plans with another order or turn in one band that look nearly as good, drawn straight."""
    most = NEARLY * _tangle(list(plan.spots.values()), plan.wires)
    for band in plan.bands():
        for row in _choices(band, plan.cols - 2):
            spots = {**plan.spots, **{spot.body.part: spot for spot in row}}
            if spots != plan.spots and _tangle(list(spots.values()), plan.wires) <= most:
                yield replace(plan, spots=spots)


class _Planner:
    """One place on its way to a plan."""

    def __init__(self, unit: Unit, place: str, cols: int) -> None:
        self.unit = unit
        self.place = place
        self.cols = cols
        self.last = cols - 2
        self.wires = wires_of(unit, place)
        self.counts: dict[str, dict[str, int]] = {}
        self.signals: dict[str, set[int]] = {}
        for wire in self.wires:
            for end in (wire.start, wire.end):
                self._count(end, wire)
        self.spots: dict[str, Spot] = {}

    def _count(self, end: str, wire: Wire) -> None:
        part, terminal = split_end(end)
        counts = self.counts.setdefault(part, {})
        counts[terminal] = counts.get(terminal, 0) + 1
        self.signals.setdefault(part, set()).add(signal_zone(wire))

    def zone(self, part: str) -> int:
        """The zone of a part by its wires; line volts without any."""
        found = self.signals.get(part, {HIGH})
        return BOTH if len(found) > 1 else next(iter(found))

    def plan(self) -> Plan:
        """Bands first, then columns, then the order within each band."""
        own = [part for part in self.unit.parts if part.place == self.place]
        bodies = {part.name: self._body(part) for part in own}
        low = [part.name for part in own if self.zone(part.name) == LOW]
        self._band_high([part for part in own if part.name not in low], bodies, low)
        self._band_low(low, bodies, own)
        self._edges(1 + max((spot.band for spot in self.spots.values()), default=0))
        ordered = _ordered(list(self.spots.values()), self.wires, self.last)
        column = [s.col for s in ordered if s.zone == LOW and not s.body.outside]
        border = min(column, default=self.last + 2) - 2
        return Plan({spot.body.part: spot for spot in ordered}, self.wires, border, self.cols)

    def _body(self, part: Part) -> Body:
        terminals = KINDS[part.kind].terminals
        return body_of(part, terminals, self.counts.get(part.name, {}))

    def _band_high(self, high: Sequence[Part], bodies: dict[str, Body], low: Sequence[str]) -> None:
        """Put the parts of line volts into bands, by rank; below the 24 V column ranks may mix."""
        column = max((bodies[name].cols + RIGHT_GAP for name in low), default=0)
        band, used, rank, alone = 1, 0, -1, False
        for part in sorted(high, key=lambda part: bodies[part.name].stand.rank):
            cols, own_rank = bodies[part.name].cols, bodies[part.name].stand.rank
            beside = band <= len(low)
            room = self.last - (column if beside else 0) - LEAST_GAP
            zone = self.zone(part.name)
            # Beside a part with tabs at its side there is no room for another of line volts.
            alone = alone or zone == BOTH
            if used and (alone or (beside and own_rank != rank) or used + cols > room):
                band, used = band + 1, 0
            used, rank, alone = used + cols + LEAST_GAP, own_rank, zone == BOTH
            self.spots[part.name] = Spot(bodies[part.name], zone, band)

    def _band_low(self, low: Sequence[str], bodies: dict[str, Body], own: Sequence[Part]) -> None:
        """Put the parts of 24 V one below the other, so that their wires are shortest."""
        orders = permutations(low) if len(low) <= MOST_ORDERED else iter([tuple(low)])
        last = 1 + max([len(low), *(spot.band for spot in self.spots.values())], default=0)
        here = {part.name for part in own}
        best = min(orders, key=lambda order: self._column_length(order, here, last), default=())
        for band, name in enumerate(best, start=1):
            self.spots[name] = Spot(bodies[name], LOW, band)

    def _column_length(self, order: tuple[str, ...], here: set[str], last: int) -> int:
        bands = {name: spot.band for name, spot in self.spots.items()}
        bands.update({name: band for band, name in enumerate(order, start=1)})
        total = 0
        for wire in self.wires:
            ends = [part_of(end) for end in (wire.start, wire.end)]
            rows = [bands[e] if e in here else (0 if self._above(e) else last) for e in ends]
            # What comes in from another place weighs more, so that a chain begins where it enters.
            weight = 1 if set(ends) <= here else 2
            total += weight * abs(rows[0] - rows[1])
        return total

    def _above(self, part: str) -> bool:
        other = self.unit.part(part).place
        return PLACE_RANKS[other] < PLACE_RANKS[self.place]

    def _edges(self, last: int) -> None:
        """Boxes at the upper and lower edge for the parts of other places.

        What finds no room at the upper edge goes to the lower, which takes as many bands as need.
        """
        used, band, below = 0, last, 0
        for part in self.unit.parts:
            if part.place == self.place or part.name not in self.counts:
                continue
            body = edge_box(part, self.counts[part.name], above=True)
            above = self._above(part.name) and used + body.cols <= self.last - LEAST_GAP
            if above:
                used += body.cols + LEAST_GAP
            else:
                body = edge_box(part, self.counts[part.name], above=False)
                if below and below + body.cols > self.last - LEAST_GAP:
                    band, below = band + 1, 0
                below += body.cols + LEAST_GAP
            self.spots[part.name] = Spot(body, self.zone(part.name), 0 if above else band)


def _spread(spots: Sequence[Spot], last: int) -> list[Spot]:
    """The spots of one band: line volts spread from the left, 24 V together at the right."""
    low = [spot for spot in spots if spot.zone == LOW]
    rest = [spot for spot in spots if spot.zone != LOW]
    if not rest or not low or any(spot.body.outside for spot in spots):
        return _even([*rest, *low], last)
    placed, end = [], last - RIGHT_GAP + 1
    for spot in reversed(low):
        placed.append(replace(spot, col=end - spot.body.cols))
        end = placed[-1].col - LEAST_GAP
    # A part with tabs at its side needs room there for the letters of their wires.
    return [*_even(rest, end, beyond=1.6), *reversed(placed)]


def _even(spots: Sequence[Spot], last: int, beyond: float = 1.0) -> list[Spot]:
    """The spots with even gaps; `beyond` is the last gap as a multiple of the others."""
    room = last - FIRST + 1 - sum(spot.body.cols for spot in spots)
    gap, col, placed = room / (len(spots) + beyond), float(FIRST), []
    for spot in spots:
        col += gap
        placed.append(replace(spot, col=round(col)))
        col += spot.body.cols
    return placed


def _ordered(spots: Sequence[Spot], wires: Sequence[Wire], last: int) -> list[Spot]:
    """Every band in the order, and every part turned the way, that lets wires cross least."""
    count = max((spot.band for spot in spots), default=0) + 1
    bands = [_spread([s for s in spots if s.band == band], last) for band in range(count)]
    for _ in range(3):
        for band in range(count):
            others = [spot for i, row in enumerate(bands) for spot in row if i != band]
            bands[band] = min(
                _choices(bands[band], last), key=lambda row: _tangle([*others, *row], wires)
            )
    return [spot for row in bands for spot in row]


def _choices(row: Sequence[Spot], last: int) -> Iterator[list[Spot]]:
    """Each order of a band with each part turned or not, as laid out."""
    orders = permutations(row) if len(row) <= 4 else iter([tuple(row)])
    for order in orders:
        zones = [1 if spot.zone == BOTH else 2 * (spot.zone == LOW) for spot in order]
        if zones == sorted(zones):
            for ways in product(*(_ways(spot) for spot in order)):
                yield _spread(ways, last)


def _ways(spot: Spot) -> list[Spot]:
    if not spot.body.stand.turns:
        return [spot]
    return [spot, replace(spot, body=turned(spot.body))]


def _tangle(spots: Sequence[Spot], wires: Sequence[Wire]) -> float:
    """How wires would cross and how far they would reach, drawn straight from pad to pad."""
    by_part = {spot.body.part: spot for spot in spots}
    lines = [tuple(_end(by_part, end) for end in (w.start, w.end)) for w in wires]
    reach = sum(abs(a[0] - b[0]) + 4 * abs(a[1] - b[1]) for a, b in lines)
    crossed = sum(
        1
        for i, one in enumerate(lines)
        for two in lines[i + 1 :]
        if _cross(one[0], one[1], two[0], two[1])
    )
    return reach + 30.0 * crossed


def _end(by_part: dict[str, Spot], end: str) -> Place:
    part, terminal = split_end(end)
    spot = by_part[part]
    rim = spot.pad(terminal).rim
    both = spot.body.stand.both
    return spot.middle(terminal), spot.band + (0.0 if both else {0: -0.2, 2: 0.2}.get(rim, 0.0))


def _cross(a: Place, b: Place, c: Place, d: Place) -> bool:
    apart = _side(a, b, c) * _side(a, b, d) < 0
    return apart and _side(c, d, a) * _side(c, d, b) < 0


def _side(p: Place, q: Place, r: Place) -> float:
    """On which side of the line from p to q the point r lies, by the sign."""
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
