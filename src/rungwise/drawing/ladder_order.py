"""In which order the loads lie between the legs, and which way up: that few wires cross.

Wires beside one leg run in a channel with the leg's terminals on one wall and the loads' on the
other.  Two of them must cross where their ends lie by turns around it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungwise.drawing.ladder_graph import Circuit
from rungwise.drawing.symbols import Piece

__all__ = ["Laid", "ordered"]

CROSSING = 100
FAR = 10_000

Pair = tuple[str, str]


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
    search = _Search(circuit, legs)
    keyed = sorted(pieces, key=lambda piece: (piece.part == last, search.height(piece)))
    order = tuple(Laid(piece, piece.terminals) for piece in keyed)
    best, least = order, search.cost(order)
    while True:
        found = min(
            ((search.cost(each), at, each) for at, each in enumerate(_moves(best, last))),
            default=None,
        )
        if found is None or found[0] >= least:
            return best
        least, _, best = found


def _moves(order: Order, last: str) -> Iterator[Order]:
    """Every order that one piece, moved or turned, makes of this one; and all upside down."""
    fixed = len(order) - bool(order and order[-1].piece.part == last)
    yield (*(laid.turned() for laid in order[:fixed][::-1]), *order[fixed:])
    for at, laid in enumerate(order):
        rest = order[:at] + order[at + 1 :]
        places = range(fixed) if at < fixed else (at,)
        for place in places:
            for each in (laid, laid.turned()):
                yield (*rest[:place], each, *rest[place:])


class _Search:
    """What an order costs: crossings first, then how far its wires run."""

    def __init__(self, circuit: Circuit, legs: tuple[Sequence[str], Sequence[str]]) -> None:
        self.circuit = circuit
        self.on_leg = [{terminal: at for at, terminal in enumerate(leg)} for leg in legs]
        left = circuit.on_left
        self.pairs: tuple[list[Pair], list[Pair]] = ([], [])
        for wire in circuit.wires:
            if (wire.start in left) == (wire.end in left):
                self.pairs[wire.start not in left].append((wire.start, wire.end))

    def height(self, piece: Piece) -> float:
        """How far down the legs its wires lead."""
        found = [self._leg_place(other) for other in self._others(piece)]
        return min((place for place in found if place is not None), default=FAR)

    def _others(self, piece: Piece) -> Iterator[str]:
        for terminal in piece.terminals:
            for wire in self.circuit.wires_at[terminal]:
                yield wire.end if wire.start == terminal else wire.start

    def _leg_place(self, terminal: str) -> int | None:
        return self.on_leg[0].get(terminal, self.on_leg[1].get(terminal))

    def cost(self, order: Order) -> float:
        """Crossings and lengths of an order."""
        down: dict[str, int] = {}
        for laid in order:
            for terminal in laid.terminals:
                down[terminal] = len(down)
            down[laid.piece.key] = len(down)
        return sum(self._side(side, down) for side in (0, 1))

    def _side(self, side: int, down: Mapping[str, int]) -> float:
        leg = self.on_leg[side]
        spans = [
            tuple(sorted(leg[end] if end in leg else FAR - down[end] for end in pair))
            for pair in self.pairs[side]
        ]
        length = sum(b - a for a, b in spans if a > FAR // 2)
        # Wires between two places on the leg run straight down it and are met by none.
        free = [span for span in spans if span[1] > FAR // 2]
        crossed = sum(
            a[0] < b[0] < a[1] < b[1] or b[0] < a[0] < b[1] < a[1]
            for at, a in enumerate(free)
            for b in free[at + 1 :]
        )
        # Of two orders as good, that which begins where the leg's wires come in.
        low = sum(FAR - b for a, b in free if a < FAR // 2)
        return CROSSING * crossed + length + 0.1 * low
