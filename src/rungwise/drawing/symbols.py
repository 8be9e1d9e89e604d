"""The pieces of a ladder: what each part's kind tells (`Symbol`), on this unit's own parts.

A part may stand in several places: a contactor's poles among the power, its coil in the control
circuit.  A kind that tells none is drawn as a box with all its terminals, which the legend says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungwise.parts import Junction, PartKind, Sign, Symbol
from rungwise.parts import Piece as Shape
from rungwise.unit import Part, Unit
from rungwise.wording import named


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a part.

    terminals: as `part.terminal`, in a row. symbols: what lies between each two of them.
    elements: which element each symbol stands for, so that a mark finds its contact. through: a
    path that switches or protects, in line with its circuit. source: what feeds a circuit.
    forks: fed in the middle, gives to both ends. round: in a circle, as motors are. values: words
    beside each symbol, from the unit's own figures.
    """

    part: str
    name: str
    terminals: tuple[str, ...]
    symbols: tuple[Sign, ...] = ()
    elements: tuple[str, ...] = ()
    through: bool = False
    source: bool = False
    forks: bool = False
    round: bool = False
    values: tuple[str, ...] = ()
    aside: str = ""
    """What this piece of its part is, where the part stands in several places."""

    marked: bool = True
    """Whether something stands on its terminals: on a splice nothing does."""

    @property
    def joint(self) -> bool:
        """Whether it is one point with nothing inside."""
        return len(self.terminals) == 1

    @property
    def key(self) -> str:
        """Its name within the picture."""
        return f"{self.part}.{self.name}"


def pieces_of(unit: Unit) -> tuple[Piece, ...]:
    """Every piece of every part of a unit, in the order of its file."""
    return tuple(piece for part in unit.parts for piece in _pieces(unit, part))


def boxed(unit: Unit) -> tuple[Part, ...]:
    """The parts that are drawn as a box, since their kind does not tell their inside."""
    return tuple(part for part in unit.parts if unit.kind_of(part.name).facet(Symbol) is None)


def _pieces(unit: Unit, part: Part) -> Iterator[Piece]:
    kind = unit.kind_of(part.name)
    symbol = kind.facet(Symbol)
    for shape in symbol.pieces if symbol is not None else (_box(kind),):
        shape = _wired(unit, part, shape)  # noqa: PLW2901
        if not shape.terminals:
            continue
        yield Piece(
            part.name,
            shape.name,
            tuple(f"{part.name}.{terminal}" for terminal in shape.terminals),
            shape.symbols,
            shape.elements or tuple("" for _ in shape.symbols),
            shape.through,
            shape.source,
            shape.forks,
            shape.round,
            tuple(_figure(unit, part, figure) for figure in shape.figures),
            named(shape.aside),
            is_marked(kind),
        )


def is_marked(kind: PartKind) -> bool:
    """Whether the terminals of such a part have marks to be read."""
    junction = kind.facet(Junction)
    return junction is None or junction.marked


def _wired(unit: Unit, part: Part, shape: Shape) -> Shape:
    """A box or a strip without the terminals that no wire is on.

    All of it where none has one: a part without a wire is drawn as it is.
    """
    plain = {*shape.symbols} <= {"box"} and not shape.elements
    ends = tuple(each for each in shape.terminals if unit.is_wired(part.name, each))
    if not plain or not any(unit.is_wired(part.name, e) for e in unit.kind_of(part.name).terminals):
        return shape
    return replace(shape, terminals=ends, symbols=shape.symbols[: max(len(ends) - 1, 0)])


def _box(kind: PartKind) -> Shape:
    between: list[Sign] = ["box" for _ in kind.terminals[1:]]
    return Shape("box", kind.terminals, tuple(between))


def _figure(unit: Unit, part: Part, name: str) -> str:
    parameter = unit.kind_of(part.name).parameter(name)
    return f"{part.values.get(name, parameter.default):g} {parameter.unit}"
