"""In which order the loads lie between the legs, and which way up: that few wires cross.

Wires beside one leg run in a channel with the leg's terminals on one wall and the loads' on the
other.  Two of them must cross where their ends lie by turns around it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rungwise.drawing.ladder_graph import Circuit
from rungwise.drawing.symbols import Piece

CROSSING = 100
FAR = 10_000

PRICED = 256
"""Orders that are priced together."""

Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Laid:
    """A piece between the legs, and its terminals from top to bottom."""

    piece: Piece
    terminals: tuple[str, ...]

    def turned(self) -> Laid:
        """Upside down."""
        return Laid(self.piece, self.terminals[::-1])


Order = tuple[Laid, ...]


def ordered(
    circuit: Circuit,
    pieces: Sequence[Piece],
    legs: tuple[Sequence[str], Sequence[str]],
    last: str = "",
) -> Order:
    """The pieces from top to bottom; `legs` are the terminals of the left and the right leg.

    `last` names the part whose piece has to lie lowest.
    """
    leg = [{terminal: at for at, terminal in enumerate(each)} for each in legs]
    height = _Heights(circuit, {**leg[1], **leg[0]})
    keyed = sorted(pieces, key=lambda piece: (piece.part == last, height.of(piece)))
    if not keyed:
        return ()
    search, fixed = _Search(circuit, keyed, leg), len(keyed) - (keyed[-1].part == last)
    best = _Orders(np.arange(len(keyed))[None], np.zeros((1, len(keyed)), dtype=np.bool_))
    least = search.costs(best)[0]
    while True:
        moves = _moves(best, fixed)
        costs = search.costs(moves)
        at = int(costs.argmin())
        if costs[at] >= least:
            laid = [Laid(piece, piece.terminals) for piece in keyed]
            told = zip(best.places[0], best.turned[0], strict=True)
            return tuple(laid[k].turned() if over else laid[k] for k, over in told)
        least, best = costs[at], _Orders(moves.places[at : at + 1], moves.turned[at : at + 1])


class _Orders(NamedTuple):
    """Orders of the pieces from top to bottom, and which stand upside down; [orders, pieces]."""

    places: Ints
    turned: Flags


def _moves(order: _Orders, fixed: int) -> _Orders:
    """Every order that one piece, moved or turned, makes of this one; and all upside down.

    The pieces behind the first `fixed` stay where they are.
    """
    (places,), (turned,) = order.places.tolist(), order.turned.tolist()
    over = [not each for each in turned]
    found = [[*places[:fixed][::-1], *places[fixed:]]]
    ways = [[*over[:fixed][::-1], *turned[fixed:]]]
    for at in range(len(places)):
        rest, stand = places[:at] + places[at + 1 :], turned[:at] + turned[at + 1 :]
        for to in range(fixed) if at < fixed else (at,):
            moved = [*rest[:to], places[at], *rest[to:]]
            for way in (turned[at], over[at]):
                found.append(moved)
                ways.append([*stand[:to], way, *stand[to:]])
    return _Orders(np.array(found), np.array(ways))


class _Heights:
    """How far down the legs the wires of a piece lead; `places`: of the legs' terminals."""

    def __init__(self, circuit: Circuit, places: dict[str, int]) -> None:
        self.circuit = circuit
        self.places = places

    def of(self, piece: Piece) -> float:
        """The highest place on a leg that it is wired to."""
        found = (self.places.get(other) for other in self._others(piece))
        return min((place for place in found if place is not None), default=FAR)

    def _others(self, piece: Piece) -> Iterator[str]:
        for terminal in piece.terminals:
            for wire in self.circuit.wires_at[terminal]:
                yield wire.end if wire.start == terminal else wire.start


class _Side(NamedTuple):
    """The wires of one leg's channel.

    Each end stands at a place of the leg or, where that is -1, on a terminal of a piece:
    int [wires, 2] each.
    """

    leg: Ints
    terminal: Ints


class _Search:
    """What an order costs: crossings first, then how far its wires run."""

    def __init__(
        self, circuit: Circuit, pieces: Sequence[Piece], legs: Sequence[dict[str, int]]
    ) -> None:
        counts = [len(piece.terminals) for piece in pieces]
        alone = np.array([piece.key in piece.terminals for piece in pieces])
        # Its terminals, and a free row where it has a name of its own.
        self.rows = np.array(counts) + ~alone
        self.piece_of = np.repeat(np.arange(len(pieces)), counts)
        self.down = np.concatenate([np.arange(count) for count in counts])
        self.upside = np.array(counts)[self.piece_of] - 1 - self.down
        for way in (self.down, self.upside):
            way[alone[self.piece_of]] = 1  # as low as what comes next
        terminals = [terminal for piece in pieces for terminal in piece.terminals]
        number = {terminal: at for at, terminal in enumerate(terminals)}
        every = np.array(terminals)
        self.shared = [
            np.flatnonzero(every == each) for each in number if terminals.count(each) > 1
        ]
        self.sides = [_side(circuit, leg, number, right=at > 0) for at, leg in enumerate(legs)]

    def costs(self, orders: _Orders) -> npt.NDArray[np.float64]:
        """Crossings and lengths of some orders."""
        starts = range(0, len(orders.places), PRICED)
        some = [slice(at, at + PRICED) for at in starts]
        found = [self._some(_Orders(orders.places[at], orders.turned[at])) for at in some]
        return np.concatenate(found)

    def _some(self, orders: _Orders) -> npt.NDArray[np.float64]:
        rows = self.rows[orders.places]
        first, turned = np.empty_like(orders.places), np.empty_like(orders.turned)
        np.put_along_axis(first, orders.places, rows.cumsum(axis=1) - rows, axis=1)
        np.put_along_axis(turned, orders.places, orders.turned, axis=1)
        within = np.where(turned[:, self.piece_of], self.upside, self.down)
        found = self._once(first[:, self.piece_of] + within)
        return np.asarray(sum(_cost(side, found) for side in self.sides))

    def _once(self, down: Ints) -> Ints:
        """The same where a terminal of several pieces counts once, and is where it lies lowest."""
        before = down.copy()
        for owners in self.shared:
            again = np.sort(before[:, owners], axis=1)[:, 1:]
            down -= (before[:, :, None] > again[:, None, :]).sum(axis=2)
        for owners in self.shared:
            down[:, owners] = down[:, owners].max(axis=1, keepdims=True)
        return down


def _side(circuit: Circuit, leg: dict[str, int], number: dict[str, int], *, right: bool) -> _Side:
    left = circuit.on_left
    pairs = [
        (wire.start, wire.end)
        for wire in circuit.wires
        if (wire.start in left) == (wire.end in left) == (not right)
    ]
    places = [[leg.get(end, -1) for end in pair] for pair in pairs]
    terminals = [[-1 if end in leg else number[end] for end in pair] for pair in pairs]
    return _Side(*(np.array(each, dtype=np.int64).reshape(-1, 2) for each in (places, terminals)))


def _cost(side: _Side, down: Ints) -> npt.NDArray[np.float64]:
    """What the wires of a channel cost in each order; down: int [orders, terminals]."""
    ends = np.where(side.leg >= 0, side.leg, FAR - down[:, side.terminal])
    a, b = ends.min(axis=2), ends.max(axis=2)
    length = ((b - a) * (a > FAR // 2)).sum(axis=1)
    # Wires between two places on the leg run straight down it and are met by none.
    free = b > FAR // 2
    a, b = (np.where(free, each, -1).astype(np.int16) for each in (a, b))
    begins = (a[:, :, None] < a[:, None, :]) & (a[:, None, :] < b[:, :, None])
    crossed = (begins & (b[:, :, None] < b[:, None, :])).sum(axis=(1, 2))
    # Of two orders as good, that which begins where the leg's wires come in.
    low = ((FAR - b) * (free & (a < FAR // 2))).sum(axis=1)
    return np.asarray(CROSSING * crossed + length + 0.1 * low)
