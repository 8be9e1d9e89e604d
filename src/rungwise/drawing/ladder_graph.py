"""The circuits of a unit as a ladder has them: what feeds each, and on which side each point lies.

A circuit is what hangs together by wires and parts when the service is taken away.  It has a left
leg (L1, or R behind the transformer) and a right one (L2, N or C); each terminal belongs to the
leg that it is nearer to in ohms, with every contact closed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from rungwise.drawing.symbols import Piece, pieces_of
from rungwise.unit import Unit, Wire

METAL, CAPACITOR, LOAD, TIE = 1e4, 30.0, 1.0, 1e-6
"""How well two terminals hang together: by a wire or contact, a capacitor, a load, not at all."""

_TIES = {"capacitor": CAPACITOR, "contact": METAL, "contact_nc": METAL}


@dataclass(frozen=True)
class Circuit:
    """One circuit: its pieces and wires, and the terminals that feed its left and right leg.

    `left` or `right` is empty where nothing feeds it from there; `service` are the pieces of
    the service that feed it, which other circuits may show too.
    """

    left: str
    right: str
    service: tuple[Piece, ...]
    pieces: tuple[Piece, ...]
    wires: tuple[Wire, ...]

    @cached_property
    def piece_at(self) -> dict[str, Piece]:
        """The piece that each terminal belongs to."""
        every = (*self.service, *self.pieces)
        return {terminal: piece for piece in every for terminal in piece.terminals}

    @cached_property
    def wires_at(self) -> dict[str, tuple[Wire, ...]]:
        """The wires on each terminal."""
        found: defaultdict[str, list[Wire]] = defaultdict(list)
        for wire in self.wires:
            for end in {wire.start, wire.end}:
                found[end].append(wire)
        return {terminal: tuple(found[terminal]) for terminal in self.piece_at}

    @cached_property
    def on_left(self) -> frozenset[str]:
        """The terminals that belong to the left leg."""
        names = list(self.piece_at)
        shares = _potentials(names, self._ties(), {self.left: 1.0} | self._zeros())
        near = dict(zip(names, shares, strict=True))
        return frozenset(name for name in names if near[name] >= 0.5 - 1e-9)

    def _zeros(self) -> dict[str, float]:
        fed = [piece.terminals[0] for piece in self.service if piece.terminals[0] != self.left]
        return dict.fromkeys((*fed, self.right), 0.0)

    def _ties(self) -> Iterator[tuple[str, str, float]]:
        for wire in self.wires:
            yield wire.start, wire.end, METAL
        for piece in self.pieces:
            if piece.source:
                continue
            for a, b, symbol in zip(piece.terminals, piece.terminals[1:], piece.symbols,
                                    strict=False):  # fmt: skip
                yield a, b, _TIES.get(symbol, METAL if piece.through else LOAD)


def circuits_of(unit: Unit) -> tuple[Circuit, ...]:
    """Every circuit: those between the legs first, then leg to neutral, then the control ones."""
    pieces = pieces_of(unit)
    service = tuple(p for p in pieces if p.source and p.joint)
    rest = tuple(p for p in pieces if p not in service)
    fed = {piece.terminals[0] for piece in service}
    wires = tuple(wire for wire in unit.wires if wire.carries != "alternate")
    found = [_circuit(group, service, wires) for group in _groups(rest, wires, fed)]
    order = [piece.terminals[0] for piece in service]
    found.sort(key=lambda circuit: _rank(circuit, order))
    return _with_all(found, service, wires)


def _with_all(
    found: list[Circuit], service: Sequence[Piece], wires: Sequence[Wire]
) -> tuple[Circuit, ...]:
    """The circuits; what belongs to none of them goes to the first."""
    shown = {piece for circuit in found for piece in circuit.service}
    led = {wire.name for circuit in found for wire in circuit.wires}
    idle = tuple(piece for piece in service if piece not in shown)
    loose = tuple(wire for wire in wires if wire.name not in led)
    first = found[0] if found else Circuit("", "", (), (), ())
    more = tuple(p for p in service for w in loose if p.terminals[0] in (w.start, w.end))
    kept = tuple(dict.fromkeys((*first.service, *idle, *more)))
    first = Circuit(first.left, first.right, kept, first.pieces, (*first.wires, *loose))
    return (first, *found[1:])


def _groups(
    pieces: Sequence[Piece], wires: Sequence[Wire], fed: set[str]
) -> tuple[tuple[Piece, ...], ...]:
    """Pieces that hang together, by wires that do not end at the service."""
    name = {terminal: terminal for piece in pieces for terminal in piece.terminals}

    def root(terminal: str) -> str:
        while name[terminal] != terminal:
            terminal = name[terminal]
        return terminal

    joins = [(w.start, w.end) for w in wires if not {w.start, w.end} & fed]
    joins += [(piece.terminals[0], each) for piece in pieces for each in piece.terminals[1:]]
    for a, b in joins:
        name[root(b)] = root(a)
    groups: dict[str, list[Piece]] = {}
    for piece in pieces:
        groups.setdefault(root(piece.terminals[0]), []).append(piece)
    return tuple(tuple(group) for group in groups.values())


def _circuit(group: tuple[Piece, ...], service: Sequence[Piece], wires: Sequence[Wire]) -> Circuit:
    inside = {terminal for piece in group for terminal in piece.terminals}
    own = tuple(wire for wire in wires if wire.start in inside or wire.end in inside)
    ends = {end for wire in own for end in (wire.start, wire.end)}
    feeding = tuple(piece for piece in service if piece.terminals[0] in ends)
    left, right = _legs([p.terminals[0] for p in feeding], [p for p in group if p.source])
    return Circuit(left, right, feeding, group, own)


def _legs(fed: Sequence[str], sources: Sequence[Piece]) -> tuple[str, str]:
    if fed:
        return fed[0], fed[1] if len(fed) > 1 else ""
    return (sources[0].terminals[0], sources[0].terminals[-1]) if sources else ("", "")


def _rank(circuit: Circuit, fed: Sequence[str]) -> tuple[int, list[int]]:
    named = [fed.index(piece.terminals[0]) for piece in circuit.service]
    unfed = 2 if circuit.left else 3
    return (0 if len(named) > 1 else 1 if named else unfed), named


def _potentials(
    names: Sequence[str], ties: Iterable[tuple[str, str, float]], held: dict[str, float]
) -> list[float]:
    """Where each point lies between 0 and 1, with some held; what nothing holds lies at a half."""
    at = {name: k for k, name in enumerate(names)}
    matrix = TIE * np.eye(len(names))
    right = np.full(len(names), 0.5 * TIE)
    for a, b, strength in ties:
        i, j = at[a], at[b]
        matrix[i, i] += strength
        matrix[j, j] += strength
        matrix[i, j] -= strength
        matrix[j, i] -= strength
    for name, share in held.items():
        if name:
            matrix[at[name], at[name]] += 1e9
            right[at[name]] += 1e9 * share
    return [float(each) for each in np.linalg.solve(matrix, right)]
