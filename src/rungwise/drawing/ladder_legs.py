"""The legs of a circuit: what stands in line from its source down to the loads."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.drawing.ladder_graph import Circuit
from rungwise.drawing.symbols import Piece
from rungwise.unit import Wire

Score = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Stop:
    """A piece in line on a leg.

    `wire` leads down to it from the stop before.  `top` and `bottom` are its terminals, the
    same for a joint; `fork` is the terminal that it feeds aside, or empty.
    """

    piece: Piece
    wire: Wire | None
    top: str
    bottom: str
    fork: str = ""


def leg(circuit: Circuit, source: str, *, left: bool) -> tuple[Stop, ...]:
    """The stops of the leg that `source` feeds, itself first; the longest way to the loads.

    It ends where loads hang, unless a part that opens both legs follows.
    """
    if not source:
        return ()
    side = circuit.on_left if left else frozenset(circuit.piece_at) - circuit.on_left
    piece = circuit.piece_at[source]
    first = Stop(piece, None, source, source)
    return (first, *_Walk(circuit, side).onward(source, frozenset({piece}))[1])


class _Walk:
    """Ways along one leg of a circuit."""

    def __init__(self, circuit: Circuit, side: frozenset[str]) -> None:
        self.circuit = circuit
        self.side = side
        poles = Counter(piece.part for piece in circuit.pieces if piece.through)
        self.many = {part for part, count in poles.items() if count > 1}

    def onward(self, terminal: str, seen: frozenset[Piece]) -> tuple[Score, tuple[Stop, ...]]:
        """The best way on from a terminal by one of its wires, and its score."""
        ahead = list(self._ahead(terminal, seen))
        loads = any(not piece.through and not piece.joint for _, _, piece in ahead)
        best: tuple[Score, tuple[Stop, ...]] = ((0, 0, int(loads)), ())
        for wire, entry, piece in ahead:
            if piece.joint or piece.part in self.many or (piece.through and not loads):
                for stop in self._stops(piece, wire, entry):
                    score, rest = self.onward(stop.bottom, seen | {piece})
                    # A joint counts where loads follow it: a dead end is no part of the leg.
                    here = (
                        int(piece.part in self.many),
                        int(piece.through),
                        int(piece.joint and score[2] > 0),
                    )
                    total = (score[0] + here[0], score[1] + here[1], score[2] + here[2])
                    if total > best[0]:
                        best = (total, (stop, *rest))
        return best

    def _ahead(self, terminal: str, seen: frozenset[Piece]) -> Iterator[tuple[Wire, str, Piece]]:
        for wire in self.circuit.wires_at[terminal]:
            entry = wire.end if wire.start == terminal else wire.start
            piece = self.circuit.piece_at[entry]
            if piece not in seen and entry in self.side and entry != terminal:
                yield wire, entry, piece

    def _stops(self, piece: Piece, wire: Wire, entry: str) -> Iterator[Stop]:
        if piece.joint:
            yield Stop(piece, wire, entry, entry)
        elif not set(piece.terminals) <= self.side:
            return
        elif piece.forks and entry == piece.terminals[1]:
            first, _, last = piece.terminals
            yield Stop(piece, wire, entry, first, last)
            yield Stop(piece, wire, entry, last, first)
        elif len(piece.terminals) == 2:
            other = piece.terminals[piece.terminals[0] == entry]
            yield Stop(piece, wire, entry, other)
