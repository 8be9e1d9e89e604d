"""Every circuit of a unit in its place on the ladder, one below another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungwise.drawing.ladder_frame import (
    LEFT_LEG,
    RIGHT_LEG,
    Placed,
    Words,
    stub_for,
)
from rungwise.drawing.ladder_graph import Circuit, circuits_of
from rungwise.drawing.ladder_legs import Stop, leg
from rungwise.drawing.ladder_lines import Leg, Straight, tops_of
from rungwise.drawing.ladder_loads import moved, shape
from rungwise.drawing.ladder_order import ordered
from rungwise.drawing.symbols import Piece
from rungwise.parts import Supply, drawn_mark, part_of, terminal_of
from rungwise.unit import Unit, Wire, place_words
from rungwise.wording import joined, mark, say

NEAR, FAR = 16, 20
"""The column of a load's left terminal: below the names on the leg, and beside them."""

NEARLY = 3
"""A load that reaches so few rows below the last name is put below it."""

Rows = tuple[int, int]


@dataclass(frozen=True)
class Sheet:
    """All that is placed; `wires` are those that still need a way."""

    placed: tuple[Placed, ...]
    straight: tuple[Straight, ...]
    wires: tuple[Wire, ...]
    titles: tuple[Words, ...]
    rows: int


def sheet_of(unit: Unit, gap: int = 1, aside: int = 0) -> Sheet:
    """The ladder of a unit.

    `gap` is how many rows are free between two loads at least, `aside` how many columns those
    below the names stand further right than usual.
    """
    circuits = circuits_of(unit)
    placed: list[Placed] = []
    straight: list[Straight] = []
    titles: list[Words] = []
    row = 0
    for at, circuit in enumerate(circuits):
        following = part_of(circuits[at + 1].left) if at + 1 < len(circuits) else ""
        titles.append(Words(_title(unit, circuit), 8.0, row))
        made = _Placing(unit, circuit, row + 1, following, (gap, aside))
        placed += made.placed
        straight += made.straight
        row = made.end + 2
    led = {each.wire for each in straight}
    wires = (wire for circuit in circuits for wire in circuit.wires if wire.name not in led)
    return Sheet(
        tuple(placed),
        tuple(straight),
        tuple({wire.name: wire for wire in wires}.values()),
        tuple(titles),
        row - 1,
    )


def _title(unit: Unit, circuit: Circuit) -> str:
    if not circuit.left:
        return mark("not fed")
    ends = [drawn_mark(terminal_of(each)) for each in (circuit.left, circuit.right) if each]
    if not circuit.service:
        return say("control, {ends}, 24 V", ends=joined("–", ends))
    places = [unit.part(piece.part).place for piece in circuit.pieces]
    place = max(dict.fromkeys(places), key=places.count)
    volts = _volts(unit, circuit)
    return joined(", ", (place_words(place), joined("–", ends), *volts))


def _volts(unit: Unit, circuit: Circuit) -> Iterator[str]:
    if not circuit.right:
        return
    service = unit.part(circuit.service[0].part)
    default = unit.kind_of(service.name).parameter("leg_volt").default
    leg_volt = service.values.get("leg_volt", default)
    supply = unit.kind_of(service.name).facet(Supply)
    legs = {leg.terminal: leg.phasor(leg_volt) for leg in supply.legs} if supply else {}
    left, right = (legs.get(terminal_of(e), 0j) for e in (circuit.left, circuit.right))
    yield f"{abs(left - right):.0f} V"
    if len(circuit.service) > 2 and len(legs) > 2:
        yield mark("three phases")


class _Placing:
    """One circuit, its legs first, then the loads between them."""

    def __init__(
        self, unit: Unit, circuit: Circuit, first: int, last: str, room: tuple[int, int]
    ) -> None:
        self.unit = unit
        self.circuit = circuit
        self.gap, self.aside = room
        stops = (
            leg(circuit, circuit.left, left=True),
            leg(circuit, circuit.right, left=False),
        )
        names = self._names(stops)
        self.legs = (
            Leg(circuit, stops[0], names[0], left=True),
            Leg(circuit, stops[1], names[1], left=False),
        )
        tops = tops_of(*self.legs, first)
        sides = [each.placed(rows) for each, rows in zip(self.legs, tops, strict=True)]
        pairs = zip(self.legs, sides, strict=True)
        self.straight = [line for each, placed in pairs for line in each.straight(placed)]
        self.placed = [*sides[0], *sides[1]]
        spans = any(p.form == "source" and not p.piece.joint for p in self.placed)
        self.placed += self._loads(first + 1 + spans, last)
        self.end = max((placed.rows[1] for placed in self.placed), default=first)

    def _names(self, stops: Sequence[Sequence[Stop]]) -> tuple[dict[int, str], dict[int, str]]:
        """What each stop is called; a part in both legs only on the left."""
        told: set[str] = set()
        found: tuple[dict[int, str], dict[int, str]] = ({}, {})
        for side, names in zip(stops, found, strict=True):
            for at, stop in enumerate(side):
                if stop.piece.part not in told and not stop.piece.source:
                    names[at] = self._name(stop.piece)
            told |= {stop.piece.part for stop in side}
        return found

    def _name(self, piece: Piece) -> str:
        title = self.unit.part(piece.part).title
        return joined(" ", (title, piece.aside)) if piece.aside else title

    def _loads(self, first: int, last: str) -> Iterator[Placed]:
        on_leg = {each.piece for each in self.placed}
        loose = [p for p in (*self.circuit.service, *self.circuit.pieces) if p not in on_leg]
        legs = (self.legs[0].terminals, self.legs[1].terminals)
        taken = list(self._taken(left=False))
        row = first
        for laid in ordered(self.circuit, loose, legs, last):
            made = shape(self.circuit, laid, self._name(laid.piece))
            top = max(row, self._level(made))
            if laid.piece.part == last:
                top = max(top, max(each.rows[1] for each in self.placed) - made.rows[1])
            top, col = self._clear(made, top, taken)
            made = moved(made, top, col)
            row = made.rows[1] + 1 + self.gap
            yield made

    def _level(self, made: Placed) -> int:
        """The top row at which the load's wires to the legs run level."""
        places = {t: spot for each in self.placed for t, spot in each.spots.items()}
        found = [
            places[other].row - spot.row
            for terminal, spot in made.spots.items()
            for other in self._others(terminal)
            if other in places
        ]
        return max((*found, 0))

    def _others(self, terminal: str) -> Iterator[str]:
        for wire in self.circuit.wires_at[terminal]:
            yield wire.end if wire.start == terminal else wire.start

    def _taken(self, *, left: bool) -> Iterator[Rows]:
        """The rows that have names beside a leg, first and last of each stop."""
        col = LEFT_LEG if left else RIGHT_LEG
        for each in self.placed:
            rows = [int(w.row) for w in each.words if w.quiet]
            if rows and each.axis == col:
                yield min(rows), max(rows)

    def _clear(self, made: Placed, top: int, taken: Sequence[Rows]) -> tuple[int, int]:
        """The row and column of a load: clear of the names on both legs.

        Beside those on the left leg where its wires have room there, else below them.
        """
        height = made.rows[1]
        names = list(self._taken(left=True))
        lowest = max((high for _, high in names), default=-1)
        if top <= lowest <= top + NEARLY:
            top = lowest + 1
        if not self._fits_beside(made):
            taken = sorted((*taken, *names))
        for low, high in taken:
            if top <= high and low <= top + height:
                top = high + 1
        beside = any(top <= high and low <= top + height for low, high in names)
        return top, FAR if beside else NEAR + self.aside

    def _fits_beside(self, made: Placed) -> bool:
        """Whether the tags of its wires to the right fit between it and the right leg."""
        reach = [
            FAR + spot.col + stub_for(wire.colour) + 1
            for spot in made.spots.values()
            for wire in self.circuit.wires_at[spot.terminal]
            if spot.way > 0
        ]
        return max(reach, default=0) < RIGHT_LEG - 2
