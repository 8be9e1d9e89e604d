"""Facets of the pictures: how a part stands in its cabinet, and its pieces in a ladder diagram.

A kind that lacks one is drawn as a box with its terminals in a row, and the legend says so. As
the parts are found in cabinets, and after the general forms of the open standards for diagrams
(common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from rungwise.parts.trade import Facet

Sign = Literal[
    "bar", "box", "breaker", "capacitor", "coil", "contact", "contact_nc", "earth", "float",
    "fuse", "fused_switch", "heater", "pressure_switch", "pullout", "switch", "thermal_switch",
    "timer", "winding",
]  # fmt: skip
"""What a ladder draws between two terminals."""

Mark = Literal[
    "", "bulb", "capacitor", "clock", "coil and contact", "compressor", "double capacitor", "fan",
    "heater", "two rings", "wave",
]  # fmt: skip
"""The sign inside a part of the panel picture; "" for none: its words stand for it."""

SUPPLY_RANK, PROTECTION_RANK, CONTROL_RANK, SWITCHING_RANK, MIDDLE_RANK = range(5)
START_RANK, LOAD_RANK = 5, 6


@dataclass(frozen=True, slots=True)
class Stand(Facet):
    """How a part stands in its cabinet: terminals at each side.

    Attributes:
        both: the terminals above come again below, as on a strip.
        turns: whether its terminals may also come in the reverse order.
        rank: how far down from the supply a part of line volts sits.
        mark: the sign inside it.
    """

    top: tuple[str, ...] = ()
    bottom: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    both: bool = False
    turns: bool = False
    rank: int = MIDDLE_RANK
    mark: Mark = ""

    @property
    def terminals(self) -> tuple[str, ...]:
        """All of them."""
        return (*self.top, *self.bottom, *self.left, *self.right)


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the part: terminals in a row, and what lies between each two of them.

    Attributes:
        elements: which element each symbol stands for, so that a mark finds its contact.
        through: a path that switches or protects, in line with its circuit.
        source: it feeds a circuit.
        forks: fed in the middle, it gives to both ends.
        round: drawn in a circle, as motors are.
        figures: the parameters told beside its symbols.
        aside: what this piece of its part is, where the part stands in several places.
    """

    name: str
    terminals: tuple[str, ...]
    symbols: tuple[Sign, ...] = ()
    elements: tuple[str, ...] = ()
    through: bool = False
    source: bool = False
    forks: bool = False
    round: bool = False
    figures: tuple[str, ...] = ()
    aside: str = ""


@dataclass(frozen=True, slots=True)
class Symbol(Facet):
    """The pieces that a ladder shows of the part: a contactor's poles apart from its coil."""

    pieces: tuple[Piece, ...]

    def between(self, first: str, second: str) -> Sign | None:
        """What lies between two terminals; None where nothing is drawn from one to the other."""
        for piece in self.pieces:
            ends = zip(piece.terminals, piece.terminals[1:], piece.symbols, strict=False)
            for a, b, symbol in ends:
                if {a, b} == {first, second}:
                    return symbol
        return None


def poles_stand(poles: int) -> Stand:
    """Of a breaker or a disconnect: line above, load below."""
    numbers = range(1, poles + 1)
    return Stand(
        top=tuple(f"line{n}" for n in numbers),
        bottom=tuple(f"load{n}" for n in numbers),
        rank=PROTECTION_RANK,
    )


def pole_symbol(symbol: Sign, poles: int) -> Symbol:
    """The poles of a breaker or a disconnect, each in its own leg."""
    return Symbol(
        tuple(
            Piece(f"pole{n}", (f"line{n}", f"load{n}"), (symbol,), (f"pole{n}",), through=True)
            for n in range(1, poles + 1)
        )
    )


def in_line(rank: int = MIDDLE_RANK) -> Stand:
    """Of a switch or fuse with terminals 1 and 2: one above, one below."""
    return Stand(top=("1",), bottom=("2",), rank=rank)


def series_switch(symbol: Sign) -> Symbol:
    """A switch with terminals 1 and 2 in series with what it guards."""
    return Symbol((Piece("contact", ("1", "2"), (symbol,), ("contact",), through=True),))


def joints(*terminals: str) -> Symbol:
    """Terminals with nothing between them."""
    return Symbol(tuple(Piece(each, (each,)) for each in terminals))


TWO_TABS: Final = Stand(top=("1", "2"), turns=True)
